"""Today, Week: which day allows which signed work at which place, and what was told of each ground."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, cast

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from rootcase.ground.dates import count_days, show_date
from rootcase.report.text.ground_told import told_line
from rootcase.report.text.windows import later_lines
from rootcase.services.ground_told import KINDS, SOIL_STATES, Kind, all_told, end_told, tell_of_ground
from rootcase.services.week_calendar import take_calendar
from rootcase.services.windows import GroundWindows, windows_of_all
from rootcase.web.showing import cells, page
from rootcase.web.typed import Typed
from rootcase.web.week_shown import calendar_days, shown_ground, work_choices
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
DAYS = 10
"""JUDGEMENT: two working weeks; further ahead no forecast tells more than the time of year does."""
_NOTHING: Mapping[str, str] = {}


@router.get("/today/week")
def week(request: Request, visitor: Annotated[Visitor, Depends(may("see_trees"))]) -> HTMLResponse:
    found, today = _found(request, visitor), desk_of(request).today(visitor.practice_id)
    shown = [shown_ground(each, today, visitor.system) for each in found if each.jobs]
    later = [(each.ground.name, later_lines(each.later)) for each in found if each.later]
    rows = [row for ground in shown for row in ground.rows]
    fit = sum(any(cell.state == "fit" for cell in row) for _, row in rows)
    planned = {ground.id for ground in shown}
    others = [(ground.id, ground.name) for ground in desk_of(request).grounds(visitor.practice_id).values()
              if ground.id not in planned]
    return page(request, "week.html", visitor, place="today", grounds=shown, fit=fit, of=len(rows),
                days=count_days(DAYS), others=others, later=later)


@router.post("/today/week.ics")
def calendar(request: Request, visitor: Annotated[Visitor, Depends(may("take_readings"))]) -> Response:
    desk = desk_of(request)
    file = take_calendar(desk.book(visitor.practice_id), [*calendar_days(_found(request, visitor), visitor.system)],
                         desk.today(visitor.practice_id), visitor.code)
    return Response(file, media_type="text/calendar; charset=utf-8",
                    headers={"content-disposition": 'attachment; filename="fit-days.ics"'})


@router.get("/properties/{property_id}/days")
def days(request: Request, property_id: str,
         visitor: Annotated[Visitor, Depends(may("see_trees"))]) -> HTMLResponse:
    return _days(request, visitor, property_id, "", _NOTHING, _NOTHING)


@router.post("/properties/{property_id}/days")
def tell(request: Request, property_id: str, visitor: Annotated[Visitor, Depends(may("take_readings"))],
         typed: Typed) -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    kind = typed.get("kind", "") if typed.get("kind") in KINDS else "locate"
    wrong = tell_of_ground(desk.book(visitor.practice_id), ground, cast(Kind, kind), typed, by=visitor.code,
                           today=desk.today(visitor.practice_id))
    return _days(request, visitor, property_id, kind, typed, wrong) if wrong else _back(property_id)


@router.post("/properties/{property_id}/days/{slot}/end")
def end(request: Request, property_id: str, slot: str,
        visitor: Annotated[Visitor, Depends(may("take_readings"))]) -> Response:
    desk = desk_of(request)
    end_told(desk.book(visitor.practice_id), desk.ground(visitor.practice_id, property_id), slot, by=visitor.code)
    return _back(property_id)


def _back(property_id: str) -> Response:
    return RedirectResponse(f"/properties/{property_id}/days", 303)


def _found(request: Request, visitor: Visitor) -> tuple[GroundWindows, ...]:
    desk = desk_of(request)
    return windows_of_all(desk.book(visitor.practice_id), desk.grounds(visitor.practice_id).values(),
                          desk.today(visitor.practice_id),
                          DAYS)


def _days(request: Request, visitor: Visitor, property_id: str, kind: str, typed: Mapping[str, str],
          wrong: Mapping[str, str]) -> HTMLResponse:
    """What was told, and a form for each kind; what was refused stands in its own form as it was typed."""
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    book = desk.book(visitor.practice_id)
    record = book.record(ground.id)
    told = [(each.id, told_line(each, record)) for each in all_told(book.applying.ground(ground.id))]
    fresh = {name: show_date(desk.today(visitor.practice_id)) for name in ("first", "day")}
    forms = [(each, fields, *((cells(typed), cells(wrong), True) if each == kind else (cells(fresh), cells({}), False)))
             for each, fields in KINDS.items()]
    return page(request, "days.html", visitor, place="today", status=422 if wrong else 200, ground=ground, told=told,
                forms=forms, states=SOIL_STATES, places=record.places, trees=record.trees, remedies=work_choices())
