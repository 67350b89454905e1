"""The small marks behind figures: which result each one names, and which readings that result rests on."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from rootcase.ground.words import say
from rootcase.records.explain import Explanation
from rootcase.records.observe import PropertyRecord
from rootcase.records.prescribe import Plan, TreePrescription
from rootcase.records.report import Casework
from rootcase.report.text.beside import beside_readings
from rootcase.report.text.cases import TreeCase
from rootcase.report.text.course import budgets_shown, hours_line
from rootcase.report.text.figures import loss, money, percent, sentence
from rootcase.report.text.gains import gain_of
from rootcase.report.text.laboratory import of_sheet
from rootcase.report.text.naming import limit_name, remedy_name, subjects
from rootcase.report.text.readings import rests_of
from rootcase.report.text.result import Result
from rootcase.report.text.sides import measure_results, soil_results, year_results
from rootcase.report.text.signs import odds, signs_readings
from rootcase.report.text.statements import of_tree

_MARKS_IN_A_ROW = 3


class Ledger:
    """Hands out marks in the order in which figures are printed, and remembers them for the last pages."""

    def __init__(self, results: Mapping[str, Result]) -> None:
        self._results = dict(results)
        self._codes: dict[str, str] = {}

    def mark(self, name: str) -> str:
        """Return the mark of a result; empty where the casework has no such result."""
        if name not in self._results:
            return ""
        return self._codes.setdefault(name, f"a{len(self._codes) + 1:02d}")

    def marks(self, names: Iterable[str]) -> list[str]:
        return [mark for name in names if (mark := self.mark(name))]

    def bundle(self, what: str, names: Iterable[str]) -> list[str]:
        """Return the marks of these results, one mark for them all where they are many."""
        real = [name for name in dict.fromkeys(names) if name in self._results]
        if len(real) <= _MARKS_IN_A_ROW:
            return self.marks(real)
        bundle = f"bundle/{what}"
        self._results[bundle] = Result(what, "", "", results=tuple(real))
        return [self.mark(bundle)]

    def named(self) -> dict[str, str]:
        """Return the name of the result behind each mark handed out so far."""
        return {code: name for name, code in self._codes.items()}

    def entries(self) -> list[tuple[str, Result, list[str]]]:
        """Return every result marked so far, with the marks of the results it came from, those marked now too."""
        found, done = [], 0
        while done < len(self._codes):
            name = list(self._codes)[done]
            found.append((self._codes[name], self._results[name], self.marks(self._results[name].results)))
            done += 1
        return found


def results_of(casework: Casework, cases: tuple[TreeCase, ...]) -> dict[str, Result]:
    """Return every figure that a page may print, by its name."""
    results: dict[str, Result] = {}
    for case in cases:
        label = sentence(case.tree.label)
        share = of_tree(case.tree.id, "share")
        if case.comparison and case.share:
            results[share] = Result(say("report.mark.share", tree=label), *percent(case.share),
                                    readings=case.comparison.reading_ids)
        if case.comparison:
            results |= measure_results(case.comparison, label, casework.record)
            results |= year_results(case.comparison, label, casework.record)
        if seen := beside_readings(case.tree, casework.record):
            about = of_tree(case.tree.id, "beside")
            results[about] = Result(say("report.mark.beside", tree=label), "", "", readings=seen)
        if case.explanation:
            results |= _explained(case.explanation, label, casework)
        if case.prescription:
            results |= _prescribed(case.prescription, label, casework)
    labels = subjects(casework.record)
    for sample_id in dict.fromkeys(line.sample_id for line in casework.comparison.laboratory):
        results[of_sheet(sample_id)] = Result(
            say("report.mark.laboratory", sample=sentence(labels[sample_id])), "", "",
            readings=tuple(i for line in casework.comparison.laboratory if line.sample_id == sample_id
                           for i in (line.reading_id, *line.yardstick_reading_ids)))
    plan = casework.plan
    shares = tuple(of_tree(case.tree.id, "share") for case in cases if case.share)
    results["property/shares"] = Result(say("report.mark.shares"), "", "", results=shares)
    results["property/cost"] = Result(
        say("report.mark.cost"), money(plan.total_cost, plan.currency), say("report.mark.price_book"),
        results=tuple(of_tree(item.tree_id, f"remedy.{item.remedy}") for item in plan.items))
    if hours := hours_line(plan):
        results["property/hours"] = Result(say("report.mark.hours"), hours, "",
                                           results=results["property/cost"].results)
    return results | _of_budgets(plan, casework.record)


def _of_budgets(plan: Plan, record: PropertyRecord) -> dict[str, Result]:
    """The client's ceiling, and each budget of the table of several, by its row."""
    told = [reading.id for reading in record.readings if reading.kind == "budget_year"]
    found = {} if plan.budget is None else {"property/ceiling": Result(
        say("report.mark.ceiling"), money(plan.budget, plan.currency), say("report.mark.this_year"), readings=(*told,))}
    for row, point in enumerate(budgets_shown(plan), 1):
        found[f"property/budget.{row}"] = Result(
            say("report.mark.budget"), money(point.first_year_cost, plan.currency),
            say("report.mark.budget_buys", total=money(point.total_cost, plan.currency), count=len(point.treated)),
            results=tuple(of_tree(tree, f"remedy.{remedy}") for tree, remedy in point.treated))
    return found


def _explained(explanation: Explanation, label: str, casework: Casework) -> dict[str, Result]:
    tree = explanation.tree_id
    results = {of_tree(tree, "predicted"): Result(
        say("report.mark.predicted", tree=label), *percent(explanation.predicted_share),
        readings=explanation.reading_ids)}
    for step in explanation.limits:
        figure, interval = ("0", say("report.fall.same")) if step.same_as_yardstick else loss(step.points)
        results[of_tree(tree, f"limit.{step.limit}")] = Result(
            say("report.mark.limit", tree=label, limit=limit_name(step.limit)), figure, interval,
            readings=rests_of(step, explanation), assumed=step.assumed)
    if explanation.unexplained_points:
        results[of_tree(tree, "unexplained")] = Result(
            say("report.mark.unexplained", tree=label), *loss(explanation.unexplained_points),
            results=(of_tree(tree, "predicted"), of_tree(tree, "share")))
    if explanation.signs:
        results[of_tree(tree, "signs")] = Result(
            say("report.mark.signs", tree=label), odds(explanation.signs.chance_outside), "",
            readings=signs_readings(explanation.signs), results=(of_tree(tree, "predicted"), of_tree(tree, "share")))
    return results | soil_results(explanation, label, casework.record) | _inside_water(explanation, label) | (
        _conditioned(explanation, label))


def _inside_water(explanation: Explanation, label: str) -> dict[str, Result]:
    whole = (of_tree(explanation.tree_id, "limit.water"),)
    return {of_tree(explanation.tree_id, f"water.{part.part}"): Result(
        say("report.mark.water_part", tree=label, part=say(f"terminal.water.{part.part}")), *loss(part.points),
        results=whole) for part in explanation.water_parts}


def _conditioned(explanation: Explanation, label: str) -> dict[str, Result]:
    """The same limits and a cause outside the soil, once the growth is taken in."""
    after, tree = explanation.conditioned, explanation.tree_id
    if after is None:
        return {}
    share = of_tree(tree, "share")
    found = {of_tree(tree, f"conditioned.{step.limit}"): Result(
        say("report.mark.conditioned", tree=label, limit=limit_name(step.limit)), *loss(step.points),
        results=(of_tree(tree, f"limit.{step.limit}"), share)) for step in after.limits}
    base = (of_tree(tree, "predicted"), share, *((of_tree(tree, "signs"),) if explanation.signs else ()))
    found[of_tree(tree, "conditioned.other")] = Result(
        say("report.mark.conditioned_other", tree=label), *loss(after.other_cause_points), results=base)
    found[of_tree(tree, "conditioned.chance")] = Result(
        say("report.mark.conditioned_chance", tree=label), odds(after.chance_other_cause), "", results=base)
    return found


def _prescribed(plan: TreePrescription, label: str, casework: Casework) -> dict[str, Result]:
    tree, results = plan.tree_id, {}
    base = (of_tree(tree, "share"), of_tree(tree, "predicted"))
    for outcome in plan.remedies:
        cost = money(outcome.cost, casework.plan.currency)
        gain, interval = gain_of(outcome)
        results[of_tree(tree, f"remedy.{outcome.remedy}")] = Result(
            say("report.mark.remedy", tree=label, remedy=remedy_name(outcome.remedy), cost=cost), gain, interval,
            results=base)
    if plan.share_if_nothing:
        results[of_tree(tree, "future")] = Result(
            say("report.mark.future", tree=label), *percent(plan.share_if_nothing[-1]), results=base)
    return results
