"""Practice: what belongs to the whole practice; its own words, its rules, each one's units."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from fastapi import APIRouter, Depends, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from pydantic import BaseModel

from rootcase import __version__
from rootcase.fieldbook.intake.practice import PAPERS, PaperKind
from rootcase.records.observe import System
from rootcase.report.text.rules import rule_asks, rule_is_stale
from rootcase.services.backup import days_since_backup
from rootcase.services.fleet import fleet
from rootcase.services.told import own_cells, price_items, tell_own, tell_paper, use_system
from rootcase.tables.load import names
from rootcase.web.showing import cells, page
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
Reader = Annotated[Visitor, Depends(may("see_practice"))]
NOTHING: Mapping[str, str] = {}
Changer = Annotated[Visitor, Depends(may("change_practice"))]


class Own(BaseModel):
    """What a practice says of itself, as it was typed."""

    name: str = ""
    address: str = ""
    reach: str = ""
    tax_name: str = ""
    tax_rate: str = ""
    valid_days: str = ""
    laboratory_days: str = ""
    terms: str = ""


class TypedPaper(BaseModel):
    """A paper that runs out, as it was typed."""

    kind: PaperKind
    what: str = ""
    ends: str = ""


@router.get("/practice")
def practice(request: Request, visitor: Reader) -> HTMLResponse:
    desk = desk_of(request)
    book = desk.book(visitor.practice_id)
    return page(request, "practice.html", visitor, name=book.practice().name, rules=len(book.rules()),
                tables=len(names()), days=days_since_backup(book, desk.now()), version=__version__,
                fleet=fleet(book),
                backed_up=book.keeping.newest_backup() is not None,
                aside=len(book.aside.kept(visitor.bounds)),
                prices={currency: len(items) for currency, items in price_items(book).items()})


@router.get("/practice/own")
def own(request: Request, visitor: Reader) -> HTMLResponse:
    return _own(request, visitor)


@router.post("/practice/own")
def change_own(request: Request, visitor: Changer, typed: Annotated[Own, Form()]) -> Response:
    wrong = tell_own(desk_of(request).book(visitor.practice_id), typed.model_dump())
    return _own(request, visitor, typed.model_dump(), wrong) if wrong else RedirectResponse("/practice/own", 303)


@router.post("/practice/papers")
def change_paper(request: Request, visitor: Changer, typed: Annotated[TypedPaper, Form()]) -> Response:
    wrong = tell_paper(desk_of(request).book(visitor.practice_id), typed.kind, typed.what, typed.ends)
    if wrong:
        return _own(request, visitor, paper=typed.model_dump(), paper_wrong=wrong)
    return RedirectResponse("/practice/own#papers", 303)


@router.get("/practice/rules")
def rules(request: Request, visitor: Reader) -> HTMLResponse:
    desk = desk_of(request)
    today = desk.today(visitor.practice_id)
    told = [(rule, rule_asks(rule, visitor.system), rule_is_stale(rule, today))
            for rule in desk.book(visitor.practice_id).rules()]
    return page(request, "rules.html", visitor, rules=told)


@router.get("/practice/units")
def units(request: Request, visitor: Annotated[Visitor, Depends(may("own_account"))]) -> HTMLResponse:
    return page(request, "units.html", visitor)


@router.post("/practice/units")
def change_units(request: Request, visitor: Annotated[Visitor, Depends(may("own_account"))],
                 system: Annotated[System, Form()]) -> RedirectResponse:
    use_system(desk_of(request).book(visitor.practice_id), visitor.code, system)
    return RedirectResponse("/practice/units", 303)


def _own(request: Request, visitor: Visitor, typed: Mapping[str, str] | None = None,
         wrong: Mapping[str, str] = NOTHING, *, paper: Mapping[str, str] = NOTHING,
         paper_wrong: Mapping[str, str] = NOTHING) -> HTMLResponse:
    """The practice's own page; with what was typed and what is wrong with it, where something is."""
    told = desk_of(request).book(visitor.practice_id).practice()
    return page(request, "own.html", visitor, status=422 if wrong or paper_wrong else 200, kinds=PAPERS,
                papers=told.papers, typed=typed or own_cells(told), wrong=cells(wrong),
                paper=cells({"kind": PAPERS[0], **paper}), paper_wrong=cells(paper_wrong))
