"""The page of the plan year by year: this year, next year, later; other budgets; what wishes cost."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

from rootcase.ground.words import say
from rootcase.records.prescribe import Dose
from rootcase.records.report import Casework
from rootcase.report.text.course import TIMES, StepLine, frontier_rows, hours_line, price_lines, step_lines
from rootcase.report.text.doses import beside_together, dose_text
from rootcase.report.text.figures import listed, money, sentence

_COLUMNS = ("tree", "how_much")


@dataclass(slots=True)
class _Work:
    """One kind of work at one time: a row a tree, those that get the same again in one."""

    line: StepLine
    rows: list[list[str]] = field(default_factory=list)
    again: list[tuple[str, float | None]] = field(default_factory=list)

    def all_rows(self) -> list[list[str]]:
        if not self.again:
            return self.rows
        costs = [cost for _, cost in self.again if cost is not None]
        cost = sum(costs) if len(costs) == len(self.again) else None
        return [*self.rows, [sentence(listed([label for label, _ in self.again])), say("course.as_before"),
                             _cost(self.line, cost)]]


def course_page(casework: Casework) -> dict[str, Any] | None:
    """Return the page, None where no work is done."""
    plan, record = casework.plan, casework.record
    if not any(item.steps for item in plan.items):
        return None
    works, doses = _works(casework)
    budgets = frontier_rows(plan)
    years = {time: [{"work": work, "rows": done.all_rows()} for (when, work), done in works.items() if when == time]
             for time in TIMES}
    return {
        "title": say("course.page"), "heads": [*(say(f"course.column.{column}") for column in _COLUMNS),
                                               say("report.column.cost_in", currency=plan.currency)],
        "years": [{"title": say(f"course.time.{time}"), "works": found} for time, found in years.items() if found],
        "hours": hours_line(plan), "notes": beside_together(doses, record.property.system),
        "costs_title": say("course.costs"), "costs": price_lines(plan, record),
        "budgets_title": say("course.budgets"), "budget_heads": list(budgets[0]) if budgets else [],
        "budgets": [list(row) for row in budgets[1:]]}


def _works(casework: Casework) -> tuple[dict[tuple[str, str], _Work], list[tuple[str, Dose]]]:
    """The work by its time and name, its trees beneath it; and each tree's doses, told once."""
    ground, labels = casework.record.property, {tree.id: tree.label for tree in casework.record.trees}
    works: dict[tuple[str, str], _Work] = {}
    doses: list[tuple[str, Dose]] = []
    for item in casework.plan.items:
        label, dosed = labels[item.tree_id], set[str]()
        for line in step_lines(item.steps, southern=ground.latitude_deg < 0):
            name = sentence(say("course.work_row", when=line.when, what=line.what))
            work = works.setdefault((line.time, name), _Work(line))
            if line.first.remedy in dosed:
                work.again.append((label, line.first.cost))
                continue
            dosed.add(line.first.remedy)
            doses.append((label, line.first.dose))
            work.rows.append([sentence(label), dose_text(replace(line.first.dose, season=""), ground.system),
                              _cost(line, line.first.cost)])
    return works, doses


def _cost(line: StepLine, cost: float | None) -> str:
    """What a year of it costs, the currency standing in the head."""
    return say("offer.each_year" if line.last_year > line.first.year else "offer.once", cost=money(cost))
