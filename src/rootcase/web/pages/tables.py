"""Every table the program works by, with its source; searched without script."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse

from rootcase.ground.words import say
from rootcase.services.trace import rests_on
from rootcase.tables.load import Table, names, table
from rootcase.web.refusals import NotThere
from rootcase.web.showing import page
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
Reader = Annotated[Visitor, Depends(may("see_practice"))]


@router.get("/practice/tables")
def tables(request: Request, visitor: Reader, words: str = "") -> HTMLResponse:
    found = [each for each in map(table, names()) if all(word in _all_of(each) for word in words.casefold().split())]
    return page(request, "tables.html", visitor, tables=found, of=len(names()), words=words)


@router.get("/practice/tables/{name:path}")
def one_table(request: Request, visitor: Reader, name: str) -> HTMLResponse:
    if name not in names():
        raise NotThere(say("keep.no_table"), value=name, right=say("keep.see_tables"))
    desk, practice = desk_of(request), visitor.practice_id
    made = [(ground, desk.kept(practice, ground).casework) for ground in desk.grounds(practice).values()]
    return page(request, "table.html", visitor, table=table(name),
                rests=[ground for ground, casework in made if casework and rests_on(casework, name)])


def _all_of(each: Table) -> str:
    """All that stands in a table and about it, to be searched."""
    cells = (str(cell) for row in each.rows for cell in row.values())
    return " ".join((each.name, each.title, each.source, each.how_known, *each.units, *cells)).casefold()
