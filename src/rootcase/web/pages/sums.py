"""Every formula of the trade as a page: looked up by words, worked out from its address, nothing kept."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse

from rootcase.ground.errors import Missing, RootcaseError
from rootcase.ground.words import say
from rootcase.services.calculators.example import example_pairs
from rootcase.services.calculators.reading import wrong_entry
from rootcase.services.calculators.shelf import calculator, calculators, looked_up
from rootcase.services.calculators.told import (
    answer_lines,
    by_subject,
    choices_of,
    entry_help,
    formula_lines,
    in_words,
    label,
    paragraphs,
    taken_lines,
)
from rootcase.services.calculators.working import work_out
from rootcase.web.refusals import NotThere
from rootcase.web.showing import cells, page
from rootcase.web.who import Visitor, may

router = APIRouter()
Seer = Annotated[Visitor, Depends(may("see_practice"))]


@router.get("/practice/sums")
def sums(request: Request, visitor: Seer, find: str = "") -> HTMLResponse:
    there = calculators()
    names = looked_up(find) if find.strip() else tuple(there)
    shown = [(subject, [(name, in_words(name), there[name].question) for name in found])
             for subject, found in by_subject({name: there[name] for name in names})]
    return page(request, "sums.html", visitor, place="practice", subjects=shown, find=find, many=len(names))


@router.get("/practice/sums/{name}")
def one_sum(request: Request, visitor: Seer, name: str) -> HTMLResponse:
    try:
        sum_ = calculator(name)
    except Missing as missing:
        raise NotThere(missing.what, value=missing.value, right=missing.right) from None
    typed = dict(request.query_params)
    worked, wrong = None, {}
    try:
        worked = work_out(sum_, typed) if not sum_.entries or any(map(str.strip, typed.values())) else None
    except RootcaseError as error:
        wrong = {wrong_entry(sum_, error): in_words(str(error))}
    entries = [(each, label(each), in_words(entry_help(each)), choices_of(each)) for each in sum_.entries]
    return page(request, "sum.html", visitor, place="practice", status=422 if wrong else 200, name=name,
                sum=sum_, named=in_words(name),
                entries=entries, typed=cells(typed or example_pairs(sum_)), wrong=cells(wrong),
                example=bool(sum_.entries and not typed),
                lines=answer_lines(worked, visitor.system) if worked else (),
                taken=taken_lines(sum_, worked, visitor.system, labeled=True) if worked else (),
                notes=[in_words(each) for each in paragraphs(sum_.notes)],
                sources=[in_words(each) for each in paragraphs(sum_.sources)],
                formula="\n".join(map(in_words, formula_lines(sum_))),
                gives=say("calc.gives", gives=in_words(sum_.gives)))
