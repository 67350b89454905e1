"""The phone's one page and what its scripts read; it holds nothing of a practice and is open to anyone."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, JSONResponse

from rootcase.services.field_kinds import field_catalogue, field_words
from rootcase.web.showing import page
from rootcase.web.statics import shrunk

router = APIRouter()


@router.get("/field")
def field(request: Request) -> HTMLResponse:
    return page(request, "field.html", None)


@router.get("/field/kinds.json")
def field_kinds(request: Request) -> JSONResponse:
    return shrunk(request, JSONResponse(field_catalogue()))


@router.get("/field/words.json")
def words(request: Request) -> JSONResponse:
    return shrunk(request, JSONResponse(field_words()))
