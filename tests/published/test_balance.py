"""Published figures on the root zone's balance: water held, coefficients, the surface, rain that counts, landscapes."""

from __future__ import annotations

import numpy as np
import pytest

from rootcase.ground.units import convert
from rootcase.science.water import (
    available,
    coefficients,
    cover_density,
    evaporation,
    landscape,
    rain,
    thirst,
)
from rootcase.science.water.balance_single import SingleDay, single_day
from tests.published.vectors import Answer, Answers, Row, asserted, check

INCH_MM = convert(1.0, "in", "mm")
COVERS = {
    "apples cherries pears no ground cover killing frost": "apple_cherry_pear_bare",
    "apples cherries pears active ground cover killing frost": "apple_cherry_pear_live",
    "stone fruit no ground cover killing frost": "stone_fruit_bare",
    "stone fruit active ground cover killing frost": "stone_fruit_live",
    "conifer trees": "conifers", "walnut orchard": "walnuts", "olives 40-60% cover": "olives_half_cover",
    "citrus 70% canopy no cover": "citrus_70_pct_bare", "citrus 20% canopy no cover": "citrus_20_pct_bare",
    "almonds no ground cover": "almonds_bare", "turfgrass cool season": "turf_cool_season",
    "turfgrass warm season": "turf_warm_season",
}
PLANTS = {"woody trees, low humidity": "woody_dry_air", "woody trees, high humidity": "woody_humid_air",
          "desert-adapted plants": "desert", "cool-season turf": "cool_turf", "warm-season turf": "warm_turf"}


def held(row: Row) -> tuple[float, float]:
    given = row.inputs
    total = available.total_available_water_mm(given["theta_fc"], given["theta_wp"], given.get("Zr", given.get("Zr_m")))
    return float(total), float(available.readily_available_water_mm(total, given["p"]))


def day(row: Row) -> SingleDay:
    """A day of Example 37; the row on overflow gives its demand whole."""
    given = row.inputs
    return single_day(given.get("Dr_start_day", given.get("Dr")), given.get("rain", 0.0), 0.0,
                      given.get("ETo", given.get("ETc")), given.get("Kc", 1.0), given["TAW"], given.get("p", 0.5))


def stress(row: Row) -> float:
    given = row.inputs
    if "day" in given:
        return float(day(row).stress)
    if "shape" in given:
        return float(thirst.water_stress_of_aquacrop(given["TAW"], given["Dr"], given["p"], given["shape"]))
    return float(thirst.water_stress(given["TAW"], given["Dr"], given["p"]))


def drained(row: Row) -> tuple[float, float]:
    return float(day(row).percolation_mm), float(day(row).depletion_mm)


def cover(row: Row) -> coefficients.CoverCoefficients:
    return coefficients.coefficients_of_cover(COVERS[row.case])


def roots_and_share(row: Row) -> str:
    (low, high), share = cover(row).root_depth_m, cover(row).depletion_share
    return f"{low:.1f}-{high:.1f};{share:.2f}".replace(";0.", ";.")


def upper(row: Row) -> float:
    given = row.inputs
    return float(coefficients.upper_coefficient(given["Kcb"], given["u2"], given["RHmin"], given["h"]))


def evaporable(row: Row) -> float:
    return float(evaporation.evaporable_water_mm(row.inputs["theta_fc"], row.inputs["theta_wp"], row.inputs["Ze"]))


def drying(row: Row) -> float:
    return float(evaporation.drying_factor(evaporable(row), row.inputs["REW"], row.inputs["De"]))


def exposed(row: Row) -> float:
    return float(evaporation.exposed_wet_share(row.inputs["fc"], row.inputs["fw"]))


def cut(row: Row) -> float:
    given = row.inputs
    if "depth_cm" in given:
        return float(evaporation.cut_by_tephra_pct(given["depth_cm"] / 100.0))
    return 100.0 * (1.0 - float(evaporation.evaporation_under_mulch(given["organic_cover_pct"] / 100.0)))


def density(row: Row) -> float:
    given = row.inputs
    return float(cover_density.density_coefficient(given["fc_eff"], given["h_m"], given["ML"]))


def basal(row: Row) -> float:
    given = row.inputs
    if "ML" in given:
        return float(cover_density.coefficient_over_bare_ground(density(row), given["Kcb_full"], given["Kcmin"]))
    return float(cover_density.coefficient_over_bare_ground_of_fao56(
        given["fc_eff"], given["h_m"], given["Kcb_full"], given["Kcmin"]))


def factor_range(row: Row) -> str:
    factor, _, level = row.case.replace("species factor", "species").partition(" ")
    low, high = landscape.landscape_factor_range(factor, level.replace(" ", "_"))
    return f"<{high}" if low == 0.0 else f"{low}" if low == high else f"{low}-{high}"


def gallons(row: Row) -> float:
    given = row.inputs
    if "inches" in given:
        litres = landscape.volume_of_depth_l(given["inches"] * INCH_MM, convert(given["area_ft2"], "ft2", "m2"))
    else:
        litres = landscape.tree_water_l(
            convert(given["crown_diam_ft"], "ft", "m"), given["ETo_in"] * INCH_MM, given["PF"])
    return convert(float(litres), "L", "gal")


def useful_rain(row: Row) -> float:
    given = row.inputs
    if "ETc_in" in given:
        return float(rain.effective_rain_of_scs_mm(
            given["P_in"] * INCH_MM, given["ETc_in"] * INCH_MM, given["D_in"] * INCH_MM)) / INCH_MM
    if "simplified" in row.case:
        return float(rain.effective_rain_of_scs_simplified_mm(given["P_mm"]))
    return float(rain.dependable_rain_of_fao_mm(given["P_mm"]))


def lasts(row: Row) -> float:
    given = row.inputs
    easy = available.readily_available_water_mm(1000.0 * given["paw"] * given["Z_m"], given["p"])
    return float(available.days_of_water(easy, given["Kc"] * given["ETo"]))


def rootable_cm(row: Row) -> float:
    layers = np.array(row.inputs["layers"])
    depth_m = available.rootable_depth_m(layers[:, 1] / 100.0, layers[:, 2], row.inputs["restrict"])
    return 100.0 * float(depth_m)


def of_single(row: Row) -> Answer:
    return cover(row).single


def of_basal(row: Row) -> Answer:
    return cover(row).basal


ANSWERS: Answers = {
    ("taw_raw", "RAW"): lambda row: held(row)[1],
    ("ks_balance", "TAW;RAW"): held,
    ("ks_balance", "Ks"): stress,
    ("ks_balance", "Dr_end"): lambda row: float(day(row).depletion_mm),
    ("ks_balance", "deep_percolation;Dr_end"): drained,
    ("p_adjust", "p"): lambda row: float(thirst.depletion_share_of_day(row.inputs["p_table"], row.inputs["ETc"])),
    ("kc_table", "Kc_ini;mid;end"): of_single,
    ("kc_table", "Kcb_ini;mid;end"): of_basal,
    ("kc_table", "Zr_m;p"): roots_and_share,
    ("dual_kc", "Kcmax"): upper,
    ("dual_kc", "TEW"): evaporable,
    ("dual_kc", "Kr"): drying,
    ("dual_kc", "few"): exposed,
    ("dual_kc", "Ke"): lambda row: float(evaporation.evaporation_coefficient(
        drying(row), row.inputs["Kcb"], upper(row), exposed(row))),
    ("mulch_evap", "evaporation_multiplier"): lambda row: float(evaporation.evaporation_under_mulch(
        row.inputs["mulch_pct"] / 100.0, row.inputs["f_mulch"])),
    ("mulch_evap", "evaporation_reduction"): cut,
    ("kd_density", "Kd"): density,
    ("kd_density", "Kcb"): basal,
    ("kd_density", "Kcb_full"): lambda row: float(cover_density.full_cover_coefficient(
        row.inputs["h_m"], row.inputs["u2"], row.inputs["RHmin"])),
    ("kd_density", "Fr"): lambda row: float(cover_density.stomata_factor(
        row.inputs["delta"], row.inputs["gamma"], row.inputs["u2"], row.inputs["rl"])),
    ("plant_factor", "PF_of_ETo"): lambda row: landscape.plant_factor(PLANTS[row.case]),
    ("landscape_coefficient", "range"): factor_range,
    ("tree_water", "water"): gallons,
    ("effective_rain", "SF"): lambda row: float(rain.storage_factor_of_scs(row.inputs["D_in"] * INCH_MM)),
    ("effective_rain", "Pe"): useful_rain,
    ("water_days", "days_to_RAW"): lasts,
    ("effective_depth", "effective_depth"): rootable_cm,
}


@pytest.mark.parametrize("row", asserted("balance.csv"))
def test_the_published_figure_is_met(row: Row) -> None:
    check(row, ANSWERS)
