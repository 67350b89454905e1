"""A tree's work year by year, and what the plan takes: hours, other budgets, the price of wishes."""

from __future__ import annotations

from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord
from rootcase.records.prescribe import Plan, TreePrescription
from rootcase.report.terminal.paper import Paper
from rootcase.report.text.course import frontier_rows, hours_line, price_lines, step_lines
from rootcase.report.text.figures import money, sentence


def year_by_year(paper: Paper, tree: TreePrescription, plan: Plan, record: PropertyRecord) -> None:
    """The work of the chosen course, what is done this year first; nothing where there is none."""
    chosen = next((each for each in tree.remedies if each.remedy == tree.chosen), None)
    if chosen is None or not chosen.steps:
        return
    paper.gap()
    paper.line(say("course.heading"), quiet=True)
    for line in step_lines(chosen.steps, southern=record.property.latitude_deg < 0):
        paper.item("·", say("course.paid", work=sentence(say("course.work_row", when=line.when, what=line.what)),
                            cost=money(line.first.cost, plan.currency)))
    if tree.weight != 1.0:
        paper.say(say("course.weight", weight=f"{tree.weight:g}"))


def what_it_takes(paper: Paper, plan: Plan, record: PropertyRecord) -> None:
    """Hours of this year, several budgets side by side, and what each wish and limit costs."""
    paper.say(hours_line(plan))
    if rows := frontier_rows(plan):
        paper.gap()
        paper.line(say("course.budgets"), bold=True)
        paper.columns(rows, right=(0, 1, 2), head=True)
    if lines := price_lines(plan, record):
        paper.gap()
        paper.line(say("course.costs"), bold=True)
        for line in lines:
            paper.item("·", line)
