"""casework.json: the keys that were promised, means that close, the same text every time."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from datetime import date
from typing import Any

import numpy as np
import pytest

from rootcase.records.prescribe import Dose
from rootcase.records.report import Casework
from rootcase.report.casework_json import casework_json, stage_json
from tests.report.fixtures import casework_extreme, casework_fixture

FOUR = ["mean", "median", "low", "high"]


@pytest.fixture(scope="module")
def result() -> dict[str, Any]:
    return json.loads(casework_json(casework_fixture()))  # type: ignore[no-any-return]


def test_keys_and_their_order(result: dict[str, Any]) -> None:
    assert list(result) == ["property", "level", "currency", "draws", "seed", "engine", "trees", "plan",
                            "laboratory", "pests"]
    assert [list(tree) for tree in result["trees"]] == [
        ["tree", "species", "observed_share", "predicted_share", "limits", "unexplained_points", "conditioned",
         "signs", "turned", "next_readings", "doubt_no_reading_removes", "weather_ends", "weather_told",
         "growth_years", "balances", "remedies", "verdict", "reason", "chosen", "weight", "against_advice",
         "next_for_plan", "enough_read"]] * 8
    first = result["trees"][0]
    assert list(first["observed_share"]) == list(first["predicted_share"]) == list(first["unexplained_points"]) == FOUR
    assert [list(limit) for limit in first["limits"]] == [["limit", "points"]] * 6
    assert list(first["limits"][0]["points"]) == FOUR
    assert [list(remedy) for remedy in first["remedies"]] == [
        ["remedy", "dose", "cost", "gain_points", "verdict", "reason", "steps"]] * 6


@pytest.mark.property
@pytest.mark.parametrize("make", [casework_fixture, casework_extreme])
def test_means_close(make: Any) -> None:
    trees = json.loads(casework_json(make()))["trees"]
    read = [tree for tree in trees if tree["observed_share"]]
    assert len(read) == 7
    for tree in read:
        left = 100 - sum(limit["points"]["mean"] for limit in tree["limits"]) - tree["unexplained_points"]["mean"]
        assert math.isclose(left, 100 * tree["observed_share"]["mean"], abs_tol=1e-6), tree["tree"]


def test_what_was_not_read_is_null(result: dict[str, Any]) -> None:
    unread = result["trees"][7]
    assert unread["tree"] == "oak 8"
    assert unread["observed_share"] is unread["unexplained_points"] is unread["conditioned"] is None
    assert unread["predicted_share"] is not None
    unknown = [remedy for remedy in result["trees"][0]["remedies"] if remedy["remedy"] == "keep_off"]
    assert unknown[0]["gain_points"] is unknown[0]["cost"] is None


def test_plan_names_trees_not_ids(result: dict[str, Any]) -> None:
    assert [item["tree"] for item in result["plan"]["items"]] == ["oak 1", "oak 3", "oak 6"]
    assert result["plan"]["total_cost"] == sum(i["cost"] for i in result["plan"]["items"]) + 180


@pytest.mark.property
def test_same_bytes_utf8_newline() -> None:
    first = casework_json(casework_extreme())
    assert first == casework_json(casework_extreme())
    assert "楓 5 Þorn Łódź".encode() in first
    assert first.endswith(b"}\n")


def test_a_number_that_is_none_is_null_and_noise_is_rounded_off() -> None:
    dose = Dose(0.1 + 0.2, depth_m=float("nan"), litres=-0.0)
    rows = json.loads(stage_json((dose, np.float64(1 / 3), np.bool_(True))))
    assert rows[0]["area_m2"] == 0.3
    assert rows[0]["depth_m"] is None
    assert math.copysign(1, rows[0]["litres"]) == 1
    assert rows[1:] == [0.333333333333, True]


def test_a_stage_leaves_its_draws_out() -> None:
    casework: Casework = replace(casework_fixture(), made_on=date(2015, 11, 4))
    comparison = json.loads(stage_json(casework.comparison))
    assert comparison["made_on"] == "2015-11-04"
    assert "log_share_draws" not in comparison["trees"][0]
    explanations = json.loads(stage_json(casework.explanations))
    assert len(explanations) == 8
    assert not {"share_draws", "limit_draws", "weights"} & explanations[0].keys()
    assert json.loads(stage_json(casework.record))["property"]["name"] == "Mill Hall"
