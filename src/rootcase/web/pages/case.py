"""The case page of one tree: what was read, how it compares, what explains it, what to do; and its photos."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Annotated

from fastapi import APIRouter, Depends, Form, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from rootcase.fieldbook.intake.fence import picture_anew
from rootcase.ground.errors import FileError
from rootcase.ground.words import say
from rootcase.services.read import of_form
from rootcase.web.cases import CASES, tree_of
from rootcase.web.refusals import NotThere
from rootcase.web.showing import page
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter(prefix="/properties/{property_id}")
Sees = Annotated[Visitor, Depends(may("see_trees"))]
Reads = Annotated[Visitor, Depends(may("take_readings"))]
Kind = Annotated[str, Form(max_length=80)]
_CACHED = {"cache-control": "private, max-age=31536000, immutable"}
"""A photo's reading never changes."""


@router.get("/trees/{tree_id}")
def case(request: Request, property_id: str, tree_id: str, visitor: Sees,
         kept: Annotated[str, Query(max_length=16)] = "") -> HTMLResponse:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    made, file = desk.kept(visitor.practice_id, ground), desk.file(visitor.practice_id, ground)
    tree = tree_of(file.record, tree_id)
    came = of_form(file.record, kept) if kept else ()
    return page(request, "case.html", visitor, place="trees", ground=ground, property_id=ground.id, tree=tree,
                kept=made, came=came, jobs=desk.jobs.of(desk.tenant(visitor.practice_id), ground.id),
                **CASES.shown(made, file, tree, visitor.system, desk.today(visitor.practice_id)))


@router.post("/trees/{tree_id}/want")
def want(request: Request, property_id: str, tree_id: str, visitor: Reads, kind: Kind = "") -> RedirectResponse:
    desk = desk_of(request)
    book, ground = desk.book(visitor.practice_id), desk.ground(visitor.practice_id, property_id)
    tree = tree_of(desk.file(visitor.practice_id, ground).record, tree_id)
    book.wanting.want(ground.id, tree.id, kind, by=visitor.code, day=desk.today(visitor.practice_id))
    return RedirectResponse(f"/properties/{ground.id}/trees/{tree.id}#next", 303)


@router.post("/trees/{tree_id}/unwant")
def unwant(request: Request, property_id: str, tree_id: str, visitor: Reads, kind: Kind = "") -> RedirectResponse:
    desk = desk_of(request)
    book, ground = desk.book(visitor.practice_id), desk.ground(visitor.practice_id, property_id)
    tree = tree_of(desk.file(visitor.practice_id, ground).record, tree_id)
    book.wanting.drop(ground.id, tree.id, kind, by=visitor.code, day=desk.today(visitor.practice_id))
    return RedirectResponse(f"/properties/{ground.id}/trees/{tree.id}#next", 303)


@router.get("/photos/{reading_id}")
def photo(request: Request, property_id: str, reading_id: str, visitor: Sees) -> Response:
    """A photo as it is shown: drawn anew, without the place and the time that it carries."""
    desk = desk_of(request)
    record = desk.file(visitor.practice_id, desk.ground(visitor.practice_id, property_id)).record
    mark = next((each.attributes.get("photo", "") for each in record.readings if each.id == reading_id), "")
    path = desk.book(visitor.practice_id).drawing.photo(mark)
    if path is None:
        raise NotThere(say("case.photos.none"), value=reading_id)
    try:
        return Response(_shown(path), media_type="image/jpeg", headers=_CACHED)
    except FileError as error:
        raise NotThere(say("case.photos.unreadable"), value=reading_id, right=error.what) from None


@lru_cache(maxsize=64)
def _shown(path: Path) -> bytes:
    """The bytes are named by what they are: the same path is the same photo."""
    return picture_anew(path)[0]
