"""The place Plans: where every property stands, from no plan to a programme that runs."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse

from rootcase.ground.dates import show_date
from rootcase.ground.words import say
from rootcase.records.observe import Property
from rootcase.records.offer import newest_answered
from rootcase.report.text.offer import state_line
from rootcase.report.text.plan import finding
from rootcase.report.text.signed import signature
from rootcase.services.kept import Kept
from rootcase.services.sign import fieldbook_state
from rootcase.services.standing import Standing
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
    state, why = plan_state(desk, visitor, standing, kept)
    people = {each.id: each.name for each in desk.book(visitor.practice_id).contacts(ground.id)}
    binding = newest_answered([made for made, _ in standing.offers])
    told = [(made, at) for made, at in standing.offers if made is binding or at.standing == "open"]
    return {"ground": ground, "state": state, "why": why, "offers": [
        state_line(made, at, people.get(made.answers[-1].contact_id, "") if made.answers else "", standing.record)
        for made, at in told], "programme": _programme(standing),
        "finding": finding(kept.casework.plan, kept.casework.record)
        if kept.casework and visitor.may("see_prices") else ""}


def plan_state(desk: Desk, visitor: Visitor, standing: Standing, kept: Kept) -> tuple[str, str]:
    """none, made, signed, perhaps or outdated; and in words which, or what came since."""
    if standing.signed is None:
        return ("made", kept_told(kept)) if kept.casework else ("none", say("sign.never"))
    told = signature(standing.signed)
    if kept.casework is None or kept.because:
        return "perhaps", f"{told} {kept_told(kept)}"
    book = desk.book(visitor.practice_id)
    now = kept.form("fieldbook_state", lambda made: fieldbook_state(book, made.record))
    return ("signed" if standing.signed.signing.fieldbook == now else "outdated"), told


def _programme(standing: Standing) -> str:
    state = standing.known.programme
    if state is None:
        return ""
    ahead = next((visit.due for visit in state.visits if visit.state == "ahead"), None)
    return say("plans.programme", day=show_date(state.programme.years[0][0]),
               ahead=show_date(ahead) if ahead else say("report.not_known"))
