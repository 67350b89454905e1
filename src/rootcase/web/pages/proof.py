"""The place Proof."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse

from rootcase.web.showing import page
from rootcase.web.who import Visitor, may

router = APIRouter()


@router.get("/proof")
def proof(request: Request, visitor: Annotated[Visitor, Depends(may("see_trees"))]) -> HTMLResponse:
    return page(request, "proof.html", visitor, place="proof")
