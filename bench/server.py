"""Casework that is kept, as the API answers it, beside a bare server of the same bytes."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache

from bench.served import Client, practice, serve_app, serve_bytes
from bench.work import Work

REQUESTS = 200


@cache
def clients() -> tuple[Client, Client]:
    folder, property_id, token = practice()
    app = Client(serve_app, folder)
    body = app.get(f"/api/properties/{property_id}/casework", token)
    return app, Client(serve_bytes, body)


def about() -> Work:
    return Work(what="The stored casework of one property, half a megabyte of JSON, for a signed-in person, over one "
                     "connection that stays open; bare: uvicorn with the same settings and an app that sends these "
                     "bytes and nothing else.", unit="request", units=REQUESTS,
                yardsticks=("bare uvicorn",))


def run() -> Mapping[str, Callable[[], object]]:
    app, bare = clients()
    _, property_id, token = practice()
    address = f"/api/properties/{property_id}/casework"
    return {"bare uvicorn": lambda: [bare.get("/") for _ in range(REQUESTS)],
            "rootcase": lambda: [app.get(address, token) for _ in range(REQUESTS)]}
