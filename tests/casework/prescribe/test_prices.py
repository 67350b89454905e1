"""What a wish costs is the difference of two solved programmes, and what is not to be had is in neither."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace as Told
from typing import Any

from rootcase.casework.prescribe.paces import Hours
from rootcase.casework.prescribe.prescribe import plan_of
from rootcase.casework.prescribe.prices import prices_of
from rootcase.casework.prescribe.programme import Ceilings, limits_of, solve
from rootcase.records.observe import PriceBook
from tests.casework.prescribe.inputs import inputs, wishing
from tests.casework.property import record

BOOK = PriceBook("USD", ())


def course(code: str, gain: float, cost: float) -> Any:
    return Told(code=code, mean_gain=gain, cost=cost, first_year_cost=cost, outlook=True, hours=Hours(),
                visits=lambda year=None: frozenset({"autumn 1"}))


def test_a_wish_that_bars_only_the_cheaper_course_costs_what_the_purse_then_misses() -> None:
    dear, cheap = course("water", 0.30, 1000.0), course("mulch", 0.15, 300.0)
    case: Any = Told(tree=Told(id="t", place_id="l"), explanation=Told(observed_share=True), weight=1.0,
                     treatments=(dear, cheap), root_zone_m2=100.0)
    held: Any = {"water": ("possible", ""), "mulch": ("not allowed", "no_chips")}
    free: Any = held | {"mulch": ("possible", "")}
    purse = Ceilings(budget=400.0)
    found = prices_of([case], {"t": held}, [], solve([(case, dear)], [], limits_of(purse, BOOK)), purse, BOOK,
                      wishes=[("l", "wish_chips", "no")], property_id="p", without=lambda tree, kind: (case, free))
    assert [(p.constraint, p.tree_id, round(p.points_at_tree, 6), round(p.points_m2, 6), p.money) for p in found] == [
        ("budget", "t", 30.0, 3000.0, 1000.0), ("wish_chips", "t", 15.0, 1500.0, 300.0)]


def test_a_wish_costs_nothing_where_what_it_bars_is_not_to_be_had() -> None:
    given = inputs(record=record(list(wishing(chips="no"))))
    assert [price.constraint for price in plan_of(given).prices] == ["wish_chips"]
    assert plan_of(replace(given, left_out=frozenset({"mulch", "air_tillage"}))).prices == ()
