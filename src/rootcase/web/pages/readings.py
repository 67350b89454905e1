"""One reading: as it was typed, by whom and when, what was said of it since, where it is used; and putting it right."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Depends, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.ground.errors import RootcaseError
from rootcase.ground.length import MOST_LINE, too_long
from rootcase.ground.words import say
from rootcase.report.text.depths import depth_told
from rootcase.report.text.figures import sentence
from rootcase.report.text.naming import kind_name, subjects
from rootcase.report.text.readings import value_told
from rootcase.services.people import seen_by, told_by
from rootcase.services.trace import reading_story
from rootcase.services.tree_photos import photo_behind
from rootcase.web.cases import figures_at_hand
from rootcase.web.people_told import moment_told
from rootcase.web.refused import asked_by_id
from rootcase.web.showing import page
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
Corrector = Annotated[Visitor, Depends(may("correct_readings"))]
REASONS = ("slip", "wrong_tree", "looked_again")
Line = Annotated[str, Form()]


@router.get("/readings/{reading_id}")
def reading(request: Request, visitor: Annotated[Visitor, Depends(may("see_trees"))], reading_id: str) -> HTMLResponse:
    return _reading(request, visitor, reading_id)


@router.post("/readings/{reading_id}/correct")
def correct(request: Request, visitor: Corrector, reading_id: str, typed: Line = "", reason: Line = "") -> Response:
    if long := too_long({"typed": typed, "reason": reason}, MOST_LINE):
        return _reading(request, visitor, reading_id, typed=typed, reason=reason, wrong=next(iter(long.values())))
    return _put_right(request, visitor, reading_id, {"typed": typed, "reason": reason},
                      lambda book: book.correct(reading_id, typed, _reason(reason), by=visitor.code))


@router.post("/readings/{reading_id}/take-back")
def take_back(request: Request, visitor: Corrector, reading_id: str, why: Line = "") -> Response:
    if why_not := too_long({"why": why}, MOST_LINE).get("why", "") if why.strip() else say("trace.say_why"):
        return _reading(request, visitor, reading_id, why=why, why_not=why_not)
    return _put_right(request, visitor, reading_id, {"why": why},
                      lambda book: book.take_back(reading_id, why, by=visitor.code))


@router.post("/readings/{reading_id}/is-right")
def is_right(request: Request, visitor: Corrector, reading_id: str) -> Response:
    return _put_right(request, visitor, reading_id, {}, lambda book: book.call_right(reading_id, "", by=visitor.code))


def _put_right(request: Request, visitor: Visitor, reading_id: str, typed: dict[str, str],
               tell: Callable[[Fieldbook], str]) -> Response:
    book = desk_of(request).book(visitor.practice_id)
    with asked_by_id():
        visitor.require(told_by(book.history(reading_id).kind))
    try:
        return RedirectResponse(f"/readings/{tell(book)}", 303)
    except RootcaseError as wrong:
        where = "why_not" if "why" in typed else "wrong"
        return _reading(request, visitor, reading_id, **typed, **{where: str(wrong)})


def _reading(request: Request, visitor: Visitor, reading_id: str, *, typed: str = "", reason: str = "", wrong: str = "",
             why: str = "", why_not: str = "") -> HTMLResponse:
    desk = desk_of(request)
    book = desk.book(visitor.practice_id)
    with asked_by_id():
        history = book.history(reading_id)
    visitor.require(seen_by(history.kind))
    ground = desk.ground(visitor.practice_id, history.property_id)
    kept = desk.kept(visitor.practice_id, ground)
    figures = figures_at_hand(kept, kept.casework.record.property.system) if kept.casework else {}
    story = reading_story(book, reading_id, figures)
    return page(request, "reading.html", visitor, place="trees", status=422 if wrong or why_not else 200,
                story=story, ground=ground, kept=kept, photo=photo_behind(book, ground.id, story.standing),
                names=subjects(story.record), kind_name=kind_name,
                sentence=sentence, depth=depth_told(story.standing, visitor.system) if story.standing else "",
                value_told=value_told, typed=typed, reason=reason, wrong=wrong, why=why, why_not=why_not,
                moment_shown=lambda made_at: moment_told(datetime.fromisoformat(made_at)),
                reasons=[(key, say(f"trace.reason.{key}")) for key in REASONS])


def _reason(key: str) -> str:
    """The reason in words, as it stays in the events."""
    return say(f"trace.reason.{key}") if key in REASONS else key
