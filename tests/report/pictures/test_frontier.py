"""What each sum of money buys: each mark from its number, and words that hold for every kind of plan."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from rootcase.records.prescribe import FrontierPoint, Plan
from rootcase.records.report import Casework
from rootcase.report.pictures import draw_frontier
from rootcase.report.pictures.signs import Layout
from tests.report.fixtures import casework_extreme, casework_fixture
from tests.report.pictures.marks import group, mark, marks, number, points, root_of, texts

CLOSE = pytest.approx
LAYOUTS: tuple[Layout, ...] = ("wide", "column", "phone")
COSTS = (400.0, 900.0, 1300.0, 2100.0, 3400.0, 5200.0)
GAINS = (900.0, 1700.0, 2100.0, 2600.0, 2900.0, 3000.0)


def with_frontier(plan: Plan, costs: tuple[float, ...] = COSTS, gains: tuple[float, ...] = GAINS) -> Plan:
    """The plan with invented budgets, itself in the middle of them."""
    trees = [tree.tree_id for tree in plan.trees]
    found = tuple(FrontierPoint(cost, cost, 2 * cost, gain, 1.0001 * gain, tuple((t, "mulch") for t in trees[:at + 1]))
                  for at, (cost, gain) in enumerate(zip(costs, gains, strict=True)))
    middle = len(costs) // 2
    return replace(plan, frontier=found, first_year_cost=costs[middle], gain_points_m2=gains[middle])


@pytest.fixture(scope="module")
def casework() -> Casework:
    return casework_fixture()


def test_each_budget_and_the_plan_stand_at_their_money_and_gain(casework: Casework) -> None:
    for layout in LAYOUTS:
        root = root_of(draw_frontier(casework.record, with_frontier(casework.plan), layout).bare)
        drawn = group(root, "frontier")
        across, up = number(drawn, "data-px-per-money"), number(drawn, "data-px-per-gain")
        zero = points(mark(root, "stairs"))[0]
        rings = [(number(ring, "cx"), number(ring, "cy")) for ring in marks(root, "budget")]
        assert [x - zero[0] for x, _ in rings] == CLOSE([across * cost for cost in COSTS], abs=0.02)
        assert [zero[1] - y for _, y in rings] == CLOSE([up * gain for gain in GAINS], abs=0.02)
        plan = mark(root, "plan")
        assert number(plan, "cx") == CLOSE(zero[0] + across * 2100, abs=0.02)
        assert number(plan, "cy") == CLOSE(zero[1] - up * 2600, abs=0.02)
        assert points(mark(root, "ceiling"))[0][0] == CLOSE(zero[0] + across * 4000, abs=0.02)


def test_the_stairs_gain_nothing_between_two_budgets(casework: Casework) -> None:
    stairs = points(mark(root_of(draw_frontier(casework.record, with_frontier(casework.plan)).bare), "stairs"))
    assert all(first[0] == second[0] or first[1] == second[1]
               for first, second in pairwise(stairs))


def test_the_finding_tells_what_the_plan_buys(casework: Casework) -> None:
    plan = with_frontier(casework.plan)
    assert "2,100 USD this year buys 87 % of what money can gain here; all of it takes 5,200 USD." in (
        draw_frontier(casework.record, plan).alt)
    whole = replace(plan, first_year_cost=5200.0, gain_points_m2=3000.0)
    assert "5,200 USD this year buys all that money can gain here." in draw_frontier(casework.record, whole).alt
    idle = replace(plan, items=(), first_year_cost=0.0, gain_points_m2=0.0)
    picture = draw_frontier(casework.record, idle, "wide")
    assert "This plan spends nothing; the least that buys a gain is 400 USD this year." in picture.alt
    assert marks(root_of(picture.bare), "plan") == []
    none = draw_frontier(casework.record, replace(idle, frontier=()), "wide")
    assert "No sum of money on this list buys a gain here." in none.alt
    assert len(marks(root_of(none.bare), "unknown")) == 1


def test_the_ceiling_is_drawn_named_far_or_told_to_be_none(casework: Casework) -> None:
    plan = with_frontier(casework.plan)
    for budget, drawn, told in ((4000.0, 1, "Ceiling: 4,000 USD"), (90_000.0, 0, "beyond this picture"),
                                (None, 0, "No ceiling was named"), (0.0, 1, "Ceiling: 0 USD")):
        root = root_of(draw_frontier(casework.record, replace(plan, budget=budget)).bare)
        assert len(marks(root, "ceiling")) == drawn
        assert any(told in words for words in texts(root))


def test_the_gain_s_unit_stands_in_both_systems_the_reader_s_first(casework: Casework) -> None:
    words = " ".join(texts(root_of(draw_frontier(casework.record, with_frontier(casework.plan), "wide").bare)))
    assert "100 % is 32,300 points × ft² (3,000 points × m²), mean of five years." in words
    assert "No other plan for the same money gains over 0.01 % more." in words


@pytest.mark.property
def test_no_money_makes_labels_collide(long: bool) -> None:
    rng, both = np.random.default_rng(31), (casework_fixture(), casework_extreme())
    for turn in range(300 if long else 30):
        casework = both[turn % 2]
        count = int(rng.integers(1, 20))
        costs = np.sort(np.round(np.exp(rng.uniform(0, (5, 9, 16)[turn % 3], count)), 2))
        gains = np.sort(np.exp(rng.uniform(-3, 14, count)))
        plan = replace(with_frontier(casework.plan, tuple(costs.tolist()), tuple(gains.tolist())),
                       budget=None if rng.random() < 0.2 else float(np.exp(rng.uniform(0, 16))))
        for layout in LAYOUTS:
            picture = draw_frontier(casework.record, plan, layout)
            assert picture.faults == ()
            assert len(picture.alt.split()) < 80
