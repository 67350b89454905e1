"""The client's page: an address that nobody can guess opens one offer, and takes three answers to it."""

from __future__ import annotations

from typing import Literal

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse, Response

from rootcase.fieldbook.people.links import open_link
from rootcase.ground.errors import RootcaseError
from rootcase.ground.length import MOST_WORDS
from rootcase.records.observe import Property
from rootcase.records.offer import AnswerWord, MadeOffer
from rootcase.records.people import ClientLink
from rootcase.services.client import MOST_NAME, answer_by_link
from rootcase.services.offer import Answering, TooOften
from rootcase.web.client_shown import client_page, offered
from rootcase.web.desk import OWN
from rootcase.web.showing import page
from rootcase.web.typed import Typed
from rootcase.web.who import desk_of

router = APIRouter(prefix="/c/{token}")
_DIGITS = 4
"""No offer has a thousand options."""


@router.get("")
def show(request: Request, token: str) -> Response:
    return _answered(request, token, None)


@router.get("/yes")
@router.get("/question")
@router.get("/no")
def without_an_answer(token: str) -> Response:
    """An address of an answer that was typed or kept: the page that takes answers."""
    return RedirectResponse(f"/c/{token}", 303)


@router.post("/yes")
def yes(request: Request, token: str, typed: Typed) -> Response:
    return _answered(request, token, _said("yes", typed))


@router.post("/question")
def question(request: Request, token: str, typed: Typed) -> Response:
    return _answered(request, token, _said("question", typed))


@router.post("/no")
def no(request: Request, token: str, typed: Typed) -> Response:
    return _answered(request, token, _said("no", typed))


def _answered(request: Request, token: str, said: Answering | None) -> Response:
    """The page of a link, or what came of an answer; what opens nothing is told in the same words, whatever it is."""
    desk = desk_of(request)
    link = open_link(desk.book(OWN).store, token, desk.now())
    found = offered(desk, link) if link else None
    if link is None or found is None:
        return page(request, "client_ended.html", None, status=404)
    ground, made = found
    if said is None:
        return _page(request, link, ground, made)
    try:
        answer_by_link(desk.book(link.practice_id), ground, made, said, desk.today(link.practice_id))
    except RootcaseError as trouble:
        return _page(request, link, ground, made, said, trouble)
    return RedirectResponse(f"/c/{token}#said", 303)


def _page(request: Request, link: ClientLink, ground: Property, made: MadeOffer, said: Answering | None = None,
          trouble: RootcaseError | None = None) -> Response:
    status = 200 if trouble is None else 429 if isinstance(trouble, TooOften) else 422
    shown = client_page(desk_of(request), link, ground, made)
    return page(request, "client.html", None, status=status, typed=said, trouble=trouble, most_name=MOST_NAME,
                most_words=MOST_WORDS, answers=ANSWERS, **shown)


ANSWERS: tuple[Literal["yes"], Literal["question"], Literal["no"]] = ("yes", "question", "no")


def _said(answer: AnswerWord, typed: Typed) -> Answering:
    option = typed.get("option", "")
    number = int(option) if option.isdecimal() and len(option) < _DIGITS and answer == "yes" else None
    return Answering(answer, typed.get("name", ""), number, typed.get("words", ""))
