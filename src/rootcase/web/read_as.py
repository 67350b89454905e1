"""How what could mean two things was read is told on the page behind its form; its address bears what was typed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from urllib.parse import urlencode

from fastapi import Request

from rootcase.records.observe import System
from rootcase.services.asked import Ask, read_as

FORM = "read"
"""Name of the form in the address."""


def with_read(form: str, asks: Iterable[Ask], typed: Mapping[str, str], system: System) -> str:
    """What the address of the next page bears; nothing where all was plain."""
    odd = {name: typed[name] for name in read_as(asks, typed, system)}
    return f"?{urlencode({FORM: form, **odd})}" if odd else ""


def lines_read(request: Request, asks: Iterable[Ask], system: System) -> tuple[str, ...]:
    """What is told of it there."""
    return tuple(read_as(asks, request.query_params, system).values()) if FORM in request.query_params else ()
