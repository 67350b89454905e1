"""The plan of a property: wishes and money tried at once, every choice at every tree, what to sign."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from contextlib import suppress
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.background import BackgroundTask

from rootcase.ground.errors import RootcaseError
from rootcase.records.observe import PropertyRecord
from rootcase.records.report import Casework
from rootcase.report.pictures import draw_frontier
from rootcase.report.text import one_tree
from rootcase.report.text.beside import stop
from rootcase.report.text.cases import TreeCase, tree_cases
from rootcase.report.text.course import frontier_rows, price_lines
from rootcase.report.text.feed import reckoned_lines
from rootcase.report.text.figures import sentence
from rootcase.report.text.next_reading import before_spending
from rootcase.report.text.plan import barred_here, choices, cost_figures, cost_lines, finding, price_here
from rootcase.report.text.rules import rules_told
from rootcase.report.text.signed import signature
from rootcase.report.text.whole_property import old_readings
from rootcase.report.text.wishes import wishes_of_places
from rootcase.services.wishes import CEILINGS, OF_A_PLACE, Key, Tried, answers, keep_wishes, places_asked, read_tried
from rootcase.tables.readings import kinds
from rootcase.web import plan_work
from rootcase.web.desk import Desk
from rootcase.web.picture import both
from rootcase.web.showing import page
from rootcase.web.typed import Typed
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
Planner = Annotated[Visitor, Depends(may("make_plans"))]
AT = "/properties/{property_id}"


@router.get(AT + "/plan")
def plan(request: Request, property_id: str, visitor: Planner) -> Response:
    desk, shown = desk_of(request), _plan(request, visitor, property_id, request.query_params, "plan.html")
    shown.background = BackgroundTask(_make_ready, desk, visitor.practice_id, property_id)
    return shown


def _make_ready(desk: Desk, practice_id: str, property_id: str) -> None:
    with suppress(RootcaseError):  # whoever turns a wish is told
        desk.jobs.call(plan_work.ready, desk.elsewhere(practice_id), property_id, desk.run(practice_id))


@router.get(AT + "/plan/made")
def made(request: Request, property_id: str, visitor: Planner) -> Response:
    """The parts of the page that other wishes change."""
    return _plan(request, visitor, property_id, request.query_params, "parts/plan_made.html")


@router.post(AT + "/wishes")
def wishes(request: Request, property_id: str, visitor: Planner, typed: Typed) -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    wrong = keep_wishes(desk.book(visitor.practice_id), ground, desk.run(visitor.practice_id), _keyed(typed),
                        visitor.code)
    if wrong:
        return _plan(request, visitor, property_id, typed, "plan.html", wrong)
    onward = "/sign" if visitor.may("sign_plans") else "/plan"
    desk.compute(visitor.practice_id, ground, onward)
    return RedirectResponse(f"/properties/{property_id}{onward}", 303)


def _plan(request: Request, visitor: Visitor, property_id: str, typed: Mapping[str, str], template: str,
          wrong: Mapping[Key, str] | None = None) -> HTMLResponse:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    kept = desk.kept(visitor.practice_id, ground)
    casework = kept.casework
    record = casework.record if casework and not kept.because else desk.book(visitor.practice_id).record(property_id)
    tried, faults = read_tried(record, _keyed(typed))
    faults |= wrong or {}
    if casework and tried and not kept.because:
        casework = desk.jobs.call(plan_work.tried, desk.elsewhere(visitor.practice_id), property_id,
                                  desk.run(visitor.practice_id), tried)
    made = _made(casework) if tried or casework is None else kept.form("plan", _made)
    stands = {_name(*key): told for key, told in answers(record).items()}
    signed = desk.standing(visitor.practice_id, ground).signed
    return page(request, template, visitor, place="plans", status=422 if faults else 200, ground=ground, kept=kept,
                jobs=desk.jobs.of(desk.tenant(visitor.practice_id), property_id), property_id=property_id, tried=tried,
                signed=signature(signed) if signed else "", casework=casework, form=_form(record, tried, faults),
                typed=stands | dict(typed), made=made,
                faults={_name(*key): why for key, why in faults.items()})


def _made(casework: Casework | None) -> dict[str, Any]:
    """What a plan shows, and beside each wish what it bars and costs."""
    if casework is None:
        return {"notes": {}, "wishes": {}}
    plan, record = casework.plan, casework.record
    asked = [(place.id, kind) for place in places_asked(record) for kind in OF_A_PLACE]
    notes = {_name(place_id, kind): (barred_here(plan, record, place_id, kind),
                                     price_here(plan, record, place_id, kind)) for place_id, kind in asked}
    notes |= {_name("", kind): ("", price_here(plan, record, record.property.id, kind.removesuffix("_year")))
              for kind in CEILINGS}
    budgets = frontier_rows(plan)
    return {"finding": finding(plan, record), "notes": notes,
            "trees": [_tree(case, record) for case in tree_cases(casework) if case.prescription],
            "wishes": wishes_of_places(record), "rules": rules_told(plan, record),
            "reckoned": reckoned_lines(record),
            "totals": cost_lines(plan), "totals_of": cost_figures(plan),
            "old": old_readings(casework), "costs": price_lines(plan, record), "budgets": budgets, "frontier": both(
                draw_frontier(record, plan, "wide"), draw_frontier(record, plan, "phone")) if budgets else ""}


def _tree(case: TreeCase, record: PropertyRecord) -> dict[str, Any]:
    verdict, future, label = one_tree.verdict(case), one_tree.future(case), sentence(case.tree.label)
    return {"id": case.tree.id, "label": label,
            "verdict": sentence(verdict.text.removeprefix(f"{label}: ")) if verdict else "",
            "future": future.text if future else "", "stop": stop(case.tree, record),
            "choices": choices(case, record), "before": before_spending(case, case.currency),
            "works": bool(case.prescription and case.prescription.chosen not in (None, "nothing"))}


def _form(record: PropertyRecord, tried: Tried, faults: Collection[Key]) -> dict[str, Any]:
    """Every wish of every place, then money and hours: name of the field, label, and what may be answered."""
    def asked(place_id: str, kind: str) -> tuple[str, str, list[tuple[str, str]]]:
        return _name(place_id, kind), kinds()[kind].label, list(kinds()[kind].choices.items())

    told, turned = wishes_of_places(record), {place_id for place_id, _, _ in tried.wishes} | {key[0] for key in faults}
    return {"places": [(place.id, place.name, told.get(place.id, ""), [asked(place.id, kind) for kind in OF_A_PLACE],
                        place.id in turned) for place in places_asked(record)],
            "ceilings": [asked("", kind) for kind in CEILINGS]}


def _name(place_id: str, kind: str) -> str:
    """What a field of the form is called."""
    return f"{kind}@{place_id}" if place_id else kind


def _keyed(typed: Mapping[str, str]) -> dict[Key, str]:
    return {(place_id, kind): told for name, told in typed.items() for kind, _, place_id in [name.partition("@")]}
