"""The case page of every tree of one property, as a signed-in person opens it."""

from __future__ import annotations

import json
import statistics
import time
from collections.abc import Callable, Mapping
from functools import cache
from typing import Any

from bench.served import Client, practice, serve_app
from bench.work import Work

ROUNDS = 20
opened_ms: list[float] = []
"""How long each page took that was opened before the turns."""


@cache
def pages() -> tuple[Client, str, tuple[str, ...]]:
    """A client, its token, and the addresses of the pages, each opened once already."""
    folder, property_id, token = practice()
    client = Client(serve_app, folder)
    compared: Any = json.loads(client.get(f"/api/properties/{property_id}/compare", token))
    addresses = tuple(f"/properties/{property_id}/trees/{tree['tree_id']}" for tree in compared["trees"])
    for address in addresses:
        client.get(address, token)
    return client, token, addresses


def about() -> Work:
    told = ""
    if opened_ms:
        worst = statistics.quantiles(opened_ms, n=20)[-1]
        told = (f" Of {len(opened_ms)} pages opened before the turns, 95 in 100 came within {worst:,.1f} ms (bar: "
                "100 ms).")
    return Work(what=f"The case pages of a property, warm, one after the other over one connection.{told}",
                unit="page", units=len(pages()[2]) if opened_ms else 1)


def run() -> Mapping[str, Callable[[], object]]:
    client, token, addresses = pages()
    for address in addresses * ROUNDS:
        begun = time.perf_counter()
        client.get(address, token)
        opened_ms.append((time.perf_counter() - begun) * 1e3)
    return {"the case pages": lambda: [client.get(address, token) for address in addresses]}
