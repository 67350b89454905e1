"""Slides under the microscope: counted at the bench, by tally keys or by plain text, and what they come to."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from rootcase.ground.length import MOST_NAME
from rootcase.records.make.slide import Slide
from rootcase.services.read import marked
from rootcase.services.slide_form import ASKS, METHODS, cells_of
from rootcase.services.slide_photos import last_scale
from rootcase.services.slides import (
    correct_slide,
    keep_slide,
    remembered,
    seen,
    slide_named,
    slides,
    sources_there,
    take_slide_back,
    try_slide,
)
from rootcase.web.photo_work import getting_ready
from rootcase.web.read_as import lines_read, with_read
from rootcase.web.refused import asked_by_id
from rootcase.web.showing import cells, page
from rootcase.web.slides_shown import form_shown, list_shown, slide_shown
from rootcase.web.typed import Typed
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter(prefix="/make/slides")
Sees = Annotated[Visitor, Depends(may("see_trees"))]
Reads = Annotated[Visitor, Depends(may("take_readings"))]
Corrects = Annotated[Visitor, Depends(may("correct_readings"))]


@router.get("")
def all_slides(request: Request, visitor: Sees) -> HTMLResponse:
    known = slides(desk_of(request).book(visitor.practice_id))
    return page(request, "slides.html", visitor, place="make", **list_shown(known))


@router.get("/new")
def new_slide(request: Request, visitor: Reads, method: Annotated[str, Query(max_length=20)] = "",
              source: Annotated[str, Query(max_length=20)] = "",
              source_id: Annotated[str, Query(max_length=MOST_NAME)] = "",
              repeat_of: Annotated[str, Query(max_length=80)] = "") -> HTMLResponse:
    way = next((each for each in METHODS if each == method), METHODS[0])
    known, last = remembered(desk_of(request).book(visitor.practice_id), way, visitor.code)
    typed = marked({**known, "method": way, "source": source, "source_id": source_id, "repeat_of": repeat_of})
    return _form(request, visitor, typed, {}, last=last)


@router.post("/new")
def keep_new(request: Request, visitor: Reads, typed: Typed) -> Response:
    desk, typed = desk_of(request), marked(typed)
    if typed.get("do") == "try":
        told = try_slide(typed, by=visitor.code, today=desk.today(visitor.practice_id), system=visitor.system)
        return _form(request, visitor, typed, told.wrong, told=told)
    told = keep_slide(desk.book(visitor.practice_id), typed, by=visitor.code, today=desk.today(visitor.practice_id),
                      system=visitor.system)
    if told.wrong or told.slide is None:
        return _form(request, visitor, typed, told.wrong)
    return RedirectResponse(f"/make/slides/{told.slide.id}{_read(told.slide, typed, visitor)}", 303)


@router.get("/{slide_id}")
def slide(request: Request, visitor: Sees, slide_id: str) -> HTMLResponse:
    shown = slide_page(request, visitor, slide_id, {}, {})
    getting_ready(desk_of(request), visitor, request.url.path)  # while a photo is looked for that may be sent from here
    return shown


@router.get("/{slide_id}/correct")
def to_correct(request: Request, visitor: Corrects, slide_id: str) -> HTMLResponse:
    with asked_by_id():
        found = slide_named(desk_of(request).book(visitor.practice_id), slide_id)
    return _form(request, visitor, cells_of(found), {}, correcting=found.id)


@router.post("/{slide_id}/correct")
def correct(request: Request, visitor: Corrects, slide_id: str, typed: Typed) -> Response:
    desk = desk_of(request)
    book = desk.book(visitor.practice_id)
    with asked_by_id():
        found = slide_named(book, slide_id)
        typed = {**typed, "method": found.method}
        told = correct_slide(book, found, typed, by=visitor.code, today=desk.today(visitor.practice_id),
                             system=visitor.system)
    if told.wrong:
        return _form(request, visitor, typed, told.wrong, correcting=found.id)
    return RedirectResponse(f"/make/slides/{found.id}{_read(found, typed, visitor)}", 303)


@router.post("/{slide_id}/take-back")
def take_back(request: Request, visitor: Corrects, slide_id: str, typed: Typed) -> Response:
    book = desk_of(request).book(visitor.practice_id)
    with asked_by_id():
        wrong = take_slide_back(book, slide_named(book, slide_id), typed.get("reason", ""), by=visitor.code)
    if wrong:
        return slide_page(request, visitor, slide_id, typed, {"reason": wrong})
    return RedirectResponse("/make/slides", 303)


def slide_page(request: Request, visitor: Visitor, slide_id: str, typed: Mapping[str, str],
               wrong: Mapping[str, str]) -> HTMLResponse:
    """A slide, and what was wrong with a form on its page."""
    book = desk_of(request).book(visitor.practice_id)
    with asked_by_id():
        found = seen(book, slide_id)
    return page(request, "slide.html", visitor, place="make", status=422 if wrong else 200, typed=cells(typed),
                wrong=cells(wrong), said=lines_read(request, ASKS[found.slide.method], visitor.system),
                **slide_shown(found, last_scale(book, visitor.code)))


def _read(slide: Slide, typed: Mapping[str, str], visitor: Visitor) -> str:
    return with_read("slide", ASKS[slide.method], typed, visitor.system)


def _form(request: Request, visitor: Visitor, typed: Mapping[str, str], wrong: Mapping[str, str],
          **shown: Any) -> HTMLResponse:
    there = sources_there(desk_of(request).book(visitor.practice_id))
    return page(request, "slide_form.html", visitor, place="make", status=422 if wrong else 200, typed=cells(typed),
                wrong=cells(wrong), **form_shown(typed, visitor.system, there, **shown))
