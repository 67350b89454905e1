"""The address of a page as somebody outside types it."""

from __future__ import annotations

from fastapi import Request

from rootcase.web.who import desk_of


def outside(request: Request, path: str) -> str:
    """Whole, under the name the desk is known by where it has one."""
    return f"{desk_of(request).public_url or str(request.base_url).rstrip('/')}{path}"
