"""What if: the plan with other money, hours, wishes or prices, beside the plan as it is; nothing is kept."""

from __future__ import annotations

from dataclasses import dataclass

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.prices import items, per_unit
from rootcase.ground.errors import Missing, RootcaseError
from rootcase.ground.quantity import System
from rootcase.ground.words import say
from rootcase.records.observe import Price, Property, PropertyRecord
from rootcase.records.what_if import WhatIf
from rootcase.services.prescribe import outlooks_for, plan_inputs, silent_output, thought
from rootcase.services.run import Run
from rootcase.tables.load import table
from rootcase.tables.readings import kinds

WISHES = ("wish_lawn", "wish_bed_line", "wish_chips", "wish_holes", "wish_products")
"""Wishes that bar a remedy or bind the ground."""


@dataclass(frozen=True, slots=True)
class Supposed:
    """What is to be otherwise, as typed."""

    ceilings: tuple[tuple[str, float], ...] = ()
    """(budget, crew_hours or machine_hours, figure)"""
    wishes: tuple[str, ...] = ()
    """wish_lawn=free@front lawn; without a place at every one."""
    prices: tuple[str, ...] = ()
    """mulch=9.50/m2"""
    without: tuple[str, ...] = ()
    """Remedies."""
    tree: str | None = None
    course: str | None = None
    worth_m2: float | None = None
    """Of a full share of growth on a square metre of root zone over five years."""


def suppose(fieldbook: Fieldbook, ground: Property, run: Run, supposed: Supposed) -> tuple[PropertyRecord, WhatIf]:
    """The plan as it would be."""
    from rootcase.casework.prescribe.prescribe import MOST_DRAWS
    from rootcase.casework.prescribe.what_if import Changes, what_if

    record, weather, comparison, explanations, price_book = thought(fieldbook, ground, run)
    changes = Changes(
        dict(supposed.ceilings), tuple(wish for typed in supposed.wishes for wish in wishes_at(record, typed)),
        tuple(price_of(typed, ground.currency, ground.system) for typed in supposed.prices),
        frozenset(remedy_of(code) for code in supposed.without), forced_of(record, supposed),
        supposed.worth_m2)
    inputs = plan_inputs(record, comparison, explanations, weather, price_book, run)
    few = Run(run.today, min(run.draws, MOST_DRAWS), run.seed, run.threads, run.progress, run.results)
    with silent_output():
        return record, what_if(inputs, changes,
                               lambda then: outlooks_for(then, comparison, explanations, weather, few))


def wishes_at(record: PropertyRecord, typed: str) -> list[tuple[str, str, str]]:
    """(place id, kind, answer) at the place that is named, else at each that holds trees."""
    asked, _, place = typed.partition("@")
    kind, equals, answer = (part.strip() for part in asked.partition("="))
    if kind not in WISHES or not equals:
        raise Missing(say("course.no_wish"), value=typed, right=say("course.right_wish", kinds=", ".join(WISHES)))
    choices = kinds()[kind].choices
    if choices and answer not in choices:
        raise Missing(say("course.no_answer", kind=kind), value=answer,
                      right=say("course.one_of", choices=", ".join(choices)))
    grown = {tree.place_id for tree in record.trees}
    places = [each for each in record.places
              if (each.name.casefold() == place.strip().casefold() if place else each.id in grown)]
    if not places:
        raise Missing(say("course.no_place"), value=place.strip(),
                      right=say("course.one_of", choices=", ".join(each.name for each in record.places)))
    return [(each.id, kind, answer) for each in places]


def price_of(typed: str, currency: str, system: System) -> Price:
    item, _, rest = (part.strip() for part in typed.partition("="))
    amount, _, unit = (part.strip() for part in rest.rpartition("/"))
    if item not in items():
        raise Missing(say("course.no_item"), value=item, right=say("course.one_of", choices=", ".join(items())))
    try:
        figure, measure = per_unit(amount, unit, currency, system)
    except RootcaseError as error:
        if error.what == say("intake.no_price_unit"):
            raise
        raise Missing(say("course.no_price"), value=rest,
                      right=say("course.right_price", currency=currency)) from None
    return Price(item, measure, figure, currency, say("course.supposed"))


def remedy_of(code: str) -> str:
    known = [str(row["remedy"]) for row in table("prescribe/remedies").rows]
    if code not in known:
        raise Missing(say("dose.list.not_on_list"), value=code, right=say("course.one_of", choices=", ".join(known)))
    return code


def forced_of(record: PropertyRecord, supposed: Supposed) -> dict[str, str]:
    if supposed.tree is None and supposed.course is None:
        return {}
    if supposed.tree is None or supposed.course is None:
        raise Missing(say("course.tree_and_course"), right=say("course.both"))
    fitting = [tree for tree in record.trees if supposed.tree.casefold() in (tree.id, tree.label.casefold())]
    if len(fitting) != 1:
        raise Missing(say("course.no_tree"), value=supposed.tree,
                      right=say("course.one_of", choices=", ".join(tree.label for tree in record.trees)))
    return {fitting[0].id: supposed.course}
