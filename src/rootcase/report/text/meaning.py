"""What the plan means for the client: what they give up, who stays off, cost, when to look."""

from __future__ import annotations

from rootcase.ground.quantity import show
from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord
from rootcase.records.prescribe import Dose, Plan
from rootcase.records.report import Casework
from rootcase.report.text.cases import TreeCase
from rootcase.report.text.figures import known, money
from rootcase.report.text.naming import COURSE_JOINT, month_of, names
from rootcase.report.text.rules import rules_in_brief
from rootcase.report.text.signs import read_next
from rootcase.report.text.statements import Statement

Line = tuple[str, Statement]
"""What it is about, and the statement."""


def meaning(cases: tuple[TreeCase, ...], casework: Casework) -> list[Line]:
    """Return the rows of the table "what it means for you"; nothing to give up is a row as well."""
    rows = [(say("report.meaning.give_up"), given_up(casework.plan, casework.record))]
    if casework.plan.items:
        rows.append((say("report.meaning.people"), people(casework.record)))
    rows.append((say("rules.title"), rules_in_brief(casework.plan, casework.record)))
    rows += [(say("report.meaning.cost"), _cost(casework)), (say("report.meaning.look"), _looks(cases))]
    priced = say("report.meaning.cost") if casework.plan.items else ""
    return [(title, Statement(text, ("property/cost",) if title == priced else ())) for title, text in rows if text]


def given_up(plan: Plan, record: PropertyRecord) -> str:
    """Return what the client gives up for the plan; nothing to give up is said as well."""
    doses: dict[str, list[Dose]] = {}
    for item in plan.items:
        done = item.remedy.split(COURSE_JOINT)
        of_steps = {step.remedy: step.dose for step in item.steps if step.remedy in done}
        for remedy, dose in (of_steps or {item.remedy: item.dose}).items():
            doses.setdefault(remedy, []).append(dose)
    told = [_ground_given(remedy, of_trees, record) for remedy, of_trees in doses.items()
            if known(f"report.give_up.{remedy}")]
    return " ".join(told) or say("report.give_up.nothing")


def _ground_given(remedy: str, doses: list[Dose], record: PropertyRecord) -> str:
    """The ground one remedy takes, and how much of it is turf that goes."""
    system = record.property.system
    text = say(f"report.give_up.{remedy}", area=show(sum(dose.area_m2 for dose in doses), "m2", system))
    turf = sum(dose.turf_m2 or 0.0 for dose in doses)
    if remedy == "turf_off" or turf <= 0.0:
        return text
    return f"{text} {say('report.give_up.turf', area=show(turf, 'm2', system))}"


def people(record: PropertyRecord) -> str:
    """Return who else uses the ground, as it was asked; what was not asked is said."""
    answers = {reading.choice for reading in record.readings if reading.kind == "sensitive_use" and reading.choice}
    told = [say("report.care.all")]
    told += [say(f"report.care.{answer}") for answer in sorted(answers) if known(f"report.care.{answer}")]
    return " ".join(told if answers else [*told, say("report.care.not_asked")])


def _cost(casework: Casework) -> str:
    plan = casework.plan
    if not plan.items:
        return say("report.meaning.free")
    text = say("report.meaning.total", first=money(plan.first_year_cost, plan.currency),
               total=money(plan.total_cost, plan.currency), shared=money(plan.shared_cost, plan.currency))
    if plan.budget is None:
        return text
    return f"{text} {say('report.cost.budget', budget=money(plan.budget, plan.currency))}"


def _looks(cases: tuple[TreeCase, ...]) -> str:
    days: dict[str, list[str]] = {}
    unread = read_next([case.tree.label for case in cases if case.not_judged])
    judged = [(case.prescription.look_again, case.tree.label) for case in cases
              if case.prescription and not case.not_judged]
    for day, label in sorted(judged, key=lambda each: each[0]):
        days.setdefault(month_of(day), []).append(label)
    told = [f"{month}: {names(labels)}." for month, labels in days.items()]
    return " ".join([*unread, *told, say("report.meaning.when_visible")]) if told else " ".join(unread)
