"""Told rules in a whole plan: they bar, lower, move and are told; without any the plan is as it was."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import cache

import numpy as np
import pytest

from rootcase.casework.explain.explain import explain
from rootcase.casework.prescribe.outlooks import outlooks_of
from rootcase.casework.prescribe.prescribe import PlanInputs, plan_of, plan_with
from rootcase.casework.prescribe.programme import Ceilings
from rootcase.ground.errors import ImpossibleValue
from rootcase.records.observe import Reading, Rule
from rootcase.records.prescribe import Plan, RemedyOutcome
from tests.casework.property import DAY, FIELD, LAWN, PRICES, WOOD, comparison, read, record, weather, without

N = 120
WATER_NEAR = read("water_body_distance", "field", 8.0)


@cache
def ahead():
    seen = comparison({"t-field": 0.14}, N)
    explained = explain(record(), "t-field", seen.trees[0], weather(), draws=N, seed=1, threads=2)
    return explained, outlooks_of(record(), explained, seen.trees[0], weather(), draws=N, seed=1, threads=2)


def rule(topic: str, value: float | None = None, *, to: str, closed: tuple[str, str] = ("", "")) -> Rule:
    return Rule(topic, "A state", value, "", *closed, tuple(to.split("|")), "a code", date(2015, 11, 4), "")


def inputs(*rules: Rule, more: tuple[Reading, ...] = (), fewer: tuple[str, ...] = ()) -> PlanInputs:
    explained, outlooks = ahead()
    told = replace(record([*without(FIELD, *fewer), *LAWN, *WOOD, *more]), rules=rules)
    return PlanInputs(told, (explained,), (outlooks,), PRICES, Ceilings(), DAY, N, 1)


def planned(*rules: Rule, more: tuple[Reading, ...] = (), fewer: tuple[str, ...] = ()) -> Plan:
    return plan_of(inputs(*rules, more=more, fewer=fewer))


def outcome(plan: Plan, code: str) -> RemedyOutcome:
    return next(each for each in plan.trees[0].remedies if each.remedy == code)


def test_without_rules_the_plan_names_none() -> None:
    plan = planned()
    assert [item.remedy for item in plan.items] == ["mulch"]
    assert (plan.rules, plan.rules_unknown) == ((), ())


def test_a_notice_is_told_of_what_is_done_and_of_nothing_else() -> None:
    plan = planned(rule("notice", 2.0, to="mulch|extract"), rule("post", to="growth_regulator"))
    assert [(each.topic, each.applies_to) for each in plan.rules] == [("notice", ("mulch",))]


def test_a_season_closed_whole_moves_the_step_or_bars_the_course() -> None:
    moved = planned(rule("closed", to="mulch", closed=("09-01", "11-30")))
    assert {step.season for step in outcome(planned(), "mulch").steps} == {"autumn", "spring"}
    assert {step.season for step in outcome(moved, "mulch").steps} == {"spring"}
    shut = planned(rule("closed", to="mulch", closed=("01-01", "12-31")))
    assert (outcome(shut, "mulch").verdict, outcome(shut, "mulch").reason) == ("not allowed", "law_closed")
    assert not any("mulch" in item.remedy.split("+") for item in shut.items)
    assert [each.topic for each in shut.rules] == ["closed"]


def test_a_buffer_takes_ground_money_and_gain_together() -> None:
    near = planned(rule("buffer_water", 6.0, to="mulch"), more=(WATER_NEAR,))
    whole, cut = outcome(planned(), "mulch"), outcome(near, "mulch")
    share = cut.dose.area_m2 / whole.dose.area_m2
    assert 0.5 < share < 1.0
    assert cut.cost / whole.cost == pytest.approx(share)
    assert cut.gain_points.mean / whole.gain_points.mean == pytest.approx(share)
    bare = outcome(planned(rule("buffer_water", 8.0, to="mulch"), more=(WATER_NEAR,)), "mulch")
    assert (bare.verdict, bare.reason) == ("not allowed", "law_buffer")


def test_compost_waits_for_the_test_the_rule_asks_for() -> None:
    asks = rule("phosphorus_test", to="compost|slow_nitrogen")
    waits = outcome(planned(asks), "compost")
    assert (waits.verdict, waits.reason) == ("not allowed", "law_phosphorus")
    low = read("phosphorus", "s-t-field", 15.0, attributes={"extractant": "mehlich_3"})
    assert outcome(planned(asks, more=(low,)), "compost").reason != "law_phosphorus"
    high = read("phosphorus", "s-t-field", 90.0, attributes={"extractant": "mehlich_3"})
    assert outcome(planned(more=(high,)), "compost").reason == "phosphorus_high"


def test_a_cap_lowers_the_feed_and_no_rounding_lifts_it_again() -> None:
    short = (read("leaf_n", "s-t-field", 0.012),)
    for cap in np.linspace(0.001, 0.02, 4):
        dose = outcome(planned(rule("nitrogen_year", float(cap), to="slow_nitrogen"), more=short), "slow_nitrogen").dose
        assert dose is not None
        assert dose.mass_kg is not None
        assert dose.mass_kg <= float(cap) * dose.area_m2 * (1.0 + 1e-9)


def test_what_nobody_tested_waits_for_its_test() -> None:
    unread = planned(fewer=("sar", "soil_ph"))
    for code, reason in (("gypsum", "sodium_not_read"), ("slow_nitrogen", "feed_not_tested"),
                         ("sulfur", "lime_not_read"), ("chelate", "lime_not_read")):
        found = outcome(unread, code)
        assert (found.verdict, found.reason) == ("test first", reason)
        assert found.remedy not in {remedy for item in unread.items for remedy in item.remedy.split("+")}


def test_the_extract_is_listed_as_a_trial_with_its_price_and_never_taken() -> None:
    plan = planned()
    found = outcome(plan, "extract")
    assert found.reason == "trial_only"
    assert found.cost is not None
    assert found.cost > 0.0
    courses = {each.remedy for each in plan.trees[0].remedies} | {item.remedy for item in plan.items}
    assert [code for code in courses if "extract" in code.split("+")] == ["extract"]
    assert all("extract" not in code for point in plan.frontier for _, code in point.treated)


def test_nobody_can_insist_on_what_a_rule_or_the_trial_forbids() -> None:
    with pytest.raises(ImpossibleValue, match="trial"):
        plan_with(inputs(), {"t-field": "extract"})
    with pytest.raises(ImpossibleValue, match="too near to water or a well for the local rule"):
        plan_with(inputs(rule("buffer_water", 8.0, to="compost"), more=(WATER_NEAR,)), {"t-field": "compost"})
