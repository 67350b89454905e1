"""Everything out: the archive, a public copy, a workbook, a map."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, StreamingResponse

from rootcase.services.practice import map_out, table_out, take_out
from rootcase.web.download import download
from rootcase.web.showing import page
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
Taker = Annotated[Visitor, Depends(may("take_out"))]
FileName = Literal["everything.zip", "public-copy.zip", "readings.xlsx", "map.gpkg", "map.geojson"]


@router.get("/practice/export")
def export(request: Request, visitor: Taker) -> HTMLResponse:
    return page(request, "export.html", visitor)


@router.get("/practice/export/{name}")
def export_file(request: Request, visitor: Taker, name: FileName) -> StreamingResponse:
    desk = desk_of(request)
    book = desk.book(visitor.practice_id)

    def make(folder: Path) -> Path:
        path = folder / name
        if path.suffix == ".zip":
            take_out(book, path, public=name == "public-copy.zip")
        elif path.suffix == ".xlsx":
            table_out(book, path)
        else:
            map_out(book, path)
        return path

    return download(make, desk.path)
