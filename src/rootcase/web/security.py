"""What every answer carries and every question must come with, whatever page it is."""

from __future__ import annotations

from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
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
SAFE = ("GET", "HEAD", "OPTIONS")
LOOPBACK = ("127.0.0.1", "localhost", "::1")


class Guard:
    """Refuses another site's forms and another name for this machine; puts the headers on every answer."""

    def __init__(self, app: ASGIApp, hosts: tuple[str, ...], secure: bool) -> None:
        self._app, self._hosts, self._secure = app, hosts, secure

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        headers = Headers(scope=scope)

        async def send_guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                answered = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    answered.setdefault(name, value)
                if self._secure:
                    answered.setdefault("strict-transport-security", "max-age=31536000")
            await send(message)

        wrong = self._refusal(scope["method"], scope["path"], headers)
        answer = PlainTextResponse(wrong, 403) if wrong else self._app
        await answer(scope, receive, send_guarded)

    def _refusal(self, method: str, path: str, headers: Headers) -> str:
        host = urlsplit(f"//{headers.get('host', '')}").hostname or ""
        if host not in self._hosts:
            return say("web.other_host", host=host)
        if method in SAFE or headers.get("authorization", "").startswith("Bearer ") or path.startswith(CLIENTS):
            return ""
        site, origin = headers.get("sec-fetch-site"), headers.get("origin")
        same = site in ("same-origin", "none") if site else bool(origin) and urlsplit(origin).netloc == headers["host"]
        return "" if same else say("web.other_site")
