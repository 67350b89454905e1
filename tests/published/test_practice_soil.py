"""Published figures on the ground under trees and on what is injected into it."""

from __future__ import annotations

import pytest

from rootcase.ground.units import convert
from rootcase.science.chemistry.salinity import salt_class, tolerance_needed
from rootcase.science.soil.density import DensityLimits, density_limits
from rootcase.science.soil.strength import strength_limits
from rootcase.science.tank.batch import water_weight_kg
from rootcase.science.tank.rates import for_places_l, injection_min
from rootcase.science.zones.containers import holes_on_grid
from tests.published.test_practice_findings import told
from tests.published.vectors import Answers, Row, asserted, check

SOILS = {"sandy": (0.92, 0.03), "silty": (0.10, 0.34), "clayey": (0.20, 0.60)}
"""Sand and clay of a soil that stands for each of the three in the short table."""
CALLED_SODIC = ("sodic", "saline-sodic")


def limits(row: Row) -> DensityLimits:
    return density_limits(*SOILS[row.inputs["texture"]])


def by_trunk_gal(row: Row) -> float:
    litres = for_places_l(convert(row.inputs["gal_per_inch"], "gal", "L"), row.inputs["dbh_in"])
    return convert(float(litres), "L", "gal")


def minutes(row: Row) -> float:
    given = row.inputs
    holes = holes_on_grid(convert(given["area_ft2"], "ft2", "m2"), convert(given["spacing_ft"], "ft", "m"))
    return float(injection_min(holes, convert(given["gal_per_hole"], "gal", "L"),
                               convert(given["flow_gpm"], "gal/min", "L/min"), given["move_s"]))


def gypsum(row: Row) -> str:
    return "indicated" if str(salt_class(1.0, row.inputs["ESP_pct"])) in CALLED_SODIC else "not indicated"


ANSWERS: Answers = {
    ("bulk_density", "ideal_below"): lambda row: float(limits(row).ideal),
    ("bulk_density", "restricts_roots_above"): lambda row: float(limits(row).restricts),
    ("penetration", "share_of_tree_roots"): told,
    ("root_temperature", "share_new_roots_above"): told,
    ("penetration", "pressure"): lambda row: convert(row.inputs["psi"], "psi", "MPa"),
    ("root_temperature", "soil_F"): lambda row: convert(row.inputs["soil_C"], "degC", "degF"),
    ("salinity_class", "lowest_USDA_tolerance_class_that_copes"):
        lambda row: str(tolerance_needed(row.inputs["saturated_extract_dS_m"])),
    ("injection_grid", "min_volume"): by_trunk_gal,
    ("injection", "time"): minutes,
    ("gypsum", "gypsum_for_compaction"): gypsum,
    ("tank", "mass"): lambda row: convert(float(water_weight_kg(convert(row.inputs["gal"], "gal", "L"))), "kg", "lb"),
}


@pytest.mark.parametrize("row", asserted("practice-soil.csv"))
def test_the_published_figure_is_met(row: Row) -> None:
    check(row, ANSWERS)


def test_the_limit_that_stops_roots_is_300_psi() -> None:
    assert float(strength_limits().stops_above) == pytest.approx(convert(300.0, "psi", "MPa"), abs=1e-6)
