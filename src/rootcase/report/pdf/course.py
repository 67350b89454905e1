"""The page of the plan year by year: this year, next year, later; other budgets; what wishes cost."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from rootcase.ground.words import say
from rootcase.records.prescribe import Step
from rootcase.records.report import Casework
from rootcase.report.text.course import frontier_rows, hours_line, price_lines, step_lines
from rootcase.report.text.doses import beside, dose_text
from rootcase.report.text.figures import money, sentence

_COLUMNS = ("tree", "work", "how_much", "cost")


def course_page(casework: Casework) -> dict[str, Any] | None:
    """Return the page, None where no work is done."""
    plan, record = casework.plan, casework.record
    if not any(item.steps for item in plan.items):
        return None
    labels = {tree.id: sentence(tree.label) for tree in record.trees}
    southern = record.property.latitude_deg < 0
    years: dict[str, list[list[str]]] = {time: [] for time in ("this_year", "next_year", "later")}
    for item in plan.items:
        dosed: set[str] = set()
        for line in step_lines(item.steps, southern=southern):
            work = sentence(say("course.work_row", when=line.when, what=line.what))
            years[line.time].append([labels[item.tree_id], work, _dose(line.first, dosed, casework),
                                     money(line.first.cost)])
    budgets = frontier_rows(plan)
    return {
        "title": say("course.page"), "heads": [say(f"course.column.{column}") for column in _COLUMNS],
        "years": [{"title": say(f"course.time.{time}"), "rows": rows} for time, rows in years.items() if rows],
        "hours": hours_line(plan), "costs_title": say("course.costs"), "costs": price_lines(plan, record),
        "budgets_title": say("course.budgets"), "budget_heads": list(budgets[0]) if budgets else [],
        "budgets": [list(row) for row in budgets[1:]]}


def _dose(step: Step, dosed: set[str], casework: Casework) -> str:
    """How much and what stands beside it, where a remedy first stands; the same again is not said again."""
    if step.remedy in dosed:
        return say("course.as_before")
    dosed.add(step.remedy)
    ground = casework.record.property
    return " ".join((f'{dose_text(replace(step.dose, season=""), ground.system)}.', *beside(step.dose, ground.system)))
