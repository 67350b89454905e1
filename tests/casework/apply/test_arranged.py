"""An order that a person arranged stays, and what it breaks is told."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rootcase.casework.apply.arranged import round_as_arranged
from rootcase.science.rounds.day import Plan
from rootcase.science.rounds.legal import faults_of_plan
from tests.casework.apply.test_rounds import CREW, DAY, SOURCE, STOP
from tests.science.routing.random_days import random_day


@pytest.mark.property
@pytest.mark.parametrize(("change", "why"), [
    ({"sources": ()}, "no_source"), ({"sources": (replace(SOURCE, use_by_min=70.0),)}, "age"),
    ({"stops": (replace(STOP, windows=((0.0, 30.0),)),)}, "late"),
    ({"stops": (replace(STOP, demand_l=900.0),)}, "empty"), ({"stops": (replace(STOP, crews=frozenset({7})),)}, "crew"),
    ({"crews": (replace(CREW, back_by_min=100.0),)}, "home"),
])
def test_each_thing_broken_is_told_and_nothing_else(change: dict[str, object], why: str) -> None:
    steps, faults = round_as_arranged(replace(DAY, **change), 0, [0])
    assert [step.index for step in steps if step.kind == "stop"] == [0]
    assert [fault.why for fault in faults] == [why]


@pytest.mark.property
def test_any_order_is_timed_and_a_drivable_one_breaks_nothing() -> None:
    told = 0
    for seed in range(30):
        day = random_day(seed, stops=4, crews=2)
        order = [int(each) for each in np.random.default_rng(seed).permutation(4)]
        steps, faults = round_as_arranged(day, 0, order)
        assert [step.index for step in steps if step.kind == "stop"] == order
        if not any(fault.why == "no_source" for fault in faults):
            assert tuple(faults) == faults_of_plan(day, Plan((steps, ())))
        told += bool(faults)
    assert told
