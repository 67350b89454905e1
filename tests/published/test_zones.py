"""Published figures on the ground round a tree: protection by rule, soil for a crown, mulch by the yard."""

from __future__ import annotations

import pytest

from rootcase.ground.units import convert
from rootcase.science.zones.amounts import layer_volume_m3, ring_area_m2, soil_volume_m3
from rootcase.science.zones.protection import combined_stem_m, protection_radius_m
from rootcase.tables.load import table
from tests.published.vectors import Answers, Row, asserted, check

FOOT_RULES = {1.0: "foot_per_inch", 1.5: "foot_and_half_per_inch"}
VOLUME_RULES = {2: "two_feet", 1: "one_foot"}


def zone(row: Row) -> tuple[float, float]:
    """Radius and area, in the row's feet or metres."""
    given = row.inputs
    if "dbh_in" in given:
        radius_m = protection_radius_m(convert(given["dbh_in"], "in", "m"), FOOT_RULES[given["k"]])
        area_m2 = ring_area_m2(radius_m, 0.0)
        return convert(float(radius_m), "m", "ft"), convert(float(area_m2), "m2", "ft2")
    radius_m = protection_radius_m(given["stem_mm"] / 1000, "bs_5837")
    return float(radius_m), float(ring_area_m2(radius_m, 0.0))


def many_stems(row: Row) -> tuple[float, float, float]:
    stem_m = combined_stem_m([mm / 1000 for mm in row.inputs["stems_mm"]])
    radius_m = protection_radius_m(stem_m, "bs_5837")
    return 1000 * float(stem_m), float(radius_m), float(ring_area_m2(radius_m, 0.0))


def soil(row: Row) -> float:
    crown_m = convert(row.inputs["crown_diam_ft"], "ft", "m")
    return convert(float(soil_volume_m3(crown_m, VOLUME_RULES[row.inputs["k"]])), "m3", "ft3")


def mulch(row: Row) -> float:
    given = row.inputs
    if "area_ft2" in given:
        area_m2 = convert(given["area_ft2"], "ft2", "m2")
    else:
        area_m2 = float(ring_area_m2(*(convert(given[f"{side}_ft"], "ft", "m") for side in ("outer", "inner"))))
    return convert(float(layer_volume_m3(area_m2, convert(given["depth_in"], "in", "m"))), "m3", "yd3")


ANSWERS: Answers = {
    ("tree_zone", "radius;area"): zone,
    ("tree_zone", "combined_mm;radius_m;area_m2"): many_stems,
    ("soil_volume", "volume"): soil,
    ("soil_volume", "ratio"): lambda _: table("zones/soil_volume").row(rule="two_feet")["volume_per_crown_m3_m2"],
    ("mulch_volume", "volume"): mulch,
}


@pytest.mark.parametrize("row", asserted("zones.csv"))
def test_the_published_figure_is_met(row: Row) -> None:
    check(row, ANSWERS)
