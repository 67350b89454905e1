"""Rates, loads and calibrations: a sum a page, worked out from its address, nothing kept."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse

from rootcase.ground.words import say
from rootcase.report.text.rates import rates_cautions, rates_told
from rootcase.services.asked import help_of
from rootcase.services.rates import ASKS, GRIDS, work_out
from rootcase.web.refusals import NotThere
from rootcase.web.showing import cells, page
from rootcase.web.who import Visitor, may

router = APIRouter()
Seer = Annotated[Visitor, Depends(may("see_trees"))]


@router.get("/make/rates")
def rates(request: Request, visitor: Seer) -> HTMLResponse:
    return page(request, "rates.html", visitor, place="make", sums=tuple(ASKS))


@router.get("/make/rates/{name}")
def rate(request: Request, visitor: Seer, name: str) -> HTMLResponse:
    if name not in ASKS:
        raise NotThere(say("rates.no_sum"), value=name, right=say("readings.or").join(ASKS))
    typed = dict(request.query_params)
    asked = any(typed.get(ask.name, "").strip() for ask in ASKS[name]) or "work" in typed
    found = work_out(name, typed, visitor.system) if asked else None
    told = rates_told(found.result, visitor.system) if found and found.result else None
    return page(request, "rate.html", visitor, place="make", status=422 if found and found.wrong else 200, name=name,
                asks=ASKS[name], told=told, said=found.said if found else (), typed=cells(typed),
                wrong=cells(found.wrong if found else {}), cautions=rates_cautions(name), help=help_of,
                grids=[(grid, say(f"rates.grid.{grid}")) for grid in GRIDS])
