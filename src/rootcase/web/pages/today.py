"""The place Today."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse

from rootcase.web.showing import page
from rootcase.web.who import Visitor, may

router = APIRouter()


@router.get("/")
def today(request: Request, visitor: Annotated[Visitor, Depends(may("see_trees"))]) -> HTMLResponse:
    return page(request, "today.html", visitor, place="today")
