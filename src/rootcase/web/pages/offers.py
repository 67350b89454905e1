"""Offers: put to the client, looked at, shown by a link, answered; and what is repeated by agreement."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping, Sequence
from typing import Annotated, Any
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import RedirectResponse, Response

from rootcase.fieldbook.people.links import MOST_DAYS, USUAL_DAYS, end_link, links, make_link
from rootcase.ground.errors import RootcaseError, UnreadableValue
from rootcase.ground.words import say
from rootcase.records.observe import Property
from rootcase.records.offer import MadeOffer, Reply
from rootcase.records.people import ClientLink
from rootcase.records.report import Author
from rootcase.report.text.offer import (
    Shown,
    option_name,
    questions_told,
    standing_line,
    state_line,
    work_lines,
)
from rootcase.report.text.signed import mark_shown
from rootcase.services.offer import offers_of, read_budgets, reply_to, without_step
from rootcase.web import plan_work
from rootcase.web.address import outside
from rootcase.web.desk import Desk
from rootcase.web.offer_shown import paper_of
from rootcase.web.refusals import NotThere
from rootcase.web.showing import page
from rootcase.web.typed import Typed
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
Offerer = Annotated[Visitor, Depends(may("show_clients"))]
AT = "/properties/{property_id}/offers"


@router.get(AT)
def offers(request: Request, property_id: str, visitor: Offerer) -> Response:
    return _offers(request, visitor, property_id)


@router.post(AT)
def make(request: Request, property_id: str, visitor: Offerer, typed: Typed) -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    try:
        budgets = read_budgets(typed.get("budgets", ""), ground)
        if not desk.kept(visitor.practice_id, ground).current:
            return _offers(request, visitor, property_id, typed, {"make": say("plans.explain_first")})
        shown, _ = desk.jobs.call(plan_work.offer, desk.elsewhere(visitor.practice_id), property_id,
                                  desk.run(visitor.practice_id),
                                  budgets)
    except RootcaseError as error:
        return _offers(request, visitor, property_id, typed, {"budgets": str(error)})
    asked = f"?{urlencode({'steps': typed['budgets']})}" if budgets else ""
    return RedirectResponse(f"/properties/{property_id}/offers/{shown.made.mark}{asked}", 303)


@router.get(AT + "/{mark}")
def offer(request: Request, property_id: str, mark: str, visitor: Offerer,
          steps: Annotated[str, Query(max_length=400)] = "") -> Response:
    return _offer(request, visitor, property_id, mark, steps=steps)


@router.get(AT + "/{mark}/offer.pdf")
def paper(request: Request, property_id: str, mark: str, visitor: Offerer) -> Response:
    desk, ground, made = _made(request, visitor, property_id, mark)
    shown = _shown(desk, visitor, ground, made)
    if shown is None:
        raise NotThere(say("plans.offer_gone"), right=say("plans.offer_anew"))
    data = desk.jobs.call(plan_work.offer_paper, shown, Author(visitor.name))
    return Response(data, media_type="application/pdf", headers={"content-disposition": "inline; filename=offer.pdf"})


@router.post(AT + "/{mark}/links")
def show_client(request: Request, property_id: str, mark: str, visitor: Offerer, typed: Typed) -> Response:
    """The answer holds the address: it is shown this once."""
    desk, _, made = _made(request, visitor, property_id, mark)
    days = typed.get("days", "").strip() or str(USUAL_DAYS)
    try:
        if not re.fullmatch("[0-9]{1,9}", days):
            raise UnreadableValue(say("bring.no_count"), value=f'"{days}"',
                                  right=say("people.link_days_right", most=MOST_DAYS))
        token, link = make_link(desk.book(visitor.practice_id).store, property_id, made.mark, by=visitor.code,
                                now=desk.now(), random_bytes=os.urandom, days=int(days))
    except RootcaseError as error:
        return _offer(request, visitor, property_id, mark, fault=str(error), days=days)
    return _offer(request, visitor, property_id, mark, address=outside(request, f"/c/{token}"), fresh=link)


@router.post(AT + "/{mark}/questions/{question}")
def reply(request: Request, property_id: str, mark: str, question: str, visitor: Offerer, typed: Typed) -> Response:
    """What was said back, which the client's page shows; or that it was said by word of mouth."""
    desk, ground, made = _made(request, visitor, property_id, mark)
    words = "" if "spoken" in typed else typed.get("words", "").strip()
    if not words and "spoken" not in typed:
        return _offer(request, visitor, property_id, mark, unreplied=(question, "", say("plans.say_back")))
    try:
        reply_to(desk.book(visitor.practice_id), ground, made.mark, Reply(desk.today(visitor.practice_id),
                                                                          visitor.code, words), question)
    except RootcaseError as error:
        return _offer(request, visitor, property_id, mark, unreplied=(question, words, str(error)))
    return RedirectResponse(f"/properties/{property_id}/offers/{mark}#questions", 303)


@router.post(AT + "/{mark}/links/{link_id}/end")
def end(request: Request, property_id: str, mark: str, link_id: str, visitor: Offerer) -> Response:
    desk, _, made = _made(request, visitor, property_id, mark)
    if all(each.id != link_id for each in _links(desk, visitor, property_id, made)):
        raise NotThere(say("people.no_link"), value=link_id)
    end_link(desk.book(visitor.practice_id).store, link_id, desk.now())
    return RedirectResponse(f"/properties/{property_id}/offers/{mark}#links", 303)


def _offers(request: Request, visitor: Visitor, property_id: str, typed: Mapping[str, str] | None = None,
            faults: Mapping[str, str] | None = None) -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    record, made, people = offers_of(desk.book(visitor.practice_id), ground, desk.today(visitor.practice_id))
    told = [(each, state, state_line(each, state, people, record)) for each, state in made]
    return page(request, "offers.html", visitor, place="plans", status=422 if faults else 200, ground=ground,
                property_id=property_id, kept=desk.kept(visitor.practice_id, ground), offers=told, typed=typed or {},
                jobs=desk.jobs.of(desk.tenant(visitor.practice_id), property_id), faults=faults or {},
                mark_shown=mark_shown)


def _offer(request: Request, visitor: Visitor, property_id: str, mark: str, *, fault: str = "", address: str = "",
           fresh: ClientLink | None = None, days: str = str(USUAL_DAYS),
           unreplied: tuple[str, str, str] = ("", "", ""), steps: str = "") -> Response:
    """unreplied: a question's id, what was typed back, and what is wrong with that; steps: the sums asked for."""
    desk, ground, made = _made(request, visitor, property_id, mark)
    record, offered, people = offers_of(desk.book(visitor.practice_id), ground, desk.today(visitor.practice_id))
    state = next(state for each, state in offered if each.mark == mark)
    shown = _shown(desk, visitor, ground, made)
    kept = desk.kept(visitor.practice_id, ground)
    return page(request, "offer.html", visitor, place="plans", status=422 if fault or unreplied[2] else 200,
                ground=ground, questions=questions_told(made, people), unreplied=unreplied, property_id=property_id,
                made=made, traced=shown is not None and kept.current and not shown.changes,
                line=standing_line(made, state, people, record),
                open=state.standing == "open", without=_without(made, steps, ground),
                paper=_paper(shown) if shown else None, now=desk.now(), address=address,
                links=_links(desk, visitor, property_id, made), days=days, fault=fault, fresh=fresh)


def _without(made: MadeOffer, steps: str, ground: Property) -> list[str]:
    """What is told of sums that buy no step; of what are no sums, nothing."""
    try:
        return without_step(made.offer, read_budgets(steps, ground))
    except RootcaseError:
        return []


def _paper(shown: Shown) -> dict[str, Any]:
    """The offer as its PDF says it."""
    return {**paper_of(shown),
            "options": [(option_name(each), work_lines(each, shown)) for each in shown.offer.options if each.work]}


def _made(request: Request, visitor: Visitor, property_id: str, mark: str) -> tuple[Desk, Property, MadeOffer]:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    made = next((each for each in desk.book(visitor.practice_id).offers(property_id) if each.mark == mark), None)
    if made is None:
        raise NotThere(say("plans.no_offer"), value=mark[:8])
    return desk, ground, made


def _shown(desk: Desk, visitor: Visitor, ground: Property, made: MadeOffer) -> Shown | None:
    shown: Shown | None = desk.jobs.call(plan_work.shown, desk.elsewhere(visitor.practice_id), ground.id,
                                         desk.run(visitor.practice_id),
                                         made)
    return shown


def _links(desk: Desk, visitor: Visitor, property_id: str, made: MadeOffer) -> Sequence[ClientLink]:
    return [each for each in links(desk.book(visitor.practice_id).store, property_id) if each.offer_mark == made.mark]
