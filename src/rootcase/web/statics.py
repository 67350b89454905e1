"""Files that are the same for everybody: how pages name them, how long a browser may keep them, how answers shrink."""

from __future__ import annotations

import gzip
import hashlib
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

from fastapi import Request
from fastapi.staticfiles import StaticFiles
from starlette.responses import Response

STATIC = Path(__file__).parent / "static"
_KEPT = "public, max-age=31536000, immutable"
_LEVEL = 4
"""JUDGEMENT: higher ones take twice the time for a twentieth of the size."""


@cache
def static(name: str) -> str:
    """The address of a file; it changes with what the file holds, so that a browser need not ask again."""
    return f"/static/{name}?{hashlib.sha256((STATIC / name).read_bytes()).hexdigest()[:8]}"


class Statics(StaticFiles):
    """The files, to be kept where the address says which state of them it means, else asked for again; fonts never
    change under their name."""

    def file_response(self, full_path: Any, stat_result: Any, scope: Any, status_code: int = 200) -> Response:
        answer = super().file_response(full_path, stat_result, scope, status_code)
        answer.headers["cache-control"] = _KEPT if scope["query_string"] or "/fonts/" in scope["path"] else "no-cache"
        return answer


AnswerT = TypeVar("AnswerT", bound=Response)


def shrunk(request: Request, answer: AnswerT) -> AnswerT:
    """The same answer compressed, where the browser understands that; done here, off the event loop."""
    if "gzip" in request.headers.get("accept-encoding", ""):
        answer.body = gzip.compress(answer.body, _LEVEL, mtime=0)
        answer.headers["content-encoding"] = "gzip"
        answer.headers["content-length"] = str(len(answer.body))
    answer.headers["vary"] = "accept-encoding"
    return answer
