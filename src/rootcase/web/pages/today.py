"""The place Today: what waits for somebody, whatever property it is of."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse

from rootcase.report.text.due import due_lines
from rootcase.report.text.naming import kind_name, subjects
from rootcase.report.text.offer import state_line
from rootcase.services.offer import names_of
from rootcase.services.standing import SOON, Standing, due_at, went_wrong_lately
from rootcase.web.desk import Desk
from rootcase.web.pages.plans import plan_told
from rootcase.web.showing import page
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()


@router.get("/")
def today(request: Request, visitor: Annotated[Visitor, Depends(may("see_trees"))]) -> HTMLResponse:
    desk = desk_of(request)
    day, grounds = desk.today(visitor.practice_id), desk.grounds(visitor.practice_id).values()
    standings = [desk.standing(visitor.practice_id, ground) for ground in grounds]
    items = [each for each in due_at(standings, desk.book(visitor.practice_id), day, day + SOON)
             if each.kind != "question"]  # they stand among what clients said
    lines = due_lines(items, {each.ground.id: each.record for each in standings}, day)
    plans = [(each.ground, *plan_told(desk, visitor, each, desk.kept(visitor.practice_id, each.ground)))
             for each in standings if each.signed]
    return page(request, "today.html", visitor, place="today", due=list(zip(items, lines, strict=True)),
                jobs=[job for job in desk.jobs.of(desk.tenant(visitor.practice_id)) if job.live],
                answers=[line for each in standings for line in _answers(desk, visitor, each)],
                doubts=[line for each in standings for line in _doubts(each)],
                plans=[each for each in plans if each[1] != "signed"], wrong=went_wrong_lately(standings, day),
                names={ground.id: ground.name for ground in grounds})


def _answers(desk: Desk, visitor: Visitor, standing: Standing) -> list[dict[str, Any]]:
    """What clients said lately, and what they asked and nobody has answered."""
    people = names_of(desk.book(visitor.practice_id), standing.ground)
    return [{"ground": standing.ground, "mark": made.mark, "asked": bool(made.open_questions),
             "line": state_line(made, state, people, standing.record)}
            for made, state in standing.news(desk.today(visitor.practice_id))]


def _doubts(standing: Standing) -> list[dict[str, Any]]:
    called = subjects(standing.record)
    return [{"ground": standing.ground, "id": reading.id, "of": called.get(reading.of, ""),
             "kind": kind_name(reading.kind), "typed": reading.typed, "doubts": reading.doubts, "day": reading.day}
            for reading in standing.doubted]
