"""Published figures on soil: texture, water held, density, strength, infiltration, roots."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import numpy as np
import pytest
from scipy.optimize import brentq

from rootcase.ground.errors import ImpossibleValue
from rootcase.ground.units import convert
from rootcase.science.soil.density import air_filled_porosity
from rootcase.science.soil.infiltration import ring_depth_mm, ring_rate_mm_h
from rootcase.science.soil.porosity import total_porosity
from rootcase.science.soil.roots import root_share_above
from rootcase.science.soil.saxton_rawls import SoilWater, soil_water
from rootcase.science.soil.strength import strength_limits
from rootcase.science.soil.texture import texture_by_feel, texture_class
from rootcase.tables.load import table
from tests.published.vectors import Answers, Row, asserted, check

MM_PER_INCH = 25.4
NRCS_ROWS = (  # as the source prints them, from the top
    "sands, loamy sands", "sandy loams, loams", "sandy clay loams, loams, clay loams", "silts, silt loams",
    "silt loams, silty clay loams", "sandy clays, silty clays, clay loams 35-45% clay", "clays >45% clay")
RIBBON_M = {"<2.5cm": 0.02, "2.5-5cm": 0.04, ">5cm": 0.07}


def worded(texture: object) -> str:
    """The rows write a class with spaces."""
    return str(texture).replace("_", " ")


def texture(row: Row) -> str:
    return worded(texture_class(*(row.inputs[part] / 100 for part in ("sand", "silt", "clay"))))


def refusal(row: Row) -> str:
    with pytest.raises(ImpossibleValue, match="they must sum to 100 %"):
        texture(row)
    return "sum not 100"


@cache
def lattice() -> dict[str, int]:
    """How many of all whole-percent soils fall in each class."""
    sand, clay = np.divmod(np.arange(101 * 101), 101)
    sand, clay = sand[sand + clay <= 100], clay[sand + clay <= 100]
    names, counts = np.unique(texture_class(sand / 100, (100 - sand - clay) / 100, clay / 100), return_counts=True)
    return {worded(name): int(count) for name, count in zip(names, counts, strict=True)}


def by_feel(row: Row) -> str:
    told = row.inputs["observation"]
    length, _, feel = told.removeprefix("ribbon ").partition(", ")
    ribbon_m = RIBBON_M.get(length, 0.0)
    return worded(texture_by_feel(told != "ball no", ribbon_m, feel.removeprefix("very ")))


def soil(row: Row) -> SoilWater:
    given = row.inputs
    sand, clay, organic = given["sand_pct"] / 100, given["clay_pct"] / 100, given["om_pct"]
    normal = soil_water(sand, clay, organic)
    factor = given.get("density_factor")
    return normal if factor is None else soil_water(sand, clay, organic, factor * normal.normal_density_mg_m3)


def held(part: str) -> Callable[[Row], float]:
    return lambda row: float(getattr(soil(row), part)) * (100 if row.unit == "% vol" else 1)


def density_row(column: str) -> Callable[[Row], float]:
    def look_up(row: Row) -> float:
        number = NRCS_ROWS.index(row.case) + 1
        (value,) = {line[column] for line in table("soil/density_nrcs").rows if line["row"] == number}
        return float(value)
    return look_up


def penetration(row: Row) -> str:
    low, hinders, stops = (f"{convert(limit, 'MPa', 'psi'):.0f}" for limit in strength_limits())
    return {"root growth begins to be inhibited above": hinders, "roots do not penetrate above": stops,
            "recommended working range": f"{low}-{hinders}"}[row.case]


def permeability(row: Row) -> str:
    over = {worded(line["permeability"]): line["over_mm_h"] / MM_PER_INCH
            for line in table("soil/permeability_classes").rows}
    faster = [rate for rate in over.values() if rate > over[row.case]]
    return f"{over[row.case]:g}-{min(faster):g}" if faster else f">{over[row.case]:g}"


def ring_rate(row: Row) -> float:
    """The rows pour whole inches into whatever ring; ours asks for the millilitres."""
    inch_ml = brentq(lambda ml: ring_depth_mm(ml, 152.4) - MM_PER_INCH, 1, 1e4)
    return float(ring_rate_mm_h(row.inputs["inches"] * inch_ml, 152.4, row.inputs["minutes"])) / MM_PER_INCH


def root_share(row: Row) -> float:
    share = float(root_share_above(row.inputs["beta"], row.inputs["depth_cm"] / 100))
    share /= float(root_share_above(row.inputs["beta"], row.inputs.get("limit_cm", 1000) / 100))
    return 100 * share if row.unit == "%" else share


WATER: Answers = {
    (topic, quantity): held(part)
    for topic in ("saxton_rawls", "saxton_rawls_exact", "saxton_rawls_om", "saxton_rawls_density")
    for quantity, part in {
        "wilting_point": "wilting_point", "field_capacity": "field_capacity", "saturation": "saturation",
        "ksat": "conductivity_mm_h", "ksat_lambda_from_adjusted_FC": "conductivity_mm_h",
        "bulk_density_normal": "normal_density_mg_m3"}.items()
} | {
    (topic, "available_water"): lambda row: float(soil(row).field_capacity - soil(row).wilting_point)
    for topic in ("saxton_rawls_exact", "saxton_rawls_om", "saxton_rawls_density")
}


def density_short_of_air(row: Row) -> float:
    water, full = row.inputs["theta_fc"], 2.649 * (1 - row.inputs["theta_fc"])
    return float(brentq(lambda density: air_filled_porosity(density, water) - row.inputs["afp_min"], 0.1, full))


ANSWERS: Answers = WATER | {
    ("texture", "usda_class"): texture,
    ("texture", "error"): refusal,
    ("texture_by_feel", "usda_class"): by_feel,
    ("saxton_rawls_exact", "WP;FC;SAT"): lambda row: tuple(float(part) for part in soil(row)[:3]),
    ("saxton_rawls_density", "bulk_density"): lambda row: 2.65 * (1 - float(soil(row).saturation)),
    ("porosity", "total_porosity"): lambda row: float(total_porosity(row.inputs["bulk_density"])),
    ("porosity", "air_filled_porosity"):
        lambda row: float(air_filled_porosity(row.inputs["bulk_density"], row.inputs["theta"])),
    ("porosity", "bulk_density_where_AFP_is_10pct"): density_short_of_air,
    ("bulk_density", "ideal_below"): density_row("ideal_mg_m3"),
    ("bulk_density", "may_affect_at"): density_row("may_affect_mg_m3"),
    ("bulk_density", "restricts_above"): density_row("restricts_mg_m3"),
    ("penetration", "MPa"): lambda row: convert(row.inputs["psi"], "psi", "MPa"),
    ("penetration", "psi"): lambda row: convert(row.inputs["MPa"], "MPa", "psi"),
    ("penetration", "threshold"): penetration,
    ("infiltration_ring", "ring_inside_diameter"): lambda row: brentq(
        lambda mm: ring_depth_mm(row.inputs["volume_ml"], mm) - MM_PER_INCH, 50, 500) / MM_PER_INCH,
    ("infiltration_ring", "volume"): lambda row: brentq(
        lambda ml: ring_depth_mm(ml, row.inputs["diameter_in"] * MM_PER_INCH) - MM_PER_INCH, 1, 1e4),
    ("infiltration_ring", "rate"): ring_rate,
    ("permeability_class", "range"): permeability,
    ("root_beta", "share"): root_share,
    ("root_beta", "d95"): lambda row: 100 * brentq(
        lambda m: root_share_above(row.inputs["beta"], m) - row.inputs["share"], 0.01, 5),
} | {("root_beta", f"share_to_{depth}cm"): root_share for depth in (10, 20, 30, 60)} | {
    ("texture", f"count of {worded(name)}"): lambda row: float(lattice()[row.quantity.removeprefix("count of ")])
    for name in ("sand", "loamy_sand", "sandy_loam", "loam", "silt_loam", "silt", "sandy_clay_loam", "clay_loam",
                 "silty_clay_loam", "sandy_clay", "silty_clay", "clay")
}


@pytest.mark.parametrize("row", asserted("soil.csv"))
def test_the_published_figure_is_met(row: Row) -> None:
    check(row, ANSWERS)
