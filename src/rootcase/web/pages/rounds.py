"""Today: the rounds of the days ahead, given to their crews, moved by hand, planned anew."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Annotated

from fastapi import APIRouter, Depends, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from pydantic import BaseModel

from rootcase.services.crew_day import crew_days
from rootcase.services.fleet import take
from rootcase.services.own_rounds import own_rounds
from rootcase.services.shopping import shopping_of
from rootcase.services.week import give_round, take_round_back
from rootcase.services.week_known import round_of
from rootcase.services.week_moves import Asked
from rootcase.web import week_work
from rootcase.web.rounds_shown import board_shown, shopping_shown
from rootcase.web.showing import cells, page
from rootcase.web.typed import Typed
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
Giver = Annotated[Visitor, Depends(may("assign_jobs"))]
ROUNDS = "/today/rounds"
_NOTHING: Mapping[str, str] = {}


class Which(BaseModel):
    """A crew's round of a day."""

    day: date
    crew: str


class Moved(Which):
    """A stop of it, and where it goes."""

    stop: int
    to: int = 1
    to_day: date | None = None
    to_crew: str = ""
    out: str = ""


@router.get(ROUNDS)
def rounds(request: Request, visitor: Annotated[Visitor, Depends(may("see_trees"))]) -> HTMLResponse:
    return _page(request, visitor)


@router.post(f"{ROUNDS}/plan")
def plan(request: Request, visitor: Giver) -> RedirectResponse:
    desk = desk_of(request)
    job = desk.jobs.start(desk.tenant(visitor.practice_id), "week", week_work.plan,
                          desk.elsewhere(visitor.practice_id), desk.today(visitor.practice_id), desk.results,
                          leads_to=ROUNDS)
    return RedirectResponse(f"/jobs/{job.id}", 303)


@router.post(f"{ROUNDS}/replan")
def replan(request: Request, visitor: Giver) -> RedirectResponse:
    desk = desk_of(request)
    job = desk.jobs.start(desk.tenant(visitor.practice_id), "rest_of_day", week_work.replan,
                          desk.elsewhere(visitor.practice_id), desk.today(visitor.practice_id), visitor.code,
                          leads_to=ROUNDS)
    return RedirectResponse(f"/jobs/{job.id}", 303)


@router.post(f"{ROUNDS}/give")
def give(request: Request, visitor: Giver, typed: Annotated[Which, Form()]) -> RedirectResponse:
    desk = desk_of(request)
    found, week, _ = desk.jobs.call(week_work.board, desk.elsewhere(visitor.practice_id),
                                    desk.today(visitor.practice_id), desk.results)
    give_round(desk.book(visitor.practice_id), round_of(week, found, typed.day, typed.crew), visitor.code)
    return RedirectResponse(ROUNDS, 303)


@router.post(f"{ROUNDS}/back")
def take_back(request: Request, visitor: Giver, typed: Annotated[Which, Form()]) -> RedirectResponse:
    desk = desk_of(request)
    found, week, _ = desk.jobs.call(week_work.board, desk.elsewhere(visitor.practice_id),
                                    desk.today(visitor.practice_id), desk.results)
    take_round_back(desk.book(visitor.practice_id), round_of(week, found, typed.day, typed.crew), visitor.code)
    return RedirectResponse(ROUNDS, 303)


@router.post(f"{ROUNDS}/move")
def move(request: Request, visitor: Giver, typed: Annotated[Moved, Form()]) -> RedirectResponse:
    desk = desk_of(request)
    to = None if typed.out else (typed.to_day or typed.day, typed.to_crew or typed.crew, typed.to)
    desk.jobs.call(week_work.move, desk.elsewhere(visitor.practice_id), desk.today(visitor.practice_id), desk.results,
                   Asked(typed.day, typed.crew, typed.stop, to), visitor.code)
    return RedirectResponse(ROUNDS, 303)


@router.post(f"{ROUNDS}/batch")
def plan_batch(request: Request, visitor: Giver, typed: Typed) -> Response:
    wrong = take(desk_of(request).book(visitor.practice_id), "batch", typed, visitor.code, visitor.system)
    return _page(request, visitor, typed, wrong) if wrong else RedirectResponse(f"{ROUNDS}#batches", 303)


def _page(request: Request, visitor: Visitor, typed: Mapping[str, str] = _NOTHING,
          wrong: Mapping[str, str] = _NOTHING) -> HTMLResponse:
    desk = desk_of(request)
    found, week, planned = desk.jobs.call(week_work.board, desk.elsewhere(visitor.practice_id),
                                          desk.today(visitor.practice_id),
                                          desk.results)
    book = desk.book(visitor.practice_id)
    jobs = desk.jobs.of(desk.tenant(visitor.practice_id))
    last = next((job for job in jobs if job.work == "rest_of_day" and job.state == "done"), None)
    return page(request, "rounds.html", visitor, place="today", status=422 if wrong else 200, typed=cells(typed),
                wrong=cells(wrong), none_wrong=cells(_NOTHING), rest_left_out=last.result if last else (),
                jobs=[job for job in jobs if job.live and job.work in ("week", "rest_of_day")],
                own={(each.day, each.crew_id) for each in own_rounds(week.rounds, found.known.fleet, visitor.code)},
                shopping=shopping_shown(shopping_of(book, found, week), found, visitor.system),
                **board_shown(found, week, planned, visitor.system, crew_days(book, found, week.rounds)))
