"""Photos of a tree that are measured: sent, looked at with what was found, mended by hand, kept as readings."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache, partial
from pathlib import Path
from typing import Annotated, Any

from fastapi import APIRouter, Depends, File, Query, Request, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from rootcase.fieldbook.intake.fence import picture_anew
from rootcase.ground.errors import FileError
from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord, Tree
from rootcase.records.tree_photo import Shows, TreePhoto
from rootcase.report.pdf.leaf_card import leaf_card_pdf
from rootcase.services.canopy_photo import canopy_in, sky_overlay
from rootcase.services.leaf_photo import leaves_in
from rootcase.services.read import spots
from rootcase.services.soil_photo import soil_in
from rootcase.services.tree_photos import (
    SHOWS,
    Outlines,
    add_tree_photo,
    keep_as_readings,
    mend_crown,
    mend_leaves,
    outlines,
    photos_of,
    place_px,
    point_at_soil,
    small_picture,
    take_tree_photo_back,
    tree_photo_named,
)
from rootcase.tables.readings import kinds
from rootcase.web.cases import tree_of
from rootcase.web.jobs import Jobs
from rootcase.web.read_shown import LAID_OUT
from rootcase.web.refusals import NotThere
from rootcase.web.refused import asked_by_id
from rootcase.web.showing import cells, page
from rootcase.web.tree_photos_shown import crown_shown, kept_told, leaves_shown, photo_row, soil_shown, ticked
from rootcase.web.typed import Typed
from rootcase.web.uploads import all_kept_for_work
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
Sees = Annotated[Visitor, Depends(may("see_trees"))]
Reads = Annotated[Visitor, Depends(may("take_readings"))]
Corrects = Annotated[Visitor, Depends(may("correct_readings"))]
_CACHED = {"cache-control": "private, max-age=86400"}
_STATES = kinds()["soil_colour_state"].choices
_MENDS = {"crown": mend_crown, "soil": point_at_soil}
_AT = "/properties/{property_id}/trees/{tree_id}"


@router.get("/leaf-card.pdf")
def card(request: Request, visitor: Sees) -> Response:
    desk = desk_of(request)
    made = desk.jobs.call(leaf_card_pdf, visitor.system, desk.today(visitor.practice_id))
    return Response(made, media_type="application/pdf",
                    headers={"content-disposition": 'inline; filename="leaf-card.pdf"'})


@router.get(_AT + "/photos")
def photos(request: Request, property_id: str, tree_id: str, visitor: Sees,
           shows: Annotated[str, Query(max_length=20)] = "") -> HTMLResponse:
    today = desk_of(request).today(visitor.practice_id)
    return _list(request, visitor, property_id, tree_id, {"shows": shows, "day": today.isoformat()}, {})


@router.post(_AT + "/photos")
def add(request: Request, property_id: str, tree_id: str, visitor: Reads, typed: Typed,
        photo: Annotated[UploadFile, File()] = None) -> Response:  # type: ignore[assignment]
    desk = desk_of(request)
    record, tree = _tree(request, visitor, property_id, tree_id)
    with all_kept_for_work({"photo": photo}) as (folder, names):
        made, wrong = add_tree_photo(desk.book(visitor.practice_id), record, tree,
                                     folder / names["photo"] if names else None, typed, desk.jobs.call,
                                     by=visitor.code, today=desk.today(visitor.practice_id), system=visitor.system)
    if wrong:
        return _list(request, visitor, property_id, tree_id, typed, {"photo": say("photos.choose_again"), **wrong})
    return RedirectResponse(f"{_address(record, tree)}/photos/{made}", 303)


@router.get(_AT + "/photos/{measured_id}")
def look(request: Request, property_id: str, tree_id: str, measured_id: str, visitor: Sees) -> HTMLResponse:
    record, tree, photo, _ = _named(request, visitor, property_id, tree_id, measured_id)
    return _page(request, visitor, record, tree, photo, {}, {})


@router.post(_AT + "/photos/{measured_id}")
def mend(request: Request, property_id: str, tree_id: str, measured_id: str, visitor: Reads, typed: Typed) -> Response:
    desk = desk_of(request)
    record, tree, photo, path = _named(request, visitor, property_id, tree_id, measured_id)
    drawn, found = typed.get("drawn", ""), _measured(desk.jobs, path, photo.shows)
    gone = ticked(typed, len(found.leaves)) if photo.shows == "leaves" else ()
    mend_it = partial(mend_leaves, left_out=gone) if photo.shows == "leaves" else _MENDS[photo.shows]
    wrong = mend_it(desk.book(visitor.practice_id), record.property.id, photo, drawn,
                    (found.width_px, found.height_px), desk.jobs.call, path, by=visitor.code)
    if wrong:
        return _page(request, visitor, record, tree, photo, typed, {"drawn": wrong}, gone)
    return RedirectResponse(f"{_address(record, tree)}/photos/{photo.id}", 303)


@router.post(_AT + "/photos/{measured_id}/keep")
def keep(request: Request, property_id: str, tree_id: str, measured_id: str, visitor: Reads) -> Response:
    record, tree, photo, _ = _named(request, visitor, property_id, tree_id, measured_id)
    book = desk_of(request).book(visitor.practice_id).within(visitor.bounds)
    wrong = keep_as_readings(book, record, tree, photo, by=visitor.code, system=visitor.system)
    if wrong:
        return _page(request, visitor, record, tree, photo, {}, {"keep": wrong})
    return RedirectResponse(f"{_address(record, tree)}/photos/{photo.id}#readings", 303)


@router.post(_AT + "/photos/{measured_id}/take-back")
def take_back(request: Request, property_id: str, tree_id: str, measured_id: str, visitor: Corrects,
              typed: Typed) -> Response:
    record, tree, photo, _ = _named(request, visitor, property_id, tree_id, measured_id)
    wrong = take_tree_photo_back(desk_of(request).book(visitor.practice_id), record, photo, typed.get("reason", ""),
                                 by=visitor.code)
    if wrong:
        return _page(request, visitor, record, tree, photo, typed, {"reason": wrong})
    return RedirectResponse(f"{_address(record, tree)}/photos", 303)


@router.get(_AT + "/pictures/{measured_id}")
def picture(request: Request, property_id: str, tree_id: str, measured_id: str, visitor: Sees,
            small: Annotated[bool, Query()] = False) -> Response:
    """The photo as it is shown: drawn anew, without the place and the time that it carries; small for a list."""
    path = _named(request, visitor, property_id, tree_id, measured_id)[3]
    return Response(small_picture(_shown(path)) if small else _shown(path), media_type="image/jpeg", headers=_CACHED)


@router.get(_AT + "/pictures/{measured_id}/sky.png")
def sky(request: Request, property_id: str, tree_id: str, measured_id: str, visitor: Sees) -> Response:
    """What was taken for sky, to lie over the photo of a crown."""
    _, _, photo, path = _named(request, visitor, property_id, tree_id, measured_id)
    return Response(_sky(desk_of(request).jobs, path, photo.left_out), media_type="image/png",
                    headers={"cache-control": "private, no-cache"})  # another once it is mended


@lru_cache(maxsize=16)
def _shown(path: Path) -> bytes:
    """The bytes are named by what they are: the same path is the same photo."""
    try:
        return picture_anew(path)[0]
    except FileError as error:
        raise NotThere(say("photos.none"), right=error.what) from None


@lru_cache(maxsize=16)
def _measured(jobs: Jobs, path: Path, shows: Shows, mended: str = "") -> Any:
    """And has the same on it; mended: parts of a crown's photo that are none of it, or where soil was pointed to."""
    if shows == "leaves":
        return jobs.call(leaves_in, path)
    if shows == "crown":
        return jobs.call(canopy_in, path, _parts(jobs, path, mended))
    found = jobs.call(soil_in, path)
    return jobs.call(soil_in, path, place_px(mended, (found.width_px, found.height_px))) if mended else found


@lru_cache(maxsize=16)
def _sky(jobs: Jobs, path: Path, left_out: str) -> bytes:
    made: bytes = jobs.call(sky_overlay, path, _parts(jobs, path, left_out))
    return made


def _parts(jobs: Jobs, path: Path, left_out: str) -> Outlines:
    if not left_out:
        return ()
    whole = _measured(jobs, path, "crown")
    return outlines(left_out, (whole.width_px, whole.height_px))


def _address(record: PropertyRecord, tree: Tree) -> str:
    return f"/properties/{record.property.id}/trees/{tree.id}"


def _tree(request: Request, visitor: Visitor, property_id: str, tree_id: str) -> tuple[PropertyRecord, Tree]:
    desk = desk_of(request)
    record = desk.file(visitor.practice_id, desk.ground(visitor.practice_id, property_id)).record
    return record, tree_of(record, tree_id)


def _named(request: Request, visitor: Visitor, property_id: str, tree_id: str,
           measured_id: str) -> tuple[PropertyRecord, Tree, TreePhoto, Path]:
    record, tree = _tree(request, visitor, property_id, tree_id)
    book = desk_of(request).book(visitor.practice_id)
    with asked_by_id():
        photo = tree_photo_named(book, record.property.id, tree, measured_id)
    path = book.drawing.photo(photo.photo)
    if path is None:
        raise NotThere(say("photos.none"), value=measured_id)
    return record, tree, photo, path


def _list(request: Request, visitor: Visitor, property_id: str, tree_id: str, typed: Mapping[str, str],
          wrong: Mapping[str, str]) -> HTMLResponse:
    record, tree = _tree(request, visitor, property_id, tree_id)
    known = photos_of(desk_of(request).book(visitor.practice_id), record.property.id, tree)
    return page(request, "tree_photos.html", visitor, place="trees", status=422 if wrong else 200,
                ground=record.property, tree=tree, at=_address(record, tree), ways=SHOWS,
                spots=LAID_OUT.same(spots(record, tree)), states=[("", say("photos.soil.not_said")), *_STATES.items()],
                today=desk_of(request).today(visitor.practice_id).isoformat(),
                photos=[(photo, photo_row(photo)) for photo in known], typed=cells(typed), wrong=cells(wrong))


def _page(request: Request, visitor: Visitor, record: PropertyRecord, tree: Tree, photo: TreePhoto,
          typed: Mapping[str, str], wrong: Mapping[str, str], gone: tuple[int, ...] | None = None) -> HTMLResponse:
    book = desk_of(request).book(visitor.practice_id)
    path = book.drawing.photo(photo.photo)
    assert path is not None  # looked for before
    mended = {"leaves": "", "crown": photo.left_out, "soil": photo.drawn}[photo.shows]
    found = _measured(desk_of(request).jobs, path, photo.shows, mended)
    drawn = typed.get("drawn", mended or photo.drawn)
    shown = {"leaves": lambda: leaves_shown(photo, found, gone, drawn, visitor.system),
             "crown": lambda: crown_shown(photo, found, drawn),
             "soil": lambda: soil_shown(photo, found, drawn, visitor.system)}[photo.shows]()
    return page(request, "tree_photo.html", visitor, place="trees", status=422 if wrong else 200,
                ground=record.property, tree=tree, photo=photo, at=_address(record, tree),
                typed=cells({**typed, "drawn": drawn}), wrong=cells(wrong), **kept_told(record, photo), **shown)
