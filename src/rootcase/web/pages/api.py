"""The API in words: every address of it, who may, and what comes back."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse

from rootcase.web.showing import page
from rootcase.web.who import Visitor, may

router = APIRouter()


@router.get("/api/")
def api(request: Request, visitor: Annotated[Visitor, Depends(may("see_practice"))]) -> HTMLResponse:
    described = request.app.openapi()["paths"]
    routes = [(method.upper(), path, about) for path, methods in described.items() for method, about in methods.items()]
    return page(request, "api.html", visitor, routes=routes)
