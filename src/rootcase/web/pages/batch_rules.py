"""What the practice set itself for its batches: the floor of oxygen, its own limit of age, the height of the yard."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from rootcase.report.text.batch_rules import rules_lines
from rootcase.science.tank.hygiene import holding_limit_h
from rootcase.services.batch_forms import RULES, rule_cells, take_rules
from rootcase.services.make_batch import batch_rules
from rootcase.web.batch_shown import figure_field
from rootcase.web.read_as import lines_read, with_read
from rootcase.web.showing import cells, page
from rootcase.web.typed import Typed
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
_NOTHING: Mapping[str, str] = {}


@router.get("/make/batches/rules")
def rules(request: Request, visitor: Annotated[Visitor, Depends(may("see_trees"))]) -> HTMLResponse:
    return _page(request, visitor, _NOTHING, _NOTHING)


@router.post("/make/batches/rules")
def tell(request: Request, visitor: Annotated[Visitor, Depends(may("change_practice"))], typed: Typed) -> Response:
    wrong = take_rules(desk_of(request).book(visitor.practice_id), typed, visitor.code, visitor.system)
    return _page(request, visitor, typed, wrong) if wrong else RedirectResponse(
        f"/make/batches/rules{with_read('rules', RULES, typed, visitor.system)}", 303)


def _page(request: Request, visitor: Visitor, typed: Mapping[str, str], wrong: Mapping[str, str]) -> HTMLResponse:
    stands = batch_rules(desk_of(request).book(visitor.practice_id))
    return page(request, "batch_rules.html", visitor, place="make", status=422 if wrong else 200, wrong=cells(wrong),
                typed=cells(typed if wrong else rule_cells(stands, visitor.system)),
                said=lines_read(request, RULES, visitor.system),
                lines=rules_lines(stands, holding_limit_h("extract"), visitor.system),
                fields=[figure_field(ask, visitor.system) for ask in RULES])
