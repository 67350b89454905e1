"""Single stages as text: what was read, how it compares, what explains it, what the plan is."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from rootcase.ground.dates import show_date
from rootcase.ground.words import say
from rootcase.records.compare import Comparison
from rootcase.records.explain import Explanation
from rootcase.records.observe import PropertyRecord, Reading
from rootcase.records.prescribe import Plan, RemedyOutcome
from rootcase.records.report import Casework
from rootcase.report.terminal.chart import waterfall
from rootcase.report.terminal.course import what_it_takes, year_by_year
from rootcase.report.terminal.laboratory import laboratory_section
from rootcase.report.terminal.paper import Paper
from rootcase.report.text import one_tree
from rootcase.report.text.beside import beside, stop
from rootcase.report.text.cases import TreeCase
from rootcase.report.text.comparison import measure_row, year_rows
from rootcase.report.text.feed import reckoned_lines
from rootcase.report.text.figures import listed, money, sentence
from rootcase.report.text.gains import gain_of, others_told, why
from rootcase.report.text.naming import (
    compare_note,
    looked_for,
    names,
    remedy_name,
    short_ids,
    subjects,
    thing_name,
)
from rootcase.report.text.next_reading import before_spending, next_reading, proposed
from rootcase.report.text.readings import HOLD, told_together, value_told
from rootcase.report.text.rules import rules_told
from rootcase.report.text.signs import not_looked_for, signs_told
from rootcase.report.text.whole_property import old_readings

_READINGS_SHOWN = 3


def readings_text(record: PropertyRecord, width: int = 80, colour: bool = False) -> str:
    """Return every reading as typed, under what it was read at, the end of its id and its doubts beside it."""
    paper = Paper(width, colour)
    paper.title(record.property.name, say("terminal.readings", count=f"{len(record.readings):,}"))
    paper.say(say("terminal.ids"), quiet=True)
    short, labels = short_ids(record), subjects(record)
    doubled = {label for label, count in Counter(labels.values()).items() if count > 1}
    for subject_id, label in labels.items():
        readings = record.of(subject_id)
        if readings:
            paper.heading(label, thing_name(record, subject_id) if label in doubled else "")
            paper.columns(_reading_rows(readings, short))
    return paper.text()


def comparison_text(record: PropertyRecord, comparison: Comparison, width: int = 80, colour: bool = False) -> str:
    """Return each tree beside its kind: the share, the years, every other measure on its own line.

    Trees at which nothing was read that could be compared are named together.
    """
    paper = Paper(width, colour)
    paper.title(record.property.name, show_date(comparison.made_on))
    labels = {tree.id: tree for tree in record.trees}
    unread = [line for line in comparison.trees if line.share is None and not line.measures]
    together = unread if len(unread) > 1 else []
    for line in (line for line in comparison.trees if line not in together):
        case = TreeCase(labels[line.tree_id], line, None, None)
        paper.heading(case.tree.label)
        paper.say(" ".join(one_tree.headline(case)), bold=True)
        paper.say(one_tree.basis(case, record).text)
        paper.gap()
        paper.columns(year_rows(line, record), right=(1, 2, 3, 4), head=True)
        paper.gap()
        paper.columns([measure_row(measure, record) for measure in line.measures])
        for note in line.notes:
            paper.item("·", compare_note(note))
    if together:
        paper.gap()
        paper.say(say("terminal.not_compared", count=len(together),
                      trees=names([labels[line.tree_id].label for line in together])))
    laboratory_section(paper, record, comparison)
    return paper.text()


def explanation_text(record: PropertyRecord, explanations: Sequence[Explanation], width: int = 80,
                     colour: bool = False) -> str:
    """Return each tree's waterfall and, apart from it, what the readings say once the growth is taken in."""
    paper = Paper(width, colour)
    ends_on = max((e.weather_ends for e in explanations), default=None)
    paper.title(record.property.name, say("report.weather_ends", day=show_date(ends_on)) if ends_on else "")
    labels = {tree.id: tree for tree in record.trees}
    for explanation in explanations:
        case = TreeCase(labels[explanation.tree_id], None, explanation, None)
        paper.heading(case.tree.label)
        for line in waterfall(explanation, width):
            paper.line(line)
        paper.gap()
        for statement in (beside(case.tree, record), one_tree.unexplained(case)):
            paper.say(statement.text if statement else "")
        paper.say(one_tree.conditioned(explanation))
        _signs(paper, case)
        _next_readings(paper, case, explanation)
        paper.say(one_tree.not_looked_at(case, record), quiet=True)
        paper.say(one_tree.turned(case), quiet=True)
        paper.say(one_tree.beyond(case), quiet=True)
        paper.say(say("terminal.reckoned", years=listed([str(year) for year in explanation.growth_years[1:]]),
                      draws=f"{explanation.draws:,}", balances=f"{explanation.balances:,}"), quiet=True)
    if explanations:
        paper.gap()
        for told in dict.fromkeys(line for each in explanations for line in each.weather_told):
            paper.say(told, quiet=True)
        paper.say(say("terminal.means"), quiet=True)
    return paper.text()


def plan_text(casework: Casework, width: int = 80, colour: bool = False) -> str:
    """Return each tree's verdict with every remedy, leaving it alone first, and what the whole costs."""
    record, plan = casework.record, casework.plan
    explained = {explanation.tree_id: explanation for explanation in casework.explanations}
    paper = Paper(width, colour)
    paper.title(record.property.name, show_date(plan.made_on))
    paper.say(old_readings(casework), bold=True)
    labels = {tree.id: tree for tree in record.trees}
    for prescription in plan.trees:
        case = TreeCase(labels[prescription.tree_id], None, explained.get(prescription.tree_id), prescription)
        paper.heading(case.tree.label)
        paper.say(stop(case.tree, record), bold=True)
        verdict, future = one_tree.verdict(case), one_tree.future(case)
        paper.say(verdict.text if verdict else "", bold=True)
        paper.say(future.text if future else "")
        paper.gap()
        weighed = [outcome for outcome in prescription.remedies if _stands_alone(outcome)]
        paper.columns(_remedy_rows(weighed, plan), right=(1, 3), head=True)
        for line in others_told([outcome for outcome in prescription.remedies if not _stands_alone(outcome)]):
            paper.item("·", line)
        paper.gap()
        paper.say(before_spending(case, plan.currency))
        year_by_year(paper, prescription, plan, record)
    for line in reckoned_lines(record):
        paper.item("·", line)
    if rules := rules_told(plan, record):
        paper.heading(say("rules.title"))
        for line in rules:
            paper.item("·", line)
    paper.heading(say("report.cost.total"), money(plan.total_cost, plan.currency))
    paper.say(say("terminal.first_year", first=money(plan.first_year_cost, plan.currency)))
    paper.say(say("terminal.shared", shared=money(plan.shared_cost, plan.currency)))
    if plan.budget is not None:
        paper.say(say("report.cost.budget", budget=money(plan.budget, plan.currency)))
    what_it_takes(paper, plan, record)
    return paper.text()


def _reading_rows(readings: tuple[Reading, ...], short: Mapping[str, str]) -> list[tuple[str, str, str]]:
    """Repeats of one kind, day and way of reading in one row."""
    return [(group.name, show_date(group.day), ", ".join(_with_id(each, short[each.id]) for each in group.readings))
            for group in told_together(readings)]


def _with_id(reading: Reading, sign: str) -> str:
    """The value, then the end of its id; a doubt stands with the value it is about, and a number is never torn."""
    told = say("terminal.reading.value", value=value_told(reading), id=sign)
    if reading.choice is None:
        told = told.replace(" ", HOLD)
    return say("terminal.reading.doubted", reading=told, doubts="; ".join(reading.doubts)) if reading.doubts else told


def _signs(paper: Paper, case: TreeCase) -> None:
    """What the signs say of causes outside the soil, then what nobody looked for."""
    paper.gap()
    for statement in signs_told(case):
        paper.say(statement.text)
    paper.say(not_looked_for(case), quiet=True)
    paper.gap()


def _next_readings(paper: Paper, case: TreeCase, explanation: Explanation) -> None:
    """What to read next, then the best readings beside each other."""
    paper.say(next_reading(case))
    best = proposed(explanation)[:_READINGS_SHOWN]
    if len(best) > 1:
        rows = [tuple(say(f"terminal.next.{column}") for column in ("reading", "minutes", "removed", "per_minute"))]
        rows += [(sentence(looked_for([reading.kind])), f"{reading.minutes:.1f}",
                  f"{100 * reading.share_removed:.0f} %", f"{100 * reading.share_removed_per_minute:.1f} %")
                 for reading in best]
        paper.gap()
        paper.columns(rows, right=(1, 2, 3), head=True)
        paper.gap()


def _stands_alone(outcome: RemedyOutcome) -> bool:
    """A gain is known, and the remedy has something to cure here."""
    return outcome.gain_points is not None and outcome.verdict not in ("no use here", "test first")


def _remedy_rows(outcomes: Sequence[RemedyOutcome], plan: Plan) -> list[tuple[str, str, str, str, str]]:
    rows = [(say("report.column.remedy"), say("report.column.gain"), "", say("report.column.cost"), "")]
    for outcome in outcomes:
        rows.append((sentence(remedy_name(outcome.remedy)), *gain_of(outcome), money(outcome.cost, plan.currency),
                     why(outcome)))
    return rows
