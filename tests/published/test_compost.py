"""Published figures of compost: recipes, feedstocks, heat rules and logs, limits, maturity."""

from __future__ import annotations

import numpy as np
import pytest

from rootcase.ground.units import convert
from rootcase.science.compost.density import (
    bulk_density_kg_m3,
    dry_matter_loss_pct,
    free_air_space_by_bucket_pct,
    free_air_space_by_density_pct,
    organic_matter_loss_pct,
    windrow_volume_m3,
)
from rootcase.science.compost.feedstocks import feedstock
from rootcase.science.compost.goals import Solved, second_for_carbon_nitrogen, second_for_moisture, two_for_both
from rootcase.science.compost.heat import Judged, judge
from rootcase.science.compost.heat_log import DAY_S, GAP_BY_HAND_S, HOUR_S, HeatLog
from rootcase.science.compost.heat_rules import heat_rule, holding_days, starts_within
from rootcase.science.compost.material import (
    WATER,
    Material,
    carbon_from_ash_pct,
    carbon_from_ratio_pct,
    sample_moisture_pct,
    stacked,
)
from rootcase.science.compost.maturity import maturity_class, may_be_mature
from rootcase.science.compost.mix import mix_carbon_nitrogen, mix_moisture_pct, water_to_add_kg
from rootcase.tables.load import table
from tests.published.vectors import Answers, Row, asserted, check

NAMES = {"As": "arsenic", "Cd": "cadmium", "Cu": "copper", "Pb": "lead", "Hg": "mercury", "Ni": "nickel", "Zn": "zinc",
         "Se": "selenium"}
CLASSES = {"NH4N_ppm_dry": ("ammonium_mg_kg", "ccqc_2001"), "NH4N_to_NO3N": ("ammonium_to_nitrate", "ccqc_2001"),
           "emergence_pct_of_control": ("emergence_pct", "ccqc_2001"),
           "max_rise_above_ambient_C": ("self_heating_c", "brinton_1995")}


def material(given: dict[str, float]) -> Material:
    return Material(given["m"], given.get("c", 0.0), given.get("n", 0.0))


def second(row: Row) -> float:
    given = row.inputs
    first, other = (Material(given[f"m{n}_pct"], given.get(f"c{n}_pct", 0.0), given.get(f"n{n}_pct", 0.0))
                    for n in (1, 2))
    if "goal_cn" in given:
        return second_mass(second_for_carbon_nitrogen(given["q1_kg"], first, other, given["goal_cn"]))
    return second_mass(second_for_moisture(given["q1_kg"], first, other, given["goal_pct"]))


def second_mass(solved: Solved) -> float:
    assert solved.mass_kg is not None
    return solved.mass_kg[1]


def two(row: Row) -> Solved:
    given = row.inputs
    return two_for_both([each["q"] for each in given["known"]], stacked(tuple(map(material, given["known"]))),
                        (material(given["unknown1"]), material(given["unknown2"])), given["goal_moisture"],
                        given["goal_cn"])


def both_masses(row: Row) -> tuple[float, ...]:
    found = two(row).mass_kg
    assert found is not None
    return found


def mix(row: Row) -> tuple[list[float], Material]:
    return [each["q"] for each in row.inputs["items"]], stacked(tuple(map(material, row.inputs["items"])))


def back(row: Row) -> tuple[float, float]:
    known = stacked((Material(12.0, 56.0, 0.7), Material(70.0, 36.0, 2.4), WATER))
    mass = row.inputs["q"]
    return float(mix_moisture_pct(mass, known.moisture_pct)), float(mix_carbon_nitrogen(mass, known))


def as_is(row: Row) -> tuple[list[float], Material]:
    """Percentages of the wet weight: a material without moisture."""
    return ([each["lb"] for each in row.inputs["items"]],
            stacked(tuple(Material(0.0, each["C_pct_asis"], each["N_pct_asis"]) for each in row.inputs["items"])))


def carbon_and_nitrogen(row: Row) -> tuple[float, float]:
    mass, stuff = as_is(row)
    return float(mass @ np.asarray(stuff.carbon_pct)) / 100, float(mass @ np.asarray(stuff.nitrogen_pct)) / 100


def trap(row: Row) -> tuple[float, float]:
    """The average by weight stands here alone: nothing of ours gives it."""
    items = row.inputs["items"]
    mass = [each["q"] for each in items]
    stuff = Material([each["m"] for each in items],
                     carbon_from_ratio_pct([each["n"] for each in items], [each["cn"] for each in items]),
                     [each["n"] for each in items])
    return float(np.average([each["cn"] for each in items], weights=mass)), float(mix_carbon_nitrogen(mass, stuff))


def density(row: Row) -> float:
    given = row.inputs
    if "net_lb" in given:
        found = bulk_density_kg_m3(convert(given["net_lb"], "lb", "kg"), convert(given["bucket_gal"], "gal", "m3"))
        return convert(float(found), "kg/m3", "lb/yd3")
    return float(bulk_density_kg_m3(given["net_kg"], convert(given["bucket_L"], "L", "m3"))) / 1000


def air(row: Row) -> float:
    given = row.inputs
    if "bucket_gal" in given:
        return float(free_air_space_by_bucket_pct(convert(given["water_added_gal"], "gal", "m3"),
                                                  convert(given["bucket_gal"], "gal", "m3")))
    return float(free_air_space_by_density_pct(given["wet_bulk_density_kg_m3"], 100 * given["moisture"],
                                               100 * given["organic_fraction_dm"]))


def pile(row: Row) -> float:
    sides = (convert(row.inputs[f"{side}_ft"], "ft", "m") for side in ("width", "height", "length"))
    return convert(float(windrow_volume_m3(*sides)), "m3", "yd3")


def printed(row: Row) -> str:
    found = feedstock(row.case)
    middles = (found.nitrogen_pct, found.carbon_nitrogen, found.moisture_pct)
    lb_yd3 = None if found.density_kg_m3[1] is None else convert(found.density_kg_m3[1], "kg/m3", "lb/yd3")
    return ";".join("not known" if figure is None else f"{figure:.6g}" for figure in
                    (*(middle for _, middle, _ in middles), lb_yd3))


def judged(times_s: list[float], degc: list[float], turns_s: list[float], method: str) -> Judged:
    """Two checked probes that read the same."""
    heap = "windrow" if method == "windrow" else "static"
    log = HeatLog(time_s=np.tile(np.array(times_s, float), 2), probe=np.repeat([1, 2], len(times_s)),
                  temperature_c=np.tile(np.array(degc, float), 2), turn_s=np.array(turns_s, float),
                  checked_s=np.zeros(2), checked_probe=np.array([1, 2]), max_gap_s=GAP_BY_HAND_S)
    return judge(log, heat_rule("nop", heap))


def told(row: Row) -> Judged:
    """The log that a row tells in words: hot days first, then those not read, then those too hot."""
    given = row.inputs
    if "hours_at_or_above_55C_unbroken" in given:
        hours = int(given["hours_at_or_above_55C_unbroken"])
        return judged([hour * HOUR_S for hour in range(hours + 1)], [58.0] * (hours + 1), [], given["method"])
    hot = given.get("days_at_or_above_55C", given.get("days_131_to_170F", given.get("days_recorded_at_or_above_55C")))
    gap, too_hot = given.get("days_without_reading_inside_run", 0), given.get("days_above_170F", 0)
    days = [day + (gap if day > hot // 2 else 0) for day in range(hot + 1)]
    days += [days[-1] + 1 + more for more in range(too_hot)]
    return judged([day * DAY_S for day in days], [60.0] * (hot + 1) + [80.0] * too_hot,
                  [(1 + 2 * turn) * DAY_S for turn in range(given["turns_within_those_days"])], given["method"])


def daily(row: Row) -> str:
    given = row.inputs
    days, degc = zip(*given["day_tempC"], strict=True)
    found = judged([day * DAY_S for day in days], list(degc), [day * DAY_S for day in given["turn_days"]],
                   given["method"])
    return f"{found.total_days:.9g};{found.verdict}"


def hourly(row: Row) -> str:
    """The hot run is hot at both its ends."""
    runs = sorted(row.inputs["hour_tempC_runs"], key=lambda run: run[2])
    degc = {hour: warm for start, end, warm in runs for hour in range(start, end + 1)}
    found = judged([hour * HOUR_S for hour in degc], list(degc.values()), [], row.inputs["method"])
    return f"{24 * found.unbroken_days:.9g};{found.verdict}"


def limit(quantity: str, list_: str) -> float:
    figure: float = table("compost/product_limits").row(quantity=quantity, list=list_)["limit"]
    return figure


def class_of(row: Row) -> str:
    (name, value), = row.inputs.items()
    return maturity_class(CLASSES[name][0], value, CLASSES[name][1])


def yes(answer: bool) -> str:
    return str(answer).lower()


ANSWERS: Answers = {
    ("compost_recipe", "moisture_pct_wet_basis"):
        lambda row: float(sample_moisture_pct(row.inputs["wet_g"], row.inputs["dry_g"])),
    ("compost_recipe", "q2_kg"): second,
    ("compost_recipe", "mix_cn"): lambda row: float(mix_carbon_nitrogen(*mix(row))),
    ("compost_recipe", "mix_moisture"): lambda row: float(mix_moisture_pct(mix(row)[0], mix(row)[1].moisture_pct)),
    ("compost_recipe", "q_food;q_water"): both_masses,
    ("compost_recipe", "feasible"): lambda row: yes(two(row).mass_kg is not None),
    ("compost_recipe", "mix_moisture;mix_cn"): back,
    ("compost_recipe", "C_lb;N_lb"): carbon_and_nitrogen,
    ("compost_recipe", "CN"): lambda row: float(mix_carbon_nitrogen(*as_is(row))),
    ("compost_recipe", "naive_mean_cn;nitrogen_weighted_cn"): trap,
    ("compost_recipe", "water_kg"):
        lambda row: float(water_to_add_kg(row.inputs["q_kg"], row.inputs["m_pct"], row.inputs["goal_pct"])),
    ("compost_recipe", "C_pct"): lambda row: float(
        carbon_from_ash_pct(row.inputs["ash_pct"]) if "ash_pct" in row.inputs
        else carbon_from_ratio_pct(row.inputs["n_pct"], row.inputs["cn"])),
    ("compost_recipe", "bulk_density"): density,
    ("compost_recipe", "free_air_space"): air,
    ("compost_recipe", "OM_loss"):
        lambda row: float(organic_matter_loss_pct(row.inputs["ash_start_pct"], row.inputs["ash_end_pct"])),
    ("compost_recipe", "DM_loss"):
        lambda row: float(dry_matter_loss_pct(row.inputs["ash_start_pct"], row.inputs["ash_end_pct"])),
    ("compost_recipe", "kg_m3"): lambda row: convert(row.inputs["lb_yd3"], "lb/yd3", "kg/m3"),
    ("compost_recipe", "volume"): pile,
    ("feedstock", "N_pct_dry;CN;moisture_pct;bulk_density_lb_yd3"): printed,
    ("pathogen_log", "C"): lambda row: convert(row.inputs["F"], "degF", "degC"),
    ("pathogen_log", "rule_met"): lambda row: yes(told(row).verdict == "met"),
    ("pathogen_log", "verdict"): lambda row: told(row).verdict,
    ("pathogen_log", "within_NOP_25_to_40"):
        lambda row: yes(starts_within(row.inputs["initial_cn"], heat_rule("nop", "windrow"))),
    ("pathogen_log", "days_with_both_ends_ge_55;verdict"): daily,
    ("pathogen_log", "longest_run_h;verdict"): hourly,
    ("pathogen_log", "holding_time"): lambda row: float(holding_days(row.inputs["temp_C"])),
    ("pathogen_log", "fecal_coliform_lt"): lambda _: limit("fecal_coliform", "cfr_21_112"),
    ("pathogen_log", "salmonella_lt"): lambda _: limit("salmonella", "cfr_21_112"),
    ("pathogen_log", "e_coli_O157H7_not_detected_at"): lambda _: limit("e_coli_o157", "cfr_21_112"),
    ("pathogen_log", "L_monocytogenes_not_detected_at"): lambda _: limit("listeria", "cfr_21_112"),
    **{("pathogen_log", sign): lambda _, name=name: limit(name, "cfr_503_13") for sign, name in NAMES.items()},
    ("maturity", "class"): class_of,
    ("maturity", "may_be_rated_mature"): lambda row: yes(may_be_mature(row.inputs["cn_final"])),
}


@pytest.mark.parametrize("row", asserted("compost.csv"))
def test_the_published_figure_is_met(row: Row) -> None:
    check(row, ANSWERS)
