"""What if: other money, a choice insisted on, a remedy not to be had, a reading that said something else."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Request
from fastapi.responses import Response

from rootcase.fieldbook.intake.prices import items
from rootcase.ground.dates import show_date
from rootcase.ground.errors import RootcaseError
from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord
from rootcase.records.report import Casework
from rootcase.report.pictures import draw_waterfall
from rootcase.report.text.cases import TreeCase, tree_cases
from rootcase.report.text.course import no_fit
from rootcase.report.text.figures import sentence
from rootcase.report.text.naming import kind_name, remedy_name, subjects
from rootcase.report.text.one_tree import headline
from rootcase.report.text.plan import to_insist_on
from rootcase.report.text.prices import item_name
from rootcase.report.text.what_if import changes, totals
from rootcase.services.otherwise import Otherwise, read_otherwise
from rootcase.services.what_if import WISHES, Supposed
from rootcase.services.wishes import CEILINGS, NOT_ASKED, places_asked, read_tried
from rootcase.tables.load import table
from rootcase.tables.readings import kinds
from rootcase.web import plan_work
from rootcase.web.desk import Desk
from rootcase.web.pages.prices import units_told
from rootcase.web.picture import both
from rootcase.web.showing import page
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
Planner = Annotated[Visitor, Depends(may("make_plans"))]


@router.get("/properties/{property_id}/what-if")
def what_if(request: Request, property_id: str, visitor: Planner) -> Response:
    desk, asked = desk_of(request), dict(request.query_params)
    ground = desk.ground(visitor.practice_id, property_id)
    kept = desk.kept(visitor.practice_id, ground)
    record = kept.casework.record if kept.casework else desk.book(visitor.practice_id).record(property_id)
    found, wrong = None, ""
    if kept.casework and any(asked.values()):
        try:
            found = _otherwise(desk, visitor, record, asked) if asked.get("reading") else _supposed(
                desk, visitor, record, asked)
        except RootcaseError as error:
            wrong = str(error)
    return page(request, "what_if.html", visitor, place="plans", status=422 if wrong else 200, ground=ground, kept=kept,
                jobs=desk.jobs.of(desk.tenant(visitor.practice_id), property_id), property_id=property_id, asked=asked,
                found=found, wrong=wrong, trees=[(tree.id, tree.label) for tree in record.trees],
                courses=_courses(kept.casework, asked.get("tree", "")), ceilings=[(kind.removesuffix("_year"),
                kinds()[kind].label) for kind in CEILINGS], readings=_readings(record, asked.get("of", "")),
                items=[(code, item_name(code)) for code in items() if code != "nothing"], units=units_told(),
                wishes=_wishes(), places=[(each.name, each.name) for each in places_asked(record)],
                remedies=[(str(row["remedy"]), sentence(remedy_name(str(row["remedy"]))))
                          for row in table("prescribe/remedies").rows])


def _wishes() -> list[tuple[str, str]]:
    """Every answer to a wish that has choices, as a plan is asked with it."""
    asked = ((code, kinds()[code]) for code in WISHES)
    return [(f"{code}={answer}", f"{kind.label}: {words}") for code, kind in asked
            for answer, words in kind.choices.items() if answer != NOT_ASKED]


def _supposed(desk: Desk, visitor: Visitor, record: PropertyRecord, asked: Mapping[str, str]) -> dict[str, Any]:
    """Money, hours and choices, as the plan takes them."""
    typed = {("", kind): told for kind in CEILINGS if (told := asked.get(kind.removesuffix("_year"), "")).strip()}
    tried, wrong = read_tried(record, typed)
    if wrong:
        raise RootcaseError(next(iter(wrong.values())))
    price, wish = asked.get("price", "").strip(), asked.get("wish", "")
    wanted = Supposed(ceilings=tuple((name, figure) for name, figure in tried.ceilings if figure is not None),
                      prices=(f"{asked.get('item', '')}={price}/{asked.get('unit', '')}",) if price else (),
                      wishes=(f"{wish}@{asked['at']}" if asked.get("at") else wish,) if wish else (),
                      without=(asked["without"],) if asked.get("without") else (),
                      tree=asked.get("tree") or None if asked.get("course") else None,
                      course=asked.get("course") or None if asked.get("tree") else None)
    _, found = desk.jobs.call(plan_work.supposed, desk.elsewhere(visitor.practice_id), record.property.id,
                              desk.run(visitor.practice_id),
                              wanted)
    return {"totals": totals(found), "changes": [sentence(each) for each in changes(record, found)],
            "no_fit": no_fit(found.then, record),
            "trees": [], "nothing": False}


def _otherwise(desk: Desk, visitor: Visitor, record: PropertyRecord, asked: Mapping[str, str]) -> dict[str, Any]:
    """The tree's own finding and waterfall as they are and as they would be, and the plan."""
    reading = read_otherwise(record, asked["reading"], asked.get("value", ""))
    found: Otherwise = desk.jobs.call(plan_work.read_otherwise, desk.elsewhere(visitor.practice_id), record.property.id,
                                      desk.run(visitor.practice_id), reading)
    before, after = ({case.tree.id: case for case in tree_cases(each)} for each in (found.now, found.then))
    return {"totals": totals(found.found), "changes": [sentence(each) for each in changes(record, found.found)],
            "no_fit": no_fit(found.found.then, record), "trees": [
                {"label": after[tree_id].tree.label, "was": " ".join(headline(before[tree_id])),
                 "would": " ".join(headline(after[tree_id])), "picture": _waterfall(found.then, after[tree_id])}
                for tree_id in found.moved], "nothing": not found.moved}


def _waterfall(casework: Casework, case: TreeCase) -> str:
    if case.comparison is None or case.explanation is None:
        return ""
    drawn = (draw_waterfall(casework.record, case.tree.id, case.comparison, case.explanation, layout)
             for layout in ("wide", "phone"))
    return both(*drawn, case.tree.id)


def _courses(casework: Casework | None, tree_id: str) -> list[tuple[str, str]]:
    tree = next((each for each in casework.plan.trees if each.tree_id == tree_id), None) if casework else None
    return [(each.remedy, sentence(remedy_name(each.remedy))) for each in (to_insist_on(tree) if tree else ())]


def _readings(record: PropertyRecord, tree_id: str) -> list[tuple[str, str]]:
    """What was read at a tree and in its soil, as the list to pick from; without one nothing."""
    if not tree_id:
        return []
    of = (tree_id, *(pit.id for pit in record.pits_of(tree_id)))
    called = subjects(record)
    return [(reading.id, say("plans.reading", thing=called[reading.of], kind=kind_name(reading.kind),
                             typed=reading.typed, day=show_date(reading.day)))
            for reading in record.of(*of) if reading.kind in kinds() and reading.nothing is None
            and {"explain", "compare"}.intersection(kinds()[reading.kind].used_by)]
