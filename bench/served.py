"""A server in a process of its own, and a client that costs next to nothing, for the benches of the app."""

from __future__ import annotations

import multiprocessing
import os
import shutil
import socket
import tempfile
import time
from contextlib import suppress
from dataclasses import replace
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from typing import Any

from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.fieldbook.people.register import add_person
from rootcase.fieldbook.people.sessions import open_session
from rootcase.services.demo import demo_fieldbook
from rootcase.services.kept import make_casework

DRAWS = 1000
NOW = datetime(2016, 1, 15, 12, tzinfo=UTC)
_PROCESSES = multiprocessing.get_context("spawn")
_PATIENCE_S = 600.0


@cache
def practice() -> tuple[Path, str, str]:
    """Folder of a fieldbook, id of a property, and the token of its owner's session."""
    folder = Path(tempfile.mkdtemp(prefix="rootcase-bench-"))
    demo_fieldbook(folder / "made.sqlite")
    shutil.move(folder / "made.sqlite", folder / "own.sqlite")
    with open_fieldbook(folder / "own.sqlite", now=lambda: NOW) as book:
        add_person(book.store, "owner1", "Rowan Doe", "owner1", "owner", may_sign=True)
        token = open_session(book.store, ("own", "owner1"), "browser", "", NOW, os.urandom)
        return folder, book.properties()[0].id, token


def serve_app(folder: Path, port: int) -> None:
    import uvicorn

    from rootcase.web.app import create_app
    from rootcase.web.desk import Desk

    desk = Desk(folder / "own.sqlite", lambda: NOW, folder / "results", draws=DRAWS)
    for ground in desk.grounds("own").values():
        make_casework(desk.book("own"), ground, replace(desk.run("own"), threads=2))
    uvicorn.run(create_app(desk), port=port, log_level="warning", server_header=False)


def serve_bytes(body: bytes, port: int) -> None:
    """The least an ASGI server can be asked."""
    import uvicorn

    head = {"type": "http.response.start", "status": 200, "headers": [
        (b"content-type", b"application/json"), (b"content-length", str(len(body)).encode())]}

    async def bare(scope: Any, receive: Any, send: Any) -> None:
        if scope["type"] == "http":
            await send(head)
            await send({"type": "http.response.body", "body": body})

    uvicorn.run(bare, port=port, log_level="warning", server_header=False, lifespan="off")


class Client:
    """One connection that stays open."""

    def __init__(self, serve: Any, *given: Any) -> None:
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self._server = _PROCESSES.Process(target=serve, args=(*given, self.port), daemon=True)
        self._server.start()
        begun = time.monotonic()
        while True:
            with suppress(OSError):
                self._line = socket.create_connection(("127.0.0.1", self.port))
                break
            if time.monotonic() - begun > _PATIENCE_S:
                raise TimeoutError("the server did not answer")
            time.sleep(0.05)
        self._line.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)

    def get(self, path: str, token: str = "") -> bytes:
        """The body of an answer, which has to be 200."""
        self._line.sendall(f"GET {path} HTTP/1.1\r\nhost: 127.0.0.1:{self.port}\r\ncookie: rootcase={token}\r\n\r\n"
                           .encode())
        came = b""
        while (end := came.find(b"\r\n\r\n")) < 0:
            came += self._line.recv(65536)
        head, body = came[:end].lower(), [came[end + 4:]]
        if not head.startswith(b"http/1.1 200 "):
            raise ValueError(came.decode(errors="replace"))
        more = int(head.partition(b"content-length: ")[2].partition(b"\r\n")[0]) - len(body[0])
        while more > 0:
            body.append(self._line.recv(min(more, 1 << 20)))
            more -= len(body[-1])
        return b"".join(body)


