"""No plan of a random property breaks a constraint, and the checker names what is broken when one is made to."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import pytest

from rootcase.casework.prescribe.prescribe import PlanInputs, plan_of, plan_with
from rootcase.ground.errors import ImpossibleValue, Missing
from rootcase.records.explain import Explanation
from rootcase.records.observe import Reading, Rule
from rootcase.records.prescribe import FrontierPoint, Plan, PlanItem, RemedyOutcome, Step
from tests.casework.prescribe.inputs import GROUNDS, inputs
from tests.casework.prescribe.plan_check import faults
from tests.casework.prescribe.random_plans import random_inputs, random_insistence
from tests.casework.property import DAY

FEW, MANY, PARTS = 60, 10_000, 4
SEEN = ("possible", "chosen", "gain too small", "costs more than it gives", "gain not known")
"""Verdicts on what is offered."""
EVERY = 8
"""At every eighth property the client insists on something."""


@dataclass(frozen=True)
class Case:
    """What a plan is made of, and the plan."""

    given: PlanInputs
    plan: Plan

    @property
    def faults(self) -> list[str]:
        return faults(self.given.record, self.given.price_book, self.plan, tuple(self.given.explanations))


@cache
def drawn(seed: int) -> Case:
    given = random_inputs(seed)
    return Case(given, plan_of(given))


def insisted(case: Case, seed: int) -> Case | None:
    """The plan with what a client wants against all advice; None where that is refused."""
    try:
        return replace(case, plan=plan_with(case.given, random_insistence(case.given, seed)))
    except (ImpossibleValue, Missing):
        return None


@pytest.mark.property
@pytest.mark.parametrize("part", range(PARTS))
def test_no_plan_of_a_random_property_breaks_a_constraint(part: int, long: bool) -> None:
    broken = {}
    for seed in range(part, MANY if long else FEW, PARTS):
        case = drawn(seed) if seed < FEW else drawn.__wrapped__(seed)
        found = case.faults
        if seed % EVERY < PARTS and (wanted := insisted(case, seed)):
            found += wanted.faults
        if found:
            broken[seed] = found
    assert broken == {}


@pytest.mark.property
@pytest.mark.parametrize("name", GROUNDS)
def test_nor_does_one_whose_growth_is_run(name: str, long: bool) -> None:
    if long or name == "young":
        given = inputs(name)
        assert Case(given, plan_of(given)).faults == []


def test_the_random_properties_are_of_many_kinds() -> None:
    """Else the check above would say little."""
    plans = [drawn(seed).plan for seed in range(FEW)]
    said = {each.reason for plan in plans for tree in plan.trees for each in (tree, *tree.remedies)}
    assert said >= {"structural_concern", "water_and_patience", "no_money", "not_priced", "wishes_bar", "law_closed",
                    "law_buffer", "law_phosphorus", "law_nitrogen", "play_ground", "lawn_stays", "no_chips", "no_holes",
                    "product_barred", "newly_planted", "roots_lost", "too_steep", "sodium_not_read", "fizz_first",
                    "feed_not_tested", "trial_only", "not_the_soil", "water_first", "left_out"}
    treated = {item.remedy for plan in plans for item in plan.items}
    assert treated >= {"mulch", "water", "compost", "air_tillage", "turf_off", "leach", "settling_water"}
    assert any("+" in code for code in treated)
    assert {True, False} == {plan.fits for plan in plans}
    assert {"budget", "wish_chips", "wish_lawn"} <= {price.constraint for plan in plans for price in plan.prices}


# A plan, or what it is held against, is spoilt in one place; None where this one has nothing to spoil.


def holds(case: Case, code: str, verdicts: tuple[str, ...] = ("chosen",)) -> str:
    """A tree at which the remedy alone has such a verdict; empty where there is none."""
    return next((tree.tree_id for tree in case.plan.trees for each in tree.remedies
                 if each.remedy == code and each.verdict in verdicts and not tree.against_advice), "")


def with_plan(case: Case, **changes: Any) -> Case:
    return replace(case, plan=replace(case.plan, **changes))


def with_record(case: Case, **changes: Any) -> Case:
    return replace(case, given=replace(case.given, record=replace(case.given.record, **changes)))


def reading(case: Case, of: str, kind: str, value: float | None = None, choice: str | None = None) -> Case:
    """With one more reading, the newest."""
    more = Reading("zz", kind, of, "v", DAY, "a", value, choice, "=", None, "")
    return with_record(case, readings=(*case.given.record.readings, more))


def without(case: Case, *kinds: str) -> Case:
    return with_record(case, readings=tuple(r for r in case.given.record.readings if r.kind not in kinds))


def place_of(case: Case, tree_id: str) -> str:
    return next(tree.place_id for tree in case.given.record.trees if tree.id == tree_id)


def at_tree(code: str, kind: str, value: float | None = None, choice: str | None = None, *, place: bool = False,
            offered: bool = False) -> Callable[[Case], Case | None]:
    """The newest reading of a tree, or of its place, at which the remedy is chosen, or offered."""
    def spoil(case: Case) -> Case | None:
        tree = holds(case, code, SEEN if offered else ("chosen",))
        return reading(case, place_of(case, tree) if place else tree, kind, value, choice) if tree else None
    return spoil


def unread(code: str, *kinds: str) -> Callable[[Case], Case | None]:
    return lambda case: without(case, *kinds) if holds(case, code, SEEN) else None


def of_plan(change: Callable[[Plan], dict[str, Any]]) -> Callable[[Case], Case | None]:
    """Where something is done and nothing insisted on."""
    return lambda case: with_plan(case, **change(case.plan)) if case.plan.items else None


def of_tree(**changes: Any) -> Callable[[Case], Case | None]:
    def spoil(plan: Plan) -> dict[str, Any]:
        treated = plan.items[0].tree_id
        return {"trees": tuple(replace(tree, **changes) if tree.tree_id == treated else tree for tree in plan.trees)}
    return of_plan(spoil)


def of_item(change: Callable[[PlanItem | RemedyOutcome], dict[str, Any]], code: str = "") -> Callable[
        [Case], Case | None]:
    """The same change at an item and at the choice on its tree's list."""
    def spoil(case: Case) -> Case | None:
        item = next((each for each in case.plan.items if each.remedy == (code or each.remedy)), None)
        if item is None:
            return None
        trees = tuple(replace(tree, remedies=tuple(
            replace(each, **change(each)) if each.verdict == "chosen" else each for each in tree.remedies))
            if tree.tree_id == item.tree_id else tree for tree in case.plan.trees)
        return with_plan(case, trees=trees, items=tuple(replace(each, **change(each)) if each is item else each
                                                        for each in case.plan.items))
    return spoil


def of_doses(**changes: Callable[[Any], Any]) -> Callable[[PlanItem | RemedyOutcome], dict[str, Any]]:
    """Each step's dose changed where it has the figure."""
    def spoilt(step: Step) -> Step:
        return replace(step, dose=replace(step.dose, **{
            name: change(figure) for name, change in changes.items()
            if (figure := getattr(step.dose, name)) is not None}))
    return lambda each: {"steps": tuple(spoilt(step) for step in each.steps)}


def ruled(code: str, topic: str, value: float | None, *near: tuple[str, float],
          verdicts: tuple[str, ...] = ("chosen",)) -> Callable[[Case], Case | None]:
    """One more rule on a remedy that is done, and what was read near by."""
    def spoil(case: Case) -> Case | None:
        tree = holds(case, code, verdicts)
        if not tree:
            return None
        rule = Rule(topic, "North", value, "", "01-01" if topic == "closed" else "",
                    "12-31" if topic == "closed" else "", (code,), "a code", DAY, "")
        more = with_record(case, rules=(*case.given.record.rules, rule), outlines=())
        for kind, figure in near:
            more = reading(more, place_of(case, tree), kind, figure)
        return without(more, "phosphorus") if topic == "phosphorus_test" else more
    return spoil


def dearer(each: PlanItem | RemedyOutcome) -> dict[str, Any]:
    first, *rest = each.steps
    return {"cost": (each.cost or 0.0) + 7.0, "steps": (replace(first, cost=(first.cost or 0.0) + 7.0), *rest)}


def nothing_done(plan: Plan) -> dict[str, Any]:
    return {"items": (), "gain_points_m2": 0.0, "total_cost": 0.0, "shared_cost": 0.0, "first_year_cost": 0.0,
            "crew_hours": 0.0, "machine_hours": 0.0}


def pitch(case: Case) -> Case | None:
    tree = holds(case, "air_tillage")
    places = tuple(replace(place, kind="pitch") for place in case.given.record.places)
    return with_record(case, places=places) if tree else None


def instead(code: str, old: tuple[str, ...], kind: str, value: float) -> Callable[[Case], Case | None]:
    """One reading in the place of all of these kinds, at a tree where the remedy is offered."""
    def spoil(case: Case) -> Case | None:
        tree = holds(case, code, SEEN)
        return reading(without(case, *old), tree, kind, value) if tree else None
    return spoil


def all_turf(case: Case) -> Case | None:
    tree = holds(case, "mulch")
    if not tree:
        return None
    turf = Reading("z", "cover_share_by_ring", tree, "v", DAY, "a", 1.0, None, "=", None, "", series="dripline",
                   attributes={"cover": "turf"})
    bare = without(case, "cover_share_by_ring")
    return reading(with_record(bare, readings=(*bare.given.record.readings, turf)), place_of(case, tree), "wish_lawn",
                   choice="stays")


def new_tree(case: Case) -> Case | None:
    """A treated tree told to be rooting in, in ground nobody waters."""
    tree = holds(case, "mulch")
    if not tree:
        return None
    def rooting(told: Explanation) -> Explanation:
        return replace(told, conditioned=None, observed_share=replace(told.predicted_share, median=0.2), limits=tuple(
            replace(each, points=replace(each.points, mean=50.0 if each.limit == "establishment" else 0.0))
            for each in told.limits))
    given = replace(case.given, explanations=tuple(
        rooting(told) if told.tree_id == tree else told for told in case.given.explanations))
    return reading(replace(case, given=given), place_of(case, tree), "irrigation_kind", choice="none")


def planted_now(case: Case) -> Case | None:
    tree = holds(case, "slow_nitrogen", SEEN)
    if not tree:
        return None
    told = reading(without(case, "stock_kind", "planting_year"), tree, "planting_year_basis", choice="record")
    return reading(told, tree, "planting_year", 2015.0)


SPOILT: dict[str, Callable[[Case], Case | None]] = {
    "budget": of_plan(lambda plan: {"budget": plan.first_year_cost - 1.0, "fits": True}),
    "crew_hours": lambda case: reading(case, "l1", "crew_hours_year", 0.0) if case.plan.crew_hours > 0.0 else None,
    "machine_hours": lambda case: reading(case, "l1", "machine_hours_year", 0.0) if case.plan.machine_hours else None,
    "hours": of_plan(lambda plan: {"crew_hours": plan.crew_hours + 1.0}),
    "twice": of_plan(lambda plan: {"items": (*plan.items, plan.items[0])}),
    "left alone": of_tree(verdict="leave it alone"),
    "chosen": of_tree(chosen=None),
    "tree": of_tree(look_again=DAY),
    "cost": of_item(lambda each: {"cost": (each.cost or 0.0) + 1.0}),
    "step cost": of_item(dearer),
    "total": of_plan(lambda plan: {"total_cost": plan.total_cost + 1.0}),
    "shared": of_plan(lambda plan: {"total_cost": plan.total_cost + 5.0, "shared_cost": plan.shared_cost + 5.0}),
    "first year": of_plan(lambda plan: {"first_year_cost": plan.first_year_cost + 5.0}),
    "value": of_plan(lambda plan: {"gain_points_m2": plan.gain_points_m2 + 1.0}),
    "bound": of_plan(lambda plan: {"best_bound": plan.gain_points_m2 - 1.0}),
    "better": of_plan(nothing_done),
    "weight": of_tree(weight=0.123),
    "gain": of_item(lambda each: {"gain_points": each.gain_points and replace(each.gain_points, mean=9.0)}, "mulch"),
    "frontier": lambda case: with_plan(case, frontier=case.plan.frontier[::-1]) if case.plan.frontier[1:] else None,
    "price": lambda case: with_plan(case, prices=(replace(case.plan.prices[0], points_m2=-1.0),)
                                    ) if case.plan.prices else None,
    "extract": of_plan(lambda plan: {"frontier": (FrontierPoint(1.0, 1.0, 1.0, 0.0, 0.0, (("t1", "extract"),)),)}),
    "renewals missing": of_item(lambda each: {"steps": each.steps[:1]}, "mulch"),
    "order of water and mulch": of_item(lambda each: {"steps": each.steps[1:2] + each.steps[:1] + each.steps[2:]},
                                        "settling_water+mulch"),
    "years out of order": of_item(lambda each: {"steps": each.steps[::-1]}, "mulch"),
    "parts are not worked at": of_item(lambda each: {"steps": tuple(
        step for step in each.steps if step.remedy != "mulch")}, "settling_water+mulch"),
    "dose": of_item(of_doses(area_m2=lambda area: -area)),
    "no ground": of_item(of_doses(area_m2=lambda area: 0.0)),
    "rounded": of_item(of_doses(volume_m3=lambda volume: volume * 1.01), "mulch"),
    "tape": of_item(of_doses(depth_m=lambda depth: depth + 0.001), "mulch"),
    "ground": of_item(of_doses(area_m2=lambda area: area * 50.0), "mulch"),
    "concern": lambda case: reading(case, case.plan.items[0].tree_id, "structural_concern", choice="seen"
                                    ) if case.plan.items else None,
    "chips": at_tree("mulch", "wish_chips", choice="no", place=True),
    "holes": at_tree("air_tillage", "wish_holes", choice="no", place=True),
    "products": at_tree("mulch", "wish_products", choice="no bark please", place=True),
    "turf": at_tree("turf_off", "wish_lawn", choice="stays", place=True),
    "play_ground": pitch,
    "sodium not read": unread("gypsum", "sar", "esp"),
    "free lime": at_tree("sulfur", "carbonate_fizz", choice="strong", offered=True, place=True),
    "no leaf test": unread("slow_nitrogen", "leaf_n"),
    "dust": at_tree("slow_nitrogen", "soil_moisture_feel", choice="dust", offered=True),
    "roots lost": at_tree("slow_nitrogen", "roots_cut_share", 0.5, offered=True),
    "steep": at_tree("leach", "slope", 0.5, place=True),
    "food plants": at_tree("extract", "sensitive_use", choice="food", offered=True, place=True),
    "closed": ruled("mulch", "closed", None),
    "nitrogen cap": ruled("compost", "nitrogen_year", 0.01),
    "phosphorus not tested": ruled("compost", "phosphorus_test", None),
    "buffer": ruled("leach", "buffer_water", 50.0, ("water_body_distance", 5.0)),
    "not told": lambda case: with_plan(case, rules=()) if case.plan.items and case.plan.rules and any(
        set(item.remedy.split("+")) & set(rule.applies_to) for item in case.plan.items for rule in case.plan.rules
        ) else None,
    "no sodium": instead("gypsum", ("sar", "esp"), "sar", 1.0),
    "ph not read": unread("sulfur", "soil_ph", "soil_ph_field"),
    "not short": instead("slow_nitrogen", ("leaf_n",), "leaf_n", 0.09),
    "drains badly": instead("leach", ("drainage_hole_drop",), "drainage_hole_drop", 0.01),
    "lawn": all_turf,
    "water first": new_tree,
    "newly planted": planted_now,
    "outside": lambda case: with_plan(case, trees=tuple(replace(tree, remedies=tuple(
        replace(each, verdict="possible") if each.verdict == "gain not known" else each for each in tree.remedies))
        for tree in case.plan.trees)) if holds(case, "keep_off", ("gain not known",)) else None,
}


SELDOM = dict.fromkeys(("order of water and mulch", "parts are not worked at"), 140)
"""From which property on to look where none of the first has what is spoilt."""


@pytest.mark.parametrize("name", SPOILT)
def test_the_checker_names_what_is_broken(name: str) -> None:
    for seed in range(SELDOM.get(name, 0), 4 * FEW):
        case = drawn(seed)
        spoilt = SPOILT[name](case)
        if spoilt is not None:
            assert case.faults == []
            assert name in {fault.split(":")[0] for fault in spoilt.faults}
            return
    pytest.fail("no random property has what this spoils")
