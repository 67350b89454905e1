"""Bring a list: choose the file, see how it is read, mend what is wrong with it, keep what is ready; undo an import."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Annotated, Literal
from urllib.parse import quote

from fastapi import APIRouter, Depends, Form, Request, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from rootcase.ground.errors import Missing, RootcaseError
from rootcase.ground.words import say
from rootcase.records.observe import System
from rootcase.services import bring
from rootcase.services.bring import Brought, Look
from rootcase.services.bring_weather import say_weather, take_weather_back
from rootcase.services.observe import template
from rootcase.web import bringing
from rootcase.web.bring_shown import brought_page, start_page
from rootcase.web.refusals import NotThere
from rootcase.web.typed import Typed
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
Brings = Annotated[Visitor, Depends(may("bring_lists"))]
SaidOf = Literal["mends", "days", "commas"]
_WORKBOOK = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


@router.get("/import")
def start(request: Request, visitor: Brings) -> HTMLResponse:
    return start_page(request, visitor)


@router.post("/import")
def choose(request: Request, visitor: Brings, file: UploadFile,
           what: Annotated[Literal["list", "weather"], Form()] = "list") -> Response:
    desk = desk_of(request)
    try:
        laid = bring.lay(bringing.folder_of(desk, visitor.practice_id), file.filename or "", file.file,
                         what, visitor.code, desk.now())
        found = bringing.recognise(desk, visitor.practice_id, laid)
    except RootcaseError as trouble:
        return start_page(request, visitor, trouble, what)
    return _to(found)


@router.get("/import/field-sheet/{system}")
def field_sheet(request: Request, system: System,
                visitor: Annotated[Visitor, Depends(may("take_readings"))]) -> Response:
    with TemporaryDirectory() as folder:
        template(Path(folder) / "sheet.xlsx", system, desk_of(request).today(visitor.practice_id))
        made = (Path(folder) / "sheet.xlsx").read_bytes()
    return _file(f"field-sheet-{system}.xlsx", made)


@router.get("/import/{brought_id}")
def show(request: Request, brought_id: str, visitor: Brings) -> HTMLResponse:
    return brought_page(request, visitor, _found(request, visitor, brought_id))


@router.post("/import/{brought_id}/about")
def about(request: Request, brought_id: str, visitor: Brings, typed: Typed) -> Response:
    desk, brought = desk_of(request), _found(request, visitor, brought_id)
    if brought.kind == "sheet":
        return _to(bring.call(brought, typed.get("property_name", "")))
    before = brought.said()
    try:
        bring.tell(brought, bringing.said_about(before, typed))
        bringing.look_at(desk, visitor.practice_id, brought)
    except RootcaseError as trouble:
        bring.tell(brought, before)
        return brought_page(request, visitor, brought, trouble, typed, "about")
    return _to(brought)


@router.post("/import/{brought_id}/columns")
def columns(request: Request, brought_id: str, visitor: Brings, typed: Typed) -> Response:
    desk, brought = desk_of(request), _found(request, visitor, brought_id)
    before, look = brought.said(), bringing.look_at(desk, visitor.practice_id, brought)
    try:
        _require_same(look, typed)
        if look.listing:
            bring.tell(brought, bringing.said_of_columns(before, look.listing, typed))
        bringing.look_at(desk, visitor.practice_id, brought)
    except RootcaseError as trouble:
        bring.tell(brought, before)
        return brought_page(request, visitor, brought, trouble, typed, "columns")
    return _to(brought, "columns")


@router.post("/import/{brought_id}/mend")
def mend(request: Request, brought_id: str, visitor: Brings, typed: Typed) -> Response:
    brought, number = _found(request, visitor, brought_id), typed.get("group", "")
    look = bringing.look_at(desk_of(request), visitor.practice_id, brought)
    try:
        _require_same(look, typed)
        if look.listing:
            bring.mend(brought, look.listing, bringing.answers(number, typed))
    except RootcaseError as trouble:
        return brought_page(request, visitor, brought, trouble, typed, f"group-{number}")
    return _to(brought, "needs")


@router.post("/import/{brought_id}/back")
def take_back(request: Request, brought_id: str, visitor: Brings, of: Annotated[SaidOf, Form()],
              which: Annotated[int, Form(ge=0)]) -> Response:
    brought = _found(request, visitor, brought_id)
    bring.tell(brought, brought.said().without(of, which))
    return _to(brought, "needs")


@router.post("/import/{brought_id}/forget")
def forget(request: Request, brought_id: str, visitor: Brings) -> Response:
    brought = _found(request, visitor, brought_id)
    bring.forget(brought)
    return _to(brought)


@router.post("/import/{brought_id}/cells")
def cells(request: Request, brought_id: str, visitor: Brings, typed: Typed) -> Response:
    brought = _found(request, visitor, brought_id)
    look = bringing.look_at(desk_of(request), visitor.practice_id, brought)
    try:
        _require_same(look, typed)
        if look.sheet:
            bring.write_cells(brought, bringing.texts_typed(look.sheet.faults, typed))
    except RootcaseError as trouble:
        return brought_page(request, visitor, brought, trouble, typed, "needs")
    return _to(brought, "needs")


@router.post("/import/{brought_id}/weather")
def weather(request: Request, brought_id: str, visitor: Brings, typed: Typed) -> Response:
    desk, brought = desk_of(request), _found(request, visitor, brought_id)
    before = brought.weather_said()
    try:
        say_weather(brought, bringing.weather_said(typed))
        bringing.look_at(desk, visitor.practice_id, brought)
    except RootcaseError as trouble:
        say_weather(brought, before)
        return brought_page(request, visitor, brought, trouble, typed, "about")
    return _to(brought)


@router.post("/import/{brought_id}/weather/back")
def weather_back(request: Request, brought_id: str, visitor: Brings) -> Response:
    brought = _found(request, visitor, brought_id)
    if (brought.kind, brought.stage) != ("weather", "done"):
        raise NotThere(say("bring.weather.nothing_back"))
    try:
        take_weather_back(desk_of(request).book(visitor.practice_id), brought)
    except RootcaseError as trouble:
        return brought_page(request, visitor, brought, trouble, at="back")
    return RedirectResponse("/import", 303)


@router.post("/import/{brought_id}/save")
def save(request: Request, brought_id: str, visitor: Brings, typed: Typed) -> Response:
    desk, brought = desk_of(request), _found(request, visitor, brought_id)
    try:
        _require_same(bringing.look_at(desk, visitor.practice_id, brought), typed)
        return _to(bringing.save(desk, visitor.practice_id, brought))
    except RootcaseError as trouble:
        return brought_page(request, visitor, brought, trouble, typed, "save")


@router.post("/import/{brought_id}/leave")
def leave(request: Request, brought_id: str, visitor: Brings) -> Response:
    bring.leave(_found(request, visitor, brought_id))
    return RedirectResponse("/import", 303)


@router.get("/import/{brought_id}/set-aside")
def set_aside(request: Request, brought_id: str, visitor: Brings) -> Response:
    brought = _found(request, visitor, brought_id)
    if brought.stage != "aside":
        raise NotThere(say("bring.nothing_aside"))
    return _file(*bring.set_aside_file(brought))


def _found(request: Request, visitor: Visitor, brought_id: str) -> Brought:
    desk = desk_of(request)
    try:
        return bring.find(bringing.folder_of(desk, visitor.practice_id), brought_id, desk.now())
    except Missing as gone:
        raise NotThere(gone.what, right=gone.right) from None


def _require_same(look: Look, typed: Mapping[str, str]) -> None:
    """Refuse an answer to what has changed since it was shown: its numbers would name other things."""
    if typed.get("mark") != look.mark:
        raise Missing(say("bring.changed"), right=say("bring.look_again"))


def _to(brought: Brought, at: str = "") -> RedirectResponse:
    return RedirectResponse(f"/import/{brought.id}{f'#{at}' if at else ''}", 303)


def _file(name: str, data: bytes) -> Response:
    return Response(data, media_type=_WORKBOOK if name.endswith(".xlsx") else "application/octet-stream",
                    headers={"content-disposition": f"attachment; filename*=UTF-8''{quote(name)}"})
