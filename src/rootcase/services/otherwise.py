"""Otherwise: a property's case as it would be if one reading said something else; nothing of it is kept."""

from __future__ import annotations

from dataclasses import dataclass, replace

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.correction import unit_of
from rootcase.fieldbook.intake.faults import Refused
from rootcase.fieldbook.intake.grid import Cell
from rootcase.fieldbook.intake.lists.words import factor_of
from rootcase.fieldbook.intake.values import read_value
from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.records.observe import Property, PropertyRecord, Reading
from rootcase.records.report import Casework
from rootcase.records.what_if import WhatIf
from rootcase.services.compare import compare_property
from rootcase.services.explain import explain_property
from rootcase.services.kept import Kept
from rootcase.services.prescribe import plan_inputs, silent_output
from rootcase.services.results import fingerprint
from rootcase.services.run import Run
from rootcase.services.weather import weather_for
from rootcase.tables.readings import kind_of


@dataclass(frozen=True, slots=True)
class Otherwise:
    """The case as it is and as it would be."""

    reading: Reading
    """As it would be."""
    now: Casework
    then: Casework
    found: WhatIf
    """Both plans, and the trees at which they differ."""
    moved: tuple[str, ...]
    """Ids of the trees that are compared or explained otherwise."""


def read_otherwise(record: PropertyRecord, reading_id: str, typed: str) -> Reading:
    """A reading of the record with another value, typed as it was: in its unit, a girth as a girth."""
    stands = next((each for each in record.readings if each.id == reading_id), None)
    if stands is None:
        raise Missing(say("fieldbook.no_such_reading"), value=reading_id)
    kind = kind_of(stands.kind)
    value = read_value(kind, Cell(typed.strip()), unit_of(stands.typed), record.property.system, None,
                       factor_of(stands.attributes.get("measured", "")))
    if value is None:
        raise Refused(say("intake.nothing_typed"), value=f'"{typed}"', right=say("plans.type_otherwise"))
    return replace(stands, value=value.value, choice=value.choice, sign=value.sign, nothing=value.nothing,
                   typed=value.typed, doubts=value.doubts)


def otherwise(fieldbook: Fieldbook, ground: Property, run: Run, kept: Kept, reading: Reading) -> Otherwise:
    """Everything thought anew with one reading otherwise; only the trees it reaches are run anew."""
    from rootcase.casework.prescribe.prescribe import plan_of  # slow to load, and seldom needed
    from rootcase.casework.prescribe.what_if import changed_trees

    now = kept.casework
    if now is None or kept.because:
        raise Missing(say("plans.explain_first"), where=ground.name)
    run = replace(run, today=now.made_on, draws=now.draws, seed=now.seed)
    weather = weather_for(fieldbook, ground, run)
    record = replace(now.record, readings=tuple(reading if each.id == reading.id else each
                                                for each in now.record.readings))
    comparison = compare_property(record, run)
    explanations = explain_property(record, comparison, weather, run)
    inputs = plan_inputs(record, comparison, explanations, weather, fieldbook.price_book(ground.currency), run)
    with silent_output():
        plan = plan_of(inputs)
    then = replace(now, record=record, comparison=comparison, explanations=explanations, plan=plan, signed=None,
                   plan_mark="")
    return Otherwise(reading, now, then, WhatIf(now.plan, plan, changed_trees(now.plan, plan)), _moved(now, then))


def _moved(now: Casework, then: Casework) -> tuple[str, ...]:
    before, after = ({tree.tree_id: fingerprint(tree, explained.get(tree.tree_id)) for tree in each.comparison.trees}
                     for each in (now, then) for explained in [{one.tree_id: one for one in each.explanations}])
    return tuple(tree_id for tree_id in after if tree_id in before and after[tree_id] != before[tree_id])
