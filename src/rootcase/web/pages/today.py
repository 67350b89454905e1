"""The place Today: what waits for somebody, whatever property it is of."""

from __future__ import annotations

from datetime import timedelta
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse

from rootcase.report.text.due import due_lines
from rootcase.report.text.naming import kind_name, subjects
from rootcase.report.text.offer import state_line
from rootcase.services.standing import Standing, due_at
from rootcase.web.desk import Desk
from rootcase.web.pages.plans import plan_state
from rootcase.web.showing import page
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
SOON = timedelta(days=14)
"""JUDGEMENT: two weeks ahead are planned on Monday; the list of what is due looks further."""
ANSWERED = timedelta(days=14)
"""JUDGEMENT: as long an answer is news; a question stays until another offer is made."""


@router.get("/")
def today(request: Request, visitor: Annotated[Visitor, Depends(may("see_trees"))]) -> HTMLResponse:
    desk = desk_of(request)
    day, grounds = desk.today(), desk.grounds(visitor.practice_id).values()
    standings = [desk.standing(visitor.practice_id, ground) for ground in grounds]
    items = due_at(standings, desk.book(visitor.practice_id), day, day + SOON)
    lines = due_lines(items, {each.ground.id: each.record for each in standings}, day)
    plans = [(each.ground, *plan_state(desk, visitor, each, desk.kept(visitor.practice_id, each.ground)))
             for each in standings if each.signed]
    return page(request, "today.html", visitor, place="today", due=list(zip(items, lines, strict=True)),
                jobs=[job for job in desk.jobs.of(desk.tenant(visitor.practice_id)) if job.live],
                answers=[line for each in standings for line in _answers(desk, visitor, each)],
                doubts=[line for each in standings for line in _doubts(each)],
                plans=[each for each in plans if each[1] != "signed"], any_ground=bool(standings))


def _answers(desk: Desk, visitor: Visitor, standing: Standing) -> list[dict[str, Any]]:
    """What clients said lately, and what they asked and nobody has answered by another offer."""
    people = {each.id: each.name for each in desk.book(visitor.practice_id).contacts(standing.ground.id)}
    told = []
    for at, (made, state) in enumerate(standing.offers):
        if not made.answers:
            continue
        last = made.answers[-1]
        if desk.today() - last.day <= ANSWERED or (at == 0 and last.answer == "question"):
            told.append({"ground": standing.ground, "mark": made.mark, "line": state_line(
                made, state, people.get(last.contact_id, ""), standing.record)})
    return told


def _doubts(standing: Standing) -> list[dict[str, Any]]:
    called = subjects(standing.record)
    return [{"ground": standing.ground, "id": reading.id, "of": called.get(reading.of, ""),
             "kind": kind_name(reading.kind), "typed": reading.typed, "doubts": reading.doubts, "day": reading.day}
            for reading in standing.doubted]
