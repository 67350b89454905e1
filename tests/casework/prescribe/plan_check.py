"""Whether a plan breaks a constraint, reckoned again from the record, the prices and the tables.

Nothing of what chooses is imported here; a fault is one line that begins with the word it is named by.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from math import fsum, isclose, isfinite, prod

from rootcase.records.explain import Explanation
from rootcase.records.observe import PriceBook, PropertyRecord
from rootcase.records.prescribe import Plan, RemedyOutcome, Step
from rootcase.tables.load import table
from tests.casework.prescribe import site_check
from tests.casework.prescribe.held import NEAR, Held, begun, five_years, paid, same, took, work_behind, works

GAP = 2e-4
"""How far under the best a choice may lie: the solver's gap, twice."""
MOST_BY_HAND = 1500
POINTS_SEEN = 10.0
AHEAD = 5


def faults(record: PropertyRecord, book: PriceBook, plan: Plan,
           explanations: tuple[Explanation, ...] = ()) -> list[str]:
    """All that a plan breaks, one line each."""
    held = Held(record, book, plan, explanations)
    return [fault for check in (*CHECKS, *site_check.CHECKS) for fault in check(held)]


def money(held: Held) -> Iterator[str]:
    """Each step from the price book, each course from its steps, the plan from its courses, visits and least charge."""
    plan, taken = held.plan, [item.steps for item in held.plan.items]
    for outcome, where in ((each, tree.tree_id) for tree in plan.trees for each in tree.remedies):
        for step in outcome.steps:
            asked, row = five_years(step.remedy, step.dose, held.book), work_behind(step, outcome.steps)
            if row is None or (asked is None) != (step.cost is None) or (
                    asked is not None and not same(step.cost or 0.0, asked * row["share"])):
                yield f"step cost: {where} {outcome.remedy} {step.remedy} year {step.year}: {step.cost}, {asked}"
        if outcome.cost is not None and not same(outcome.cost, fsum(step.cost or 0.0 for step in outcome.steps)):
            yield f"cost: {where} {outcome.remedy} is not the sum of its steps"
    for item in plan.items:
        if not item.steps or not same(item.cost, fsum(step.cost or 0.0 for step in item.steps)):
            yield f"cost: {item.tree_id} {item.remedy} is not the sum of its steps"
    own = fsum(item.cost for item in plan.items)
    if not same(plan.total_cost, own + plan.shared_cost):
        yield f"total: {plan.total_cost} is not {own} and {plan.shared_cost}"
    if not same(plan.total_cost, paid(held, taken, None)):
        yield f"shared: in all {plan.total_cost}, by hand {paid(held, taken, None)}"
    if not same(plan.first_year_cost, paid(held, taken, 1)):
        yield f"first year: {plan.first_year_cost}, by hand {paid(held, taken, 1)}"


def limits(held: Held) -> Iterator[str]:
    """This year's money and hours under what there is."""
    plan = held.plan
    crew, machine = took([item.steps for item in plan.items])
    if not same(plan.crew_hours, crew) or not same(plan.machine_hours, machine):
        yield f"hours: {plan.crew_hours} and {plan.machine_hours}, by hand {crew} and {machine}"
    over = plan.budget is not None and plan.first_year_cost > plan.budget + NEAR
    if over and (plan.fits or not held.forced):
        yield f"budget: {plan.first_year_cost} of {plan.budget}"
    if held.forced:
        return
    for name, used in (("crew_hours", crew), ("machine_hours", machine)):
        ceiling = ceiling_of(held, f"{name}_year")
        if ceiling is not None and used > ceiling + NEAR:
            yield f"{name}: {used} of {ceiling}"
    if ceiling_of(held, "budget_year") != plan.budget:
        yield f"budget: the plan's is {plan.budget}, the client's {ceiling_of(held, 'budget_year')}"


def ceiling_of(held: Held, kind: str) -> float | None:
    told = [r for r in held.record.readings if r.kind == kind and r.nothing is None and r.value is not None]
    return max(told, key=lambda r: (r.day, r.id)).value if told else None


def shape(held: Held) -> Iterator[str]:
    """One course a tree, said alike everywhere, and none where a tree is left alone."""
    plan, trees = held.plan, [item.tree_id for item in held.plan.items]
    if len(set(trees)) < len(trees):
        yield "twice: a tree has two items"
    for tree in plan.trees:
        items = [item for item in plan.items if item.tree_id == tree.tree_id]
        if items and tree.verdict != "treat":
            yield f"left alone: {tree.tree_id} is treated"
        if tree.chosen != (items[0].remedy if items else None):
            yield f"chosen: {tree.tree_id} is told {tree.chosen}"
        chosen = [each for each in tree.remedies if each.verdict == "chosen"]
        if [each.remedy for each in chosen] != [tree.chosen or "nothing"]:
            yield f"chosen: {tree.tree_id} lists {[each.remedy for each in chosen]}"
        for item, each in zip(items, chosen, strict=False):
            if (item.dose, item.cost, item.steps, item.gain_points) != (
                    each.dose, each.cost, each.steps, each.gain_points):
                yield f"chosen: {tree.tree_id} another {item.remedy} in the plan than on its list"
        if tree.look_again <= plan.made_on or not 0.0 <= tree.allowed_share <= 1.0 + NEAR or tree.root_zone_m2 <= 0.0:
            yield f"tree: {tree.tree_id} {tree.look_again} {tree.allowed_share} {tree.root_zone_m2}"


def worth(held: Held) -> Iterator[str]:
    """The sum that is maximised, the client's weights in it, its bound, and what each budget buys."""
    plan = held.plan
    value = fsum(item.gain_points.mean * held.tree(item.tree_id).weight * held.tree(item.tree_id).root_zone_m2
                 for item in plan.items)
    if not same(plan.gain_points_m2, value):
        yield f"value: {plan.gain_points_m2}, by hand {value}"
    if plan.best_bound < plan.gain_points_m2 - NEAR:
        yield f"bound: {plan.best_bound} under {plan.gain_points_m2}"
    for tree in plan.trees:
        told = [r for r in held.record.readings if (r.of, r.kind) == (tree.tree_id, "tree_weight")
                and r.nothing is None and r.value is not None]
        asked = max(told, key=lambda r: (r.day, r.id)).value if told else 1.0
        if tree.weight != asked:
            yield f"weight: {tree.tree_id} {tree.weight}, told {asked}"
    for item in plan.items:
        if item.gain_points.mean < POINTS_SEEN - NEAR and not (
                item.against_advice or item.remedy.startswith("settling_water")):
            yield f"gain: {item.tree_id} {item.remedy} gains {item.gain_points.mean}"
    yield from frontier(held)
    for price in plan.prices:
        if price.points_m2 < 0.0 or price.points_at_tree < 0.0:
            yield f"price: {price.constraint} costs less than nothing"


def frontier(held: Held) -> Iterator[str]:
    plan, before = held.plan, (-1.0, 0.0)
    for point in plan.frontier:
        if point.first_year_cost > point.budget + 1e-4 or point.best_bound < point.gain_points_m2 - NEAR:
            yield f"frontier: at {point.budget} costs {point.first_year_cost}, bound {point.best_bound}"
        if point.budget <= before[0] or point.gain_points_m2 < before[1] - NEAR:
            yield f"frontier: falls at {point.budget}"
        if any("extract" in code.split("+") for _, code in point.treated):
            yield f"extract: bought at {point.budget}"
        if point.budget == plan.budget and not isclose(point.gain_points_m2, plan.gain_points_m2, rel_tol=GAP):
            yield f"frontier: {point.gain_points_m2} at the budget, the plan {plan.gain_points_m2}"
        before = point.budget, point.gain_points_m2


def best_by_hand(held: Held) -> Iterator[str]:
    """Every choice of a small property tried: none inside the ceilings is better than the plan or passes its bound."""
    plan = held.plan
    lists: list[list[tuple[float, tuple[Step, ...]]]] = []
    for tree in plan.trees:
        may = [] if tree.reason == "read_first" else [each for each in tree.remedies if takeable(each)]
        size = tree.weight * tree.root_zone_m2
        lists.append([(0.0, ()), *((each.gain_points.mean * size, each.steps) for each in may if each.gain_points)])
    if held.forced or prod(len(each) for each in lists) > MOST_BY_HAND:
        return
    ceilings = [ceiling_of(held, kind) for kind in ("budget_year", "crew_hours_year", "machine_hours_year")]
    best = 0.0
    for choice in product(*lists):
        taken, value = [steps for _, steps in choice if steps], fsum(each for each, _ in choice)
        if value > best and all(ceiling is None or used <= ceiling for used, ceiling in zip(
                (paid(held, taken, 1), *took(taken)), ceilings, strict=True)):
            best = value
    if best > plan.best_bound * (1.0 + NEAR) + NEAR:
        yield f"bound: {plan.best_bound}, and {best} can be had"
    if best > plan.gain_points_m2 * (1.0 + GAP) + NEAR:
        yield f"better: {plan.gain_points_m2} is planned, {best} can be had"


def takeable(each: RemedyOutcome) -> bool:
    return (each.verdict in ("possible", "chosen") and each.remedy != "nothing" and each.cost is not None
            and each.gain_points is not None and each.gain_points.mean > 0.0)


def order(held: Held) -> Iterator[str]:
    """Rules of order, renewals, seasons of the plan, and no extract."""
    for tree in held.plan.trees:
        for each in tree.remedies:
            yield from (f"{fault}: {tree.tree_id} {each.remedy}" for fault in order_faults(each))
    for item in held.plan.items:
        if "extract" in begun(item.steps) or "extract" in item.remedy:
            yield f"extract: {item.tree_id} is treated with it"


def order_faults(each: RemedyOutcome) -> Iterator[str]:
    first, several = begun(each.steps), "+" in each.remedy
    place = {code: at for at, code in enumerate(first)}
    if several and "extract" in each.remedy.split("+"):
        yield "extract in a course"
    if each.steps and set(each.remedy.replace("settling_water", "water").split("+")) != set(first):
        yield "parts are not worked at"
    if [step.year for step in each.steps] != sorted(step.year for step in each.steps) or any(
            not 1 <= step.year <= AHEAD for step in each.steps):
        yield "years out of order"
    for code, start in first.items():
        due = {int(row["year"]) + start - 1 for row in works(code) if row["year"] + start - 1 <= AHEAD}
        done = [step.year for step in each.steps if step.remedy == code]
        short = code == "water" and each.remedy.startswith("settling_water")
        if len(set(done)) < len(done) or not (set(done) == due or (short and sorted(done) == list(
                range(start, start + len(done))))):
            yield "renewals missing"
    for row in table("prescribe/order").rows:
        earlier, between = str(row["earlier"]), row["years_between"]
        for later in first.keys() - {earlier} if row["later"] == "*" else first.keys() & {str(row["later"])}:
            if earlier in first and (place[earlier] > place[later] or first[later] - first[earlier] < between):
                yield f"order of {earlier} and {later}"


def water_first(held: Held) -> Iterator[str]:
    """A tree that lags because it still roots in and is not watered is watered before all else."""
    for explained in held.explanations:
        takes = {each.limit: each.points.mean for each in (explained.conditioned or explained).limits}
        after, seen = explained.conditioned, explained.observed_share or explained.predicted_share
        other = after is not None and after.chance_other_cause > 0.5 and after.other_cause_points.mean >= POINTS_SEEN
        tree = held.tree(explained.tree_id)
        site = site_check.Site(held.record, tree)
        if (max(takes, key=lambda limit: takes[limit]) != "establishment" or takes["establishment"] < POINTS_SEEN
                or seen.median >= 0.75 or other or site.said("irrigation_kind") != "none" or tree.against_advice):
            continue
        for item in held.plan.items:
            if item.tree_id == tree.tree_id and next(iter(begun(item.steps))) != "water":
                yield f"water first: {tree.tree_id} gets {item.remedy}"


def amounts(held: Held) -> Iterator[str]:
    """No dose below nothing or without end, and none taken that lies on no ground."""
    for item in held.plan.items:
        if any(step.dose.area_m2 <= 0.0 for step in item.steps):
            yield f"no ground: {item.tree_id} {item.remedy}"
    for tree in held.plan.trees:
        for each in tree.remedies:
            for dose in (*([each.dose] if each.dose else []), *(step.dose for step in each.steps)):
                figures = (dose.area_m2, dose.depth_m, dose.volume_m3, dose.mass_kg, dose.water_mm, dose.litres,
                           dose.holes, dose.trench_m, *(run.minutes for run in dose.runs))
                if any(x is not None and (x < 0.0 or not isfinite(x)) for x in figures) or dose.parts < 1:
                    yield f"dose: {tree.tree_id} {each.remedy} {dose}"


CHECKS = (money, limits, shape, worth, best_by_hand, order, water_first, amounts)
