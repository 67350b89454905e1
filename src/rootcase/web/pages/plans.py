"""The place Plans: where every property stands, from no plan to a programme that runs."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse

from rootcase.ground.dates import show_date
from rootcase.ground.words import say
from rootcase.records.observe import Property
from rootcase.report.text.offer import state_line
from rootcase.report.text.plan import finding
from rootcase.report.text.signed import signature
from rootcase.services.kept import Kept
from rootcase.services.offer import names_of
from rootcase.services.standing import PlanState, Standing, plan_state
from rootcase.web.desk import Desk
from rootcase.web.showing import page
from rootcase.web.telling import kept_told
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()


@router.get("/plans")
def plans(request: Request, visitor: Annotated[Visitor, Depends(may("see_plans"))]) -> HTMLResponse:
    desk = desk_of(request)
    rows = [_row(desk, visitor, ground) for ground in desk.grounds(visitor.practice_id).values()]
    return page(request, "plans.html", visitor, place="plans", rows=rows)


def _row(desk: Desk, visitor: Visitor, ground: Property) -> dict[str, Any]:
    standing, kept = desk.standing(visitor.practice_id, ground), desk.kept(visitor.practice_id, ground)
    book = desk.book(visitor.practice_id)
    state, why = plan_told(desk, visitor, standing, kept)
    people = names_of(book, ground)
    return {"ground": ground, "state": state, "why": why, "offers": [
        (made, state_line(made, at, people, standing.record)) for made, at in standing.told()],
        "programme": _programme(standing),
        "finding": _finding(standing, kept) if visitor.may("see_prices") else ""}


def _finding(standing: Standing, kept: Kept) -> str:
    """What the newest plan comes to; where what is signed comes to something else, that it was planned anew."""
    if kept.casework is None:
        return ""
    newest, record = finding(kept.casework.plan, kept.casework.record), kept.casework.record
    if standing.signed is None or finding(standing.signed.signing.plan, record) == newest:
        return newest
    return say("plans.planned_anew", finding=newest)


def plan_told(desk: Desk, visitor: Visitor, standing: Standing, kept: Kept) -> tuple[PlanState, str]:
    """Where the plan stands, and in words which it is, or what came since."""
    state = plan_state(desk.book(visitor.practice_id), standing, kept)
    if standing.signed is None:
        return state, kept_told(kept) if kept.casework else say("sign.never")
    told = signature(standing.signed)
    return state, f"{told} {kept_told(kept)}" if state == "perhaps" else told


def _programme(standing: Standing) -> str:
    state = standing.known.programme
    if state is None:
        return ""
    ahead = next((visit.due for visit in state.visits if visit.state == "ahead"), None)
    return say("plans.programme", day=show_date(state.programme.years[0][0]),
               ahead=show_date(ahead) if ahead else say("report.not_known"))
