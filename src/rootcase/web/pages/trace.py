"""From a figure back to the readings, the people, the days and the pages it rests on."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.records.report import Casework
from rootcase.report.pdf.behind import sources
from rootcase.report.screen.traced import read_rows
from rootcase.report.text.naming import kind_name
from rootcase.report.text.prices import item_name, price_told
from rootcase.report.text.readings import value_told
from rootcase.services.decided import rows_behind
from rootcase.services.kept import Kept
from rootcase.services.trace import marked, of_money, trace
from rootcase.tables.load import names
from rootcase.web.cases import figures_at_hand, in_units
from rootcase.web.refusals import NotThere
from rootcase.web.refused import asked_by_id
from rootcase.web.showing import page
from rootcase.web.who import NotAllowed, Visitor, desk_of, may

router = APIRouter()
Seer = Annotated[Visitor, Depends(may("see_trees"))]


@router.get("/properties/{property_id}/figures/{name:path}")
def figure(request: Request, visitor: Seer, property_id: str, name: str) -> HTMLResponse:
    kept, made = _kept(request, visitor, property_id)
    casework = replace(made, record=in_units(made.record, visitor.system))  # as the page that led here shows it
    if of_money(name) and not visitor.may("see_prices"):
        raise NotAllowed("see_prices", visitor)
    figures = figures_at_hand(kept, visitor.system)
    with asked_by_id():
        traced = trace(desk_of(request).book(visitor.practice_id), casework, figures, name)
    return page(request, "figure.html", visitor, place="trees", traced=traced, casework=casework,
                ground=casework.record.property, rows=read_rows(traced.readings, casework.record, visitor.system),
                kind_name=kind_name, value_told=value_told, sources=sources(casework), table_names=names(),
                decided=rows_behind(casework, name),
                assumed="; ".join(kind_name(kind) for kind in traced.result.assumed if kind not in traced.unused),
                unused="; ".join(map(kind_name, traced.unused)), item_name=item_name,
                prices=[(each, price_told(each, visitor.system)) for each in traced.prices])


@router.get("/properties/{property_id}/marks")
def mark(request: Request, visitor: Seer, property_id: str, mark: str = "") -> Response:
    """Find the figure behind a small mark of the client's report."""
    _, casework = _kept(request, visitor, property_id)
    wrong = ""
    if mark.strip():
        try:
            return RedirectResponse(f"/properties/{property_id}/figures/{marked(casework, mark)}", 303)
        except Missing as missing:
            wrong = str(missing)
    return page(request, "marks.html", visitor, place="trees", status=422 if wrong else 200, mark=mark, wrong=wrong,
                ground=casework.record.property)


def _kept(request: Request, visitor: Visitor, property_id: str) -> tuple[Kept, Casework]:
    desk = desk_of(request)
    kept = desk.kept(visitor.practice_id, desk.ground(visitor.practice_id, property_id))
    if kept.casework is None:
        raise NotThere(say("trace.nothing_computed"), right=say("trace.compute_first"))
    return kept, kept.casework
