"""Trace: from a figure back to the readings, the people, the days and the pages it rests on; and forward again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.history import History
from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.records.observe import Price, PropertyRecord, Reading
from rootcase.records.offer import SignedPlan
from rootcase.records.report import Casework
from rootcase.report.pdf.report import report_marks
from rootcase.report.text.cases import tree_cases
from rootcase.report.text.ledger import results_of
from rootcase.report.text.readings import unused
from rootcase.report.text.result import Result
from rootcase.tables.load import Table, names, table

_OF_REMEDIES = "prescribe/"


@dataclass(frozen=True, slots=True)
class Since:
    """A reading that a figure rests on and that is another today."""

    reading: Reading
    """As the figure had it."""
    now: Reading | None
    """None: it was taken back."""


@dataclass(frozen=True, slots=True)
class Traced:
    """Where one figure comes from."""

    name: str
    result: Result
    readings: tuple[Reading, ...]
    since: tuple[Since, ...]
    made_of: tuple[tuple[str, Result], ...]
    """Other results it was reckoned from, by name."""
    unused: tuple[str, ...]
    """Kinds of `result.assumed` that were read, only not in a way that could be taken."""
    prices: tuple[Price, ...]
    """Of the work that a sum is for, as the practice's book has them today."""
    remedy_tables: tuple[Table, ...]
    """Of what a remedy gains, costs and takes: doses, evidence, cautions. The reckoning's own are with the casework."""


@dataclass(frozen=True, slots=True)
class Story:
    """One reading, from the hand that took it to the figures that rest on it."""

    history: History
    record: PropertyRecord
    standing: Reading | None
    """As it holds today; None: taken back, or undone with its import."""
    used_in: tuple[tuple[str, Result], ...]
    """Figures of the newest casework that rest on it or on what it superseded, by name."""
    reckoned_before: bool
    """Those figures were reckoned with what the reading was before."""
    plans: tuple[SignedPlan, ...]
    """In force, and resting on it."""


def figures_of(casework: Casework) -> Mapping[str, Result]:
    """Every figure that a page of this casework may print, by its name."""
    return results_of(casework, tree_cases(casework))


def trace(fieldbook: Fieldbook, casework: Casework, results: Mapping[str, Result], name: str) -> Traced:
    """Where the figure of this name comes from, and what became of its readings since; results: its figures."""
    if name not in results:
        raise Missing(say("trace.no_figure"), value=name, right=say("trace.see_tree"))
    result = results[name]
    had = {reading.id: reading for reading in casework.record.readings}
    readings = tuple(had[each] for each in dict.fromkeys(result.readings) if each in had)
    return Traced(name, result, readings, _since(fieldbook, casework.record.property.id, readings),
                  tuple((each, results[each]) for each in result.results if each in results),
                  _unused(casework, name, result), _prices(fieldbook, casework, name),
                  tuple(table(each) for each in names() if each.startswith(_OF_REMEDIES)) if of_money(name) else ())


def _unused(casework: Casework, name: str, result: Result) -> tuple[str, ...]:
    tree = next((each for each in casework.record.trees if each.id == name.partition("/")[0]), None)
    return unused(result.assumed, tree, casework.record) if tree else ()


def _prices(fieldbook: Fieldbook, casework: Casework, name: str) -> tuple[Price, ...]:
    """Of a remedy its own, of the property's sum those of all its work."""
    if not of_money(name):
        return ()
    courses = [name.partition("/remedy.")[2]] if "/remedy." in name else [item.remedy for item in casework.plan.items]
    items = {remedy for course in courses for remedy in course.split("+")}
    book = fieldbook.price_book(casework.plan.currency)
    return tuple(price for price in book.prices if price.item in items)


def of_money(name: str) -> bool:
    """Whether the figure of this name tells what work costs.

    >>> of_money("t4/remedy.mulch"), of_money("property/cost"), of_money("t4/share")
    (True, True, False)
    """
    return "/remedy." in name or name.startswith(("property/cost", "property/budget", "property/ceiling"))


def rests_on(casework: Casework, table_name: str) -> bool:
    """Whether a table stands behind any figure of a casework."""
    versions = (each.table_versions for each in (*casework.explanations, casework.pests) if each)
    return table_name.startswith(_OF_REMEDIES) or any(table_name == name for used in versions for name, _ in used)


def marked(casework: Casework, mark: str) -> str:
    """The name of the figure that bears this small mark in the client's report of this casework."""
    marks = report_marks(casework)
    code = mark.strip().casefold()
    if code not in marks:
        raise Missing(say("trace.no_mark"), value=mark, right=say("trace.see_report"))
    return marks[code]


def reading_story(fieldbook: Fieldbook, reading_id: str, results: Mapping[str, Result]) -> Story:
    """All there is to say of one reading; results: figures of its property's newest casework, none where none is."""
    history = fieldbook.history(reading_id)
    record = fieldbook.record(history.property_id)
    stands = history.standing
    ids = {each.id for each in history.said}
    used = tuple((name, result) for name, result in results.items() if ids & set(result.readings))
    plans = {plan.mark: plan for each in history.said for plan in fieldbook.plans_on(each.id)}
    now = next((each for each in record.readings if stands and each.id == stands.id), None)
    before = bool(used) and (now is None or all(now.id not in result.readings for _, result in used))
    return Story(history, record, now, used, before, tuple(plans.values()))


def _since(fieldbook: Fieldbook, property_id: str, readings: tuple[Reading, ...]) -> tuple[Since, ...]:
    """Readings that were superseded or taken back since, each with what stands in its place."""
    today = {reading.id: reading for reading in fieldbook.record(property_id).readings}
    found = []
    for reading in readings:
        if reading.id not in today:
            stands = fieldbook.history(reading.id).standing
            found.append(Since(reading, today.get(stands.id) if stands else None))
    return tuple(found)
