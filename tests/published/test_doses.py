"""Published figures on amounts: holes on a grid, layers, water by the trunk, rates, catch cups."""

from __future__ import annotations

import pytest

from rootcase.ground.units import convert
from rootcase.science.water.audit import lower_quarter_uniformity
from rootcase.science.water.trunk_rule import trunk_rule_depth_mm, trunk_rule_l_week
from rootcase.science.zones.amounts import layer_volume_m3, ring_area_m2
from rootcase.science.zones.containers import holes_on_grid
from rootcase.tables.load import table
from tests.published.vectors import Answers, Row, asserted, check


def holes(row: Row) -> float:
    given = row.inputs
    return float(holes_on_grid(convert(given["area_ft2"], "ft2", "m2"), convert(given["spacing_ft"], "ft", "m")))


def layer(row: Row) -> float:
    given = row.inputs
    area_m2 = (convert(given["area_ft2"], "ft2", "m2") if "area_ft2" in given else float(ring_area_m2(
        convert(given["outer_radius_ft"], "ft", "m"), convert(given["inner_radius_ft"], "ft", "m"))))
    return convert(float(layer_volume_m3(area_m2, convert(given["depth_in"], "in", "m"))), "m3", row.unit)


def covered_ft2(row: Row) -> float:
    one_m2 = float(layer_volume_m3(1.0, convert(row.inputs["depth_in"], "in", "m")))
    return convert(convert(row.inputs["yd3"], "yd3", "m3") / one_m2, "m2", "ft2")


def by_trunk_gal(row: Row) -> float:
    rule = "survival" if "days_since" in row.inputs else "weekly"
    return convert(float(trunk_rule_l_week(convert(row.inputs["dbh_in"], "in", "m"), rule)), "L", "gal")


def by_trunk_in(row: Row) -> float:
    return convert(float(trunk_rule_depth_mm(convert(row.inputs["dbh_in"], "in", "m"))), "mm", "in")


def nitrogen(row: Row) -> float:
    given = row.inputs
    if "kgN_ha" in given:
        return convert(given["kgN_ha"], "kg/ha", "lb/1000ft2")
    return convert(given["lb_N_per_1000ft2"], "lb/1000ft2", row.unit)


ANSWERS: Answers = {
    ("injection_grid", "holes"): holes,
    ("injection_grid", "volume"): lambda row: holes(row) * float(row.inputs["gal_per_hole"]),
    ("act_rate", "rate"): lambda row: convert(row.inputs["kL_per_ha"] / 10.0, "L/m2", "gal/1000ft2"),
    ("volume", "volume"): layer,
    ("volume", "area"): covered_ft2,
    ("irrigation", "volume"): by_trunk_gal,
    ("irrigation", "water_depth"): by_trunk_in,
    ("nitrogen", "rate"): nitrogen,
    ("gypsum", "gypsum_indicated_from"): lambda _: table("chemistry/salt_limits").row(limit="handbook_60")["esp_pct"],
    ("catch_cups", "lower_quarter_uniformity"): lambda row: 100.0 * lower_quarter_uniformity(row.inputs["caught_ml"]),
}


@pytest.mark.parametrize("row", asserted("doses.csv"))
def test_the_published_figure_is_met(row: Row) -> None:
    check(row, ANSWERS)
