"""The field sheet of a property: taken along with its trees in it, and brought back filled."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, Depends, Request, UploadFile
from fastapi.responses import HTMLResponse, Response

from rootcase.fieldbook.intake.importer import ImportResult
from rootcase.ground.errors import RootcaseError
from rootcase.services.bring import placed_elsewhere
from rootcase.services.observe import own_sheet
from rootcase.web.sheet_work import take_sheet
from rootcase.web.showing import page
from rootcase.web.uploads import kept_for_work
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter(prefix="/properties/{property_id}")
_WORKBOOK = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
Brings = Annotated[Visitor, Depends(may("bring_sheets"))]


@router.get("/field-sheet")
def show(request: Request, property_id: str, visitor: Brings) -> HTMLResponse:
    return _page(request, visitor, property_id)


@router.post("/field-sheet")
def bring(request: Request, property_id: str, visitor: Brings, file: UploadFile) -> HTMLResponse:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    with kept_for_work(file) as path:
        try:
            result = desk.jobs.call(take_sheet, desk.elsewhere(visitor.practice_id), ground.id, path, visitor.code,
                                    visitor.bounds)
        except RootcaseError as wrong:
            told = placed_elsewhere(wrong, path, file.filename or path.name)
            return _page(request, visitor, ground.id, wrong=str(told))
    return _page(request, visitor, ground.id, result)


@router.get("/field-sheet.xlsx")
def sheet(request: Request, property_id: str, visitor: Brings) -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    with TemporaryDirectory() as folder:
        path = Path(folder) / "sheet.xlsx"
        own_sheet(path, desk.file(visitor.practice_id, ground).record, desk.today(visitor.practice_id), visitor.code)
        made = path.read_bytes()
    return Response(made, media_type=_WORKBOOK, headers={
        "content-disposition": f"attachment; filename*=UTF-8''{quote(ground.name, safe='')}.xlsx"})


def _page(request: Request, visitor: Visitor, property_id: str, result: ImportResult | None = None,
          wrong: str = "") -> HTMLResponse:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    return page(request, "field_sheet.html", visitor, place="trees", status=422 if wrong else 200, ground=ground,
                property_id=ground.id, result=result, wrong=wrong, kept=desk.kept(visitor.practice_id, ground),
                jobs=desk.jobs.of(desk.tenant(visitor.practice_id), ground.id))
