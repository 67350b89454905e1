"""Photos of a slide: sent, measured, looked at with their lines, and mended by hand."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache, partial
from pathlib import Path
from typing import Annotated

from fastapi import APIRouter, Depends, File, Form, Request, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from rootcase.fieldbook.intake.fence import picture_anew
from rootcase.ground.errors import FileError
from rootcase.ground.words import say
from rootcase.records.make.slide import PhotoLength, Slide
from rootcase.services.hyphae import HyphaePhoto, hyphae_on
from rootcase.services.slide_photos import SCALE, add_photo, deleted_lines, mend_photo, photo_named
from rootcase.services.slides import slide_named, take_slide_back
from rootcase.web.jobs import Jobs
from rootcase.web.pages.slides import slide_page
from rootcase.web.photo_work import unready, wait_until_ready
from rootcase.web.read_as import lines_read, with_read
from rootcase.web.refusals import NotThere
from rootcase.web.refused import asked_by_id
from rootcase.web.showing import cells, page
from rootcase.web.slide_photos_shown import gone_of, photo_shown
from rootcase.web.typed import Typed
from rootcase.web.uploads import kept_for_work
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter(prefix="/make/slides/{slide_id}")
Sees = Annotated[Visitor, Depends(may("see_trees"))]
Reads = Annotated[Visitor, Depends(may("take_readings"))]
Corrects = Annotated[Visitor, Depends(may("correct_readings"))]
_CACHED = {"cache-control": "private, max-age=86400"}


@router.post("/photos")
def add(request: Request, visitor: Reads, slide_id: str, photo: Annotated[UploadFile, File()],
        um_per_px: Annotated[str, Form()] = "", micrometer: Annotated[str, Form()] = "",
        pixels: Annotated[str, Form()] = "") -> Response:
    desk = desk_of(request)
    typed = {"um_per_px": um_per_px, "micrometer": micrometer, "pixels": pixels}
    with asked_by_id():
        slide = slide_named(desk.book(visitor.practice_id), slide_id)
    wait_until_ready(desk, visitor, f"/make/slides/{slide.id}")
    with kept_for_work(photo) as path:
        made, wrong = add_photo(desk.book(visitor.practice_id), slide, path if photo.filename else None, typed,
                                partial(desk.jobs.call, hyphae_on), by=visitor.code,
                                today=desk.today(visitor.practice_id),
                                system=visitor.system)
    if wrong:
        return slide_page(request, visitor, slide.id, typed, wrong)
    read = with_read("photo", SCALE, typed, visitor.system)
    return RedirectResponse(f"/make/slides/{slide.id}/photos/{made}{read}", 303)


@router.get("/photos/{photo_id}")
def look(request: Request, visitor: Sees, slide_id: str, photo_id: str) -> Response:
    slide, photo, path = _named(request, visitor, slide_id, photo_id)
    if (job := unready(desk_of(request), visitor, _here(request))) is not None:
        return RedirectResponse(f"/jobs/{job.id}", 303)
    gone, lost = deleted_lines(photo, _found(request, path, photo))
    return _page(request, visitor, slide, photo, {"drawn": photo.drawn}, {}, gone, lost)


@router.post("/photos/{photo_id}")
def mend(request: Request, visitor: Reads, slide_id: str, photo_id: str, typed: Typed) -> Response:
    desk = desk_of(request)
    slide, photo, path = _named(request, visitor, slide_id, photo_id)
    wait_until_ready(desk, visitor, request.url.path)
    found = _found(request, path, photo)
    gone = gone_of(typed, len(found.lines))
    wrong = mend_photo(desk.book(visitor.practice_id), photo, found, gone, typed.get("drawn", ""), by=visitor.code,
                       today=desk.today(visitor.practice_id))
    if wrong:
        return _page(request, visitor, slide, photo, typed, {"drawn": wrong}, gone)
    return RedirectResponse(f"/make/slides/{slide.id}/photos/{photo.id}", 303)


@router.post("/photos/{photo_id}/take-back")
def take_back(request: Request, visitor: Corrects, slide_id: str, photo_id: str, typed: Typed) -> Response:
    slide, photo, path = _named(request, visitor, slide_id, photo_id)
    wrong = take_slide_back(desk_of(request).book(visitor.practice_id), slide, typed.get("reason", ""),
                            by=visitor.code, slot=photo.id)
    if wrong:
        gone, lost = deleted_lines(photo, _found(request, path, photo))
        return _page(request, visitor, slide, photo, {**typed, "drawn": photo.drawn}, {"reason": wrong}, gone, lost)
    return RedirectResponse(f"/make/slides/{slide.id}", 303)


@router.get("/pictures/{photo_id}")
def picture(request: Request, visitor: Sees, slide_id: str, photo_id: str) -> Response:
    """The photo as it is shown: drawn anew, without the place and the time that it carries."""
    _, photo, path = _named(request, visitor, slide_id, photo_id)
    try:
        return Response(_shown(path), media_type="image/jpeg", headers=_CACHED)
    except FileError as error:
        raise NotThere(say("slide.photo.none"), value=photo.id, right=error.what) from None


@lru_cache(maxsize=16)
def _shown(path: Path) -> bytes:
    """The bytes are named by what they are: the same path is the same photo."""
    return picture_anew(path)[0]


def _named(request: Request, visitor: Visitor, slide_id: str, photo_id: str) -> tuple[Slide, PhotoLength, Path]:
    book = desk_of(request).book(visitor.practice_id)
    with asked_by_id():
        slide = slide_named(book, slide_id)
        photo = photo_named(slide, photo_id)
    path = book.drawing.photo(photo.photo)
    if path is None:
        raise NotThere(say("slide.photo.none"), value=photo_id)
    return slide, photo, path


def _here(request: Request) -> str:
    return f"{request.url.path}?{request.url.query}".rstrip("?")


def _found(request: Request, path: Path, photo: PhotoLength) -> HyphaePhoto:
    """The lines of a photo, found anew."""
    return _measured(desk_of(request).jobs, path, photo.um_per_px)


@lru_cache(maxsize=16)
def _measured(jobs: Jobs, path: Path, um_per_px: float) -> HyphaePhoto:
    """The bytes are named by what they are: the same path and scale have the same lines."""
    found: HyphaePhoto = jobs.call(hyphae_on, path, um_per_px)
    return found


def _page(request: Request, visitor: Visitor, slide: Slide, photo: PhotoLength, typed: Mapping[str, str],
          wrong: Mapping[str, str], gone: tuple[int, ...], lost: int = 0) -> HTMLResponse:
    path = desk_of(request).book(visitor.practice_id).drawing.photo(photo.photo)
    assert path is not None  # looked for before
    return page(request, "slide_photo.html", visitor, place="make", status=422 if wrong else 200, slide=slide,
                photo=photo, lost=lost, typed=cells(typed), wrong=cells(wrong),
                said=lines_read(request, SCALE, visitor.system),
                **photo_shown(photo, _found(request, path, photo), gone, typed.get("drawn", "")))
