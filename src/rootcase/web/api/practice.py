"""The practice: what it says of itself, its prices and rules, the tables all rests on, and what is due."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Annotated

from fastapi import APIRouter, Depends, Query, Request, Response

from rootcase.ground.words import say
from rootcase.records.observe import Practice, PriceBook, Rule
from rootcase.records.offer import DueItem
from rootcase.services.offer import due_in_practice
from rootcase.tables.load import names, table
from rootcase.web.api.answers import answered, answers
from rootcase.web.api.schemas import closed
from rootcase.web.refusals import NotThere
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
_AHEAD_DAYS, _MOST_DAYS = 30, 5 * 365
_TEXT, _TEXTS = {"type": "string"}, {"type": "object", "additionalProperties": {"type": "string"}}
_HEAD = {"name": _TEXT, "title": _TEXT, "source": _TEXT, "how_known": _TEXT, "version": _TEXT, "units": _TEXTS}
_CELL = {"type": ["string", "number", "null"]}


@router.get("/practice", summary="What the practice says of itself", response_class=Response,
            responses=answers(Practice, "Name, address, tax, terms, papers."))
def practice(request: Request, visitor: Annotated[Visitor, Depends(may("see_practice"))]) -> Response:
    return answered(desk_of(request).book(visitor.practice_id).practice())


@router.get("/prices", summary="The price book in one currency", response_class=Response,
            responses=answers(PriceBook, "What each thing costs; empty where nothing is told in this currency."))
def prices(request: Request, visitor: Annotated[Visitor, Depends(may("see_prices"))],
           currency: Annotated[str, Query(pattern="^[A-Z]{3}$")]) -> Response:
    return answered(desk_of(request).book(visitor.practice_id).price_book(currency))


@router.get("/rules", summary="The rules of law and of the practice itself", response_class=Response,
            responses=answers(tuple[Rule, ...], "As somebody looked them up, with when."))
def rules(request: Request, visitor: Annotated[Visitor, Depends(may("see_practice"))]) -> Response:
    return answered(desk_of(request).book(visitor.practice_id).rules())


@router.get("/tables", summary="The tables of constants, with their sources", response_class=Response,
            responses=answers({"type": "array", "items": closed(_HEAD)}, "Without their rows."))
def tables(visitor: Annotated[Visitor, Depends(may("see_practice"))]) -> Response:
    return answered([{key: getattr(table(name), key) for key in _HEAD} for name in names()])


@router.get("/tables/{name:path}", summary="One table with its rows", response_class=Response,
            responses=answers(closed(_HEAD | {"rows": {"type": "array", "items": {
                "type": "object", "additionalProperties": _CELL}}}), "A row by column; null is an empty cell."))
def one_table(visitor: Annotated[Visitor, Depends(may("see_practice"))], name: str) -> Response:
    if name not in names():
        raise NotThere(say("keep.no_table"), value=name, right=say("keep.see_tables"))
    return answered({key: getattr(table(name), key) for key in (*_HEAD, "rows")})


@router.get("/due", summary="What is due in the practice", response_class=Response,
            responses=answers(tuple[DueItem, ...], "The soonest first; the same as prescribe due --json."))
def due(request: Request, visitor: Annotated[Visitor, Depends(may("see_plans"))],
        until: Annotated[date | None, Query(description="30 days on, where it is not said; five years at most")] = None,
        ) -> Response:
    desk = desk_of(request)
    run = desk.run(visitor.practice_id)
    last = min(max(until or run.today + timedelta(_AHEAD_DAYS), run.today), run.today + timedelta(_MOST_DAYS))
    book = desk.book(visitor.practice_id)
    return answered(due_in_practice(book, tuple(desk.grounds(visitor.practice_id).values()), run, last)[0])
