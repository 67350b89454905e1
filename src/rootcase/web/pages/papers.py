"""The papers of the rounds: what is printed and taken along."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from fastapi import APIRouter, Depends, Request
from fastapi.responses import Response

from rootcase.services.own_rounds import is_own_round
from rootcase.web import paper_work
from rootcase.web.refused import asked_by_id
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter(prefix="/today/rounds")


@router.get("/shopping.pdf")
def shopping(request: Request, visitor: Annotated[Visitor, Depends(may("see_trees"))]) -> Response:
    desk = desk_of(request)
    made = desk.jobs.call(paper_work.shopping, desk.elsewhere(visitor.practice_id), desk.today(visitor.practice_id),
                          desk.results,
                          visitor.system)
    return _pdf(made, f"shopping-{desk.today(visitor.practice_id)}")


@router.get("/{day}/{crew}/{what}.pdf")
def sheet(request: Request, visitor: Annotated[Visitor, Depends(may("print_rounds"))], day: date, crew: str,
          what: Literal["day", "jobs"]) -> Response:
    desk = desk_of(request)
    if not is_own_round(desk.book(visitor.practice_id), visitor.code, day, crew):
        visitor.require("assign_jobs")
    with asked_by_id():
        made = desk.jobs.call(paper_work.sheet, desk.elsewhere(visitor.practice_id), desk.today(visitor.practice_id),
                              desk.results,
                              visitor.system, (day, crew), what)
    return _pdf(made, f"{what}-{day}")


def _pdf(made: bytes, name: str) -> Response:
    return Response(made, media_type="application/pdf",
                    headers={"content-disposition": f'inline; filename="{name}.pdf"'})
