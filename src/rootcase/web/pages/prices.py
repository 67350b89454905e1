"""The price book: what stands, what stood before, and a price told anew."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Annotated

from fastapi import APIRouter, Depends, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from pydantic import BaseModel

from rootcase.fieldbook.intake.prices import items
from rootcase.ground.words import say
from rootcase.report.text.prices import item_name, price_told
from rootcase.services.told import UNITS, lasts, price_items, tell_price, units_of
from rootcase.web.showing import cells, page
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
NOTHING = "nothing"
"""Costs nothing, so nobody prices it."""


class TypedPrice(BaseModel):
    """A price as it was typed."""

    item: str = ""
    amount: str = ""
    unit: str = ""
    currency: str = ""
    source: str = ""


@router.get("/practice/prices")
def prices(request: Request, visitor: Annotated[Visitor, Depends(may("see_prices"))], item: str = "",
           currency: str = "") -> HTMLResponse:
    return _prices(request, visitor, {"item": item, "currency": currency}, {})


@router.post("/practice/prices")
def change_price(request: Request, visitor: Annotated[Visitor, Depends(may("change_practice"))],
                 typed: Annotated[TypedPrice, Form()]) -> Response:
    wrong = tell_price(desk_of(request).book(visitor.practice_id), typed.model_dump())
    if wrong:
        return _prices(request, visitor, typed.model_dump(), wrong)
    return RedirectResponse("/practice/prices", 303)


@router.post("/practice/prices/away")
def take_price_away(request: Request, visitor: Annotated[Visitor, Depends(may("change_practice"))],
                    item: Annotated[str, Form()] = "", currency: Annotated[str, Form()] = "") -> Response:
    desk_of(request).book(visitor.practice_id).telling.take_price_away(item, currency)
    return RedirectResponse("/practice/prices", 303)


def _prices(request: Request, visitor: Visitor, typed: Mapping[str, str], wrong: Mapping[str, str]) -> HTMLResponse:
    """The book and the form; typed: what stands in the form, with what is wrong with it."""
    book = desk_of(request).book(visitor.practice_id)
    books = price_items(book)
    usual = next(iter(books), next((ground.currency for ground in book.properties()), ""))
    return page(request, "prices.html", visitor, status=422 if wrong else 200, books=books, wrong=cells(wrong),
                typed=cells({"currency": usual} | {key: text for key, text in typed.items() if text}),
                names={code: item_name(code) for code in items() if code != NOTHING},
                price_told=price_told, item_name=item_name,
                units=units_told(units_of(typed["item"])) if typed.get("item") in items() else [],
                lasts=lasts)


def units_told(units: Iterable[str] = UNITS) -> list[tuple[str, str]]:
    """What a price can be per: as it is typed, and in words."""
    return [(unit, say(f"keep.prices.per.{unit}")) for unit in units]
