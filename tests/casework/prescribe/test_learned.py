"""The practice's own trials in the handbook's place: what leaves and what enters a plan by the posterior alone."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import cache
from math import exp, log

import numpy as np
import pytest

from rootcase.casework.explain.explain import explain
from rootcase.casework.prescribe.outdated import inputs_of
from rootcase.casework.prescribe.outlooks import outlooks_of
from rootcase.casework.prescribe.prescribe import PlanInputs, plan_of
from rootcase.casework.prescribe.programme import ceilings_of
from rootcase.records.observe import Price, PriceBook
from rootcase.records.outlook import Outlooks
from rootcase.records.prescribe import Plan, RemedyOutcome
from rootcase.records.prove import SignedEffect
from rootcase.science.trials.carried import MOST_TIMES
from tests.casework.property import A_METRE, DAY, FIELD, LAWN, PRICES, WOOD, comparison, record, weather

N = 100
CHEAP = A_METRE | {"air_tillage": 8.0, "mulch": 4.0, "extract": 1.0}


def said(remedy: str, mean: float, sd: float = 0.05, promised: float | None = None) -> SignedEffect:
    return SignedEffect(remedy=remedy, mean=mean, sd=sd, promised=promised, tree_ids=tuple("abcd"), properties=2,
                        seasons=1, by="rs", day=date(2015, 10, 1))


@cache
def _explained():
    ground, seen = record([*FIELD, *LAWN, *WOOD]), comparison({"t-lawn": 0.5}, N)
    return ground, seen.trees[0], explain(ground, "t-lawn", seen.trees[0], weather(), draws=N, seed=1, threads=2)


@cache
def ahead(*learned: SignedEffect) -> Outlooks:
    ground, line, explained = _explained()
    return outlooks_of(replace(ground, learned=learned), explained, line, weather(), draws=N, seed=1, threads=2)


@cache
def planned(*learned: SignedEffect) -> Plan:
    ground, _, explained = _explained()
    book = PriceBook("USD", (*(Price(item, "per_m2", amount, "USD", "made up") for item, amount in CHEAP.items()),
                             *(price for price in PRICES.prices if price.item == "visit")), 150.0)
    return plan_of(PlanInputs(replace(ground, learned=learned), (explained,), (ahead(*learned),), book,
                              ceilings_of(ground), DAY, N, 1))


def outcome(plan: Plan, code: str) -> RemedyOutcome:
    return next(each for each in plan.trees[0].remedies if each.remedy == code)


def shares(found: Outlooks, code: str) -> np.ndarray:
    return next(each.share for each in found.courses if each.course == code)


@pytest.mark.property
def test_a_null_puts_a_remedy_out_of_the_plan_and_another_takes_its_place() -> None:
    assert [item.remedy for item in planned().items] == ["water+air_tillage"]
    after = planned(said("air_tillage", 0.0, promised=0.15))
    assert [item.remedy for item in after.items] == ["water+mulch"]
    assert outcome(after, "air_tillage").reason == "own_trials"
    assert outcome(after, "air_tillage").gain_points.mean == pytest.approx(outcome(after, "mulch").gain_points.mean,
                                                                            abs=0.5)


@pytest.mark.property
def test_an_extract_earns_its_place_by_what_it_shows_and_loses_it_by_showing_nothing() -> None:
    assert outcome(planned(), "extract").reason == "trial_only"
    some, none = planned(said("extract", 0.3)), planned(said("extract", 0.0))
    assert [item.remedy for item in some.items] == ["extract"]
    assert outcome(some, "water+air_tillage").verdict == "costs more than it gives"
    assert [item.remedy for item in none.items] == ["water+air_tillage"]
    assert (outcome(none, "extract").verdict, outcome(none, "extract").reason) == ("gain too small", "own_trials")


@pytest.mark.property
def test_harm_that_was_found_is_told_as_a_loss() -> None:
    assert outcome(planned(said("extract", -0.2)), "extract").gain_points.high < 0.0


@pytest.mark.property
def test_the_draws_are_those_of_the_posterior_and_the_handbooks_spread_is_gone() -> None:
    """Nothing is counted twice: neither the handbook's spread beside the trials', nor a tree's own growth."""
    alone, learned = ahead(), ahead(said("extract", 0.1, sd=0.04))
    assert np.array_equal(shares(alone, "nothing"), shares(learned, "nothing"))
    assert np.array_equal(shares(alone, "mulch"), shares(learned, "mulch"))
    logs = np.log(shares(learned, "extract") / shares(learned, "nothing"))
    assert logs.mean() == pytest.approx(0.1, abs=3 * 0.04 / N**0.5)
    assert logs[0].std() == pytest.approx(0.04, rel=0.3)
    sure = ahead(said("extract", 0.1, sd=0.0))
    assert np.allclose(shares(sure, "extract") / shares(sure, "nothing"), exp(0.1))


@pytest.mark.property
def test_the_trials_tree_gets_what_the_trials_saw_and_one_that_is_promised_half_gets_half() -> None:
    by_handbook = log(shares(ahead(), "air_tillage").mean() / shares(ahead(), "mulch").mean())
    for times, size in ((1.0, 1.0), (2.0, 0.5), (0.3, MOST_TIMES)):
        found = ahead(said("air_tillage", 0.05, sd=0.0, promised=by_handbook * times))
        over_chips = np.log(shares(found, "air_tillage") / shares(found, "mulch"))
        assert np.allclose(np.median(over_chips, axis=1), size * 0.05)  # a few draws reach the yardstick's cap


def test_what_is_signed_is_among_what_a_plan_rests_on() -> None:
    ground, _, explained = _explained()
    found = [each for each in inputs_of(replace(ground, learned=(said("extract", 0.1),)), [explained], PRICES, {}, "e")
             if each.kind == "effect"]
    assert [(each.name, each.shown) for each in found] == [("extract", "11 %")]
