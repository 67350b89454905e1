"""How much may be sent: what is larger is refused before it is held in memory."""

from __future__ import annotations

import re

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from rootcase.ground.words import say
from rootcase.web.who import visitor_of

KIB, MIB = 2**10, 2**20
STRANGERS = 64 * KIB
"""JUDGEMENT: JSON of who is not known, as when signing in; it is read on the event loop. 2 MB of well-meant events take
some 4 ms, of empty lists in lists half a second (measured on one core).
"""
BRACKETS = 20_000
"""JUDGEMENT: lists and objects in JSON of whoever is known, 40 for each of the most events. Python reads JSON in one
piece, so that a thread of its own would hold up the loop as well: it is refused before it is read.
"""
USUAL = 2 * MIB
"""JUDGEMENT: a form, or some hundreds of events."""
FILES = 64 * MIB
"""JUDGEMENT: a workbook of a large practice, a picture from above, a phone's photographs."""
TAKES_FILES = re.compile(r"/import(?:/phone-file)?|/api/(?:imports|field/sealed)"
                         r"|/make/(?:heaps/[^/]+/file|slides/[^/]+/photos)"
                         r"|/properties/[^/]+/(?:map/aerial|field-sheet|trees/[^/]+/(?:read|photos))")
"""The addresses that a file may be sent to, by who has signed in."""
_PICTURES = re.compile("/api/photos/[0-9a-f]{64}")
"""A picture comes as it is, without a form round it."""


class Limits:
    """Counts what comes in of a request's body; files may be larger than forms."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        headers = dict(scope["headers"])
        sends_files = headers.get(b"content-type", b"").lower().startswith(b"multipart/form-data")
        takes = (sends_files and TAKES_FILES.fullmatch(scope["path"]) is not None) or _PICTURES.fullmatch(scope["path"])
        sends_json = b"json" in headers.get(b"content-type", b"").lower()
        known = (takes or sends_json) and await run_in_threadpool(visitor_of, Request(scope))
        most = FILES if takes and known else STRANGERS if sends_json and not known else USUAL
        told, came, opened = headers.get(b"content-length", b"0"), 0, 0

        async def receive_so_much() -> Message:
            nonlocal came, opened
            message = await receive()
            body = message.get("body", b"")
            came += len(body)
            opened += body.count(b"[") + body.count(b"{") if sends_json else 0
            if came > most or (told.isdigit() and int(told[:20]) > most):
                size = f"{most // MIB} MB" if most >= MIB else f"{most // KIB} kB"
                raise HTTPException(413, say("api.too_large", most=size))
            if opened > BRACKETS:
                raise HTTPException(413, say("api.too_many_brackets", most=f"{BRACKETS:,}"))
            return message

        await self._app(scope, receive_so_much, send)
