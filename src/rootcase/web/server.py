"""The app on an address, until it is told to stop."""

from __future__ import annotations

import socket
from contextlib import suppress

import uvicorn

from rootcase.ground.errors import FileError
from rootcase.ground.words import say
from rootcase.web.app import create_app
from rootcase.web.desk import Desk


def open_socket(host: str, port: int) -> socket.socket:
    """Take the address; port 0 is any that is free."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    taken = socket.socket(family, socket.SOCK_STREAM)
    taken.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        taken.bind((host, port))
    except OSError as error:
        taken.close()
        raise FileError(say("web.address_taken", reason=error.strerror), where=f"{host}:{port}",
                        right=say("web.another_port")) from None
    taken.listen(100)  # so that who opens the printed address at once waits instead of being refused
    return taken


def serve(desk: Desk, listening: socket.socket) -> None:
    """Answer until Ctrl-C."""
    # Without an address of its own nothing stands before the app, and who asks may not say where they come from.
    config = uvicorn.Config(create_app(desk), log_level="warning", server_header=False, timeout_graceful_shutdown=3,
                            proxy_headers=bool(desk.public_url))
    with suppress(KeyboardInterrupt):  # raised once more when everything is closed
        uvicorn.Server(config).run(sockets=[listening])
