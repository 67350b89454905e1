"""What every answer carries and every question must come with, whatever page it is."""

from __future__ import annotations

import re

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import JSONResponse, PlainTextResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from rootcase.ground.words import say

CONTENT_POLICY = ("default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; font-src 'self'; "
                  "connect-src 'self'; form-action 'self'; manifest-src 'self'; worker-src 'self'; object-src 'self'; "
                  "frame-src 'self'; base-uri 'none'; frame-ancestors 'self'")
HEADERS = {
    "content-security-policy": CONTENT_POLICY,
    "referrer-policy": "same-origin",
    "x-content-type-options": "nosniff",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), microphone=(), geolocation=(self)",
    "cache-control": "no-store",
}
"""Unless an answer says otherwise of itself."""
CLIENTS = "/c/"
"""A client's page is opened by what its address holds and by no cookie, so another site gains nothing by sending a form
there; and since it tells no referrer, an older browser does not name its origin either."""
OF_CLIENTS = {
    "x-robots-tag": "noindex, nofollow, noarchive", "referrer-policy": "no-referrer",
    "content-security-policy": ("default-src 'none'; style-src 'self'; font-src 'self'; img-src 'self'; "
                                "form-action 'self'; base-uri 'none'; frame-ancestors 'none'")}
"""Nobody finds a client's address, nobody is told it, and nothing on the page runs."""
FOR_PROGRAMS = ("POST", "/api/session")
"""A program names no origin, and has no token yet; what it gets is in the answer, which another site cannot read."""
_AUTHORITY = re.compile(r"(\[[0-9a-f:.]+\]|[\w.-]+)(?::[0-9]{1,5})?", re.ASCII)
_SHOWN = 100
SAFE = ("GET", "HEAD", "OPTIONS")
LOOPBACK = ("127.0.0.1", "localhost", "::1")


class Guard:
    """Refuses another site's forms and another name for this machine; puts the headers on every answer, that of what
    broke among them."""

    def __init__(self, app: ASGIApp, hosts: tuple[str, ...], secure: bool) -> None:
        self._app, self._hosts, self._secure = app, hosts, secure

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        headers, begun = Headers(scope=scope), False
        looks_only = scope["method"] == "HEAD" and not scope["path"].startswith(CLIENTS)

        async def send_guarded(message: Message) -> None:
            nonlocal begun
            if message["type"] == "http.response.start":
                begun = True
                answered = MutableHeaders(scope=message)
                for name, value in (HEADERS | (OF_CLIENTS if scope["path"].startswith(CLIENTS) else {})).items():
                    answered.setdefault(name, value)
                if self._secure:
                    answered.setdefault("strict-transport-security", "max-age=31536000")
            elif looks_only:
                message = {**message, "body": b""}
            await send(message)

        wrong = self._refusal(scope["method"], scope["path"], headers)
        answer = _plain(scope["path"], 403, wrong) if wrong else self._app
        try:
            await answer({**scope, "method": "GET"} if looks_only else scope, receive, send_guarded)
        except Exception:
            if not begun:
                await _plain(scope["path"], 500, say("web.broke"))(scope, receive, send_guarded)
            raise  # the terminal holds the rest

    def _refusal(self, method: str, path: str, headers: Headers) -> str:
        asked = headers.get("host", "").lower()
        if _host(asked) not in self._hosts:
            return say("web.other_host", host=asked[:_SHOWN])
        if (method in SAFE or headers.get("authorization", "").startswith("Bearer ") or path.startswith(CLIENTS)
                or (method, path) == FOR_PROGRAMS):
            return ""
        site, origin = headers.get("sec-fetch-site"), headers.get("origin", "")
        same = site in ("same-origin", "none") if site else origin.lower().partition("://")[2] == asked
        return "" if same else say("web.other_site")


def _host(authority: str) -> str:
    """What stands before the port; empty where this is no host with a port or without."""
    found = _AUTHORITY.fullmatch(authority)
    return found[1].strip("[]") if found else ""


def _plain(path: str, status: int, what: str) -> Response:
    """One line, in the form of whoever asked; nothing is looked up for it."""
    if path.startswith("/api/"):
        return JSONResponse({"error": what, "where": "", "right": ""}, status)
    return PlainTextResponse(what, status)
