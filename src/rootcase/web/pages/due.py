"""What is due, until a day somebody names."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse

from rootcase.ground.dates import count_days, read_date, show_date
from rootcase.ground.errors import RootcaseError
from rootcase.ground.words import say
from rootcase.report.text.due import due_lines
from rootcase.services.standing import AHEAD, due_at
from rootcase.web.showing import page
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()


@router.get("/due")
def due(request: Request, visitor: Annotated[Visitor, Depends(may("see_plans"))], until: str = "") -> HTMLResponse:
    desk = desk_of(request)
    today = desk.today(visitor.practice_id)
    last, wrong = _day(until, today)
    standings = [desk.standing(visitor.practice_id, ground) for ground in desk.grounds(visitor.practice_id).values()]
    items = due_at(standings, desk.book(visitor.practice_id), today, last)
    lines = due_lines(items, {each.ground.id: each.record for each in standings}, today)
    return page(request, "due.html", visitor, place="plans", status=422 if wrong else 200, wrong=wrong,
                until=until or show_date(last), rows=list(zip(items, lines, strict=True)), last=show_date(last),
                days=count_days((last - today).days))


def _day(typed: str, today: date) -> tuple[date, str]:
    """The last day that is shown, and what is wrong with what was typed."""
    if not typed.strip():
        return today + AHEAD, ""
    try:
        asked = read_date(typed, None)
    except RootcaseError as error:
        return today + AHEAD, str(error)
    return (asked, "") if asked >= today else (today + AHEAD, say("offer.due.no_until", day=show_date(today)))
