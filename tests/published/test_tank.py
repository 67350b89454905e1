"""Published figures on a batch and its tank: oxygen, chlorine, hygiene, rates, loads, weight, honest claims."""

from __future__ import annotations

import numpy as np
import pytest

from rootcase.ground.units import convert
from rootcase.science.tank import batch, calibration, claims, hygiene, loads, mixing, oxygen, rates, water
from rootcase.science.water.dissolved_oxygen import saturation_at_pressure_mg_l, station_pressure_kpa
from rootcase.science.zones.amounts import layer_volume_m3, ring_area_m2
from rootcase.tables.load import table
from tests.published.vectors import Answers, Row, asserted, check

KPA_ATM, KPA_MMHG = 101.325, 101.325 / 760.0
OLDER_TABLE_MG_L = {20: 9.2}
THOUSAND_FT2_M2 = convert(1000.0, "ft2", "m2")


def us_rate(litres_m2: float) -> float:
    return convert(litres_m2, "L/m2", "gal/1000ft2")


def si_rate(gallons: float) -> float:
    return convert(gallons, "gal/1000ft2", "L/m2")


def saturation(row: Row) -> float:
    given = row.inputs
    if "altitude_m" in given:
        pressure = float(station_pressure_kpa(given["altitude_m"]))
    elif "pressure_mmHg" in given:
        pressure = given["pressure_mmHg"] * KPA_MMHG
    else:
        pressure = given["pressure_kPa"] if "pressure_kPa" in given else given["pressure_atm"] * KPA_ATM
    return float(saturation_at_pressure_mg_l(given["temp_C"], pressure, given.get("salinity", 0.0)))


def uptake(row: Row) -> float:
    given = row.inputs
    return oxygen.oxygen_uptake_mg_l_h([0.0, given["minutes"] / 60.0], [given["DO1"], given["DO2"]], 0.1).rate


OXYGEN: Answers = {("dissolved_oxygen", quantity): answer for quantity, answer in {
    "DO_saturation": saturation,
    "DO_saturation_table": saturation,
    "pressure": lambda row: float(station_pressure_kpa(row.inputs["altitude_m"])) / KPA_ATM,
    "benson_krause_minus_old_table": lambda row: saturation(row) - OLDER_TABLE_MG_L[row.inputs["temp_C"]],
    "hours": lambda row: float(oxygen.hours_to_floor(
        row.inputs["DO_start"], row.inputs["DO_floor"], row.inputs["oxygen_uptake_mg_L_h"])),
    "DO_steady": lambda row: float(oxygen.steady_oxygen_mg_l(
        row.inputs["DO_sat"], row.inputs["oxygen_uptake_mg_L_h"], row.inputs["kLa_per_h"])),
    "OUR": uptake,
}.items()}

REACTIONS = {
    "stoich_ascorbic": ("ascorbic_acid", "dehydroascorbic_acid"),
    "stoich_sodium_ascorbate": ("sodium_ascorbate", "dehydroascorbic_acid"),
    "stoich_thiosulfate_to_sulfate": ("sodium_thiosulfate", "sulfate"),
    "stoich_thiosulfate_to_tetrathionate": ("sodium_thiosulfate", "tetrathionate"),
    "stoich_thiosulfate_pentahydrate_tetrathionate": ("sodium_thiosulfate_pentahydrate", "tetrathionate"),
}


def dose(row: Row) -> float:
    if row.case in REACTIONS:
        return water.reaction_dose_mg_mg(*REACTIONS[row.case])
    return water.told_dose_mg_mg(row.inputs["chemical"], "field_guide")


def neutraliser(row: Row) -> float:
    litres = convert(row.inputs["gallons"], "gal", "L")
    return float(water.neutraliser_g(litres, row.inputs["total_chlorine_mg_L"], dose(row), "total"))


CHLORINE: Answers = {("dechlorination", quantity): answer for quantity, answer in {
    "mg_per_mg_Cl2": dose,
    "mg_per_mg_Cl2_anhydrous": dose,
    "dose": neutraliser,
    "implied_mg_per_mg_Cl2": lambda row: float(water.implied_dose_mg_mg(
        row.inputs["grams"], convert(row.inputs["gallons"], "gal", "L"), row.inputs["ppm"])),
    "NH3_N": lambda row: float(water.ammonia_left_mg_l(row.inputs["total_chlorine_mg_L_as_Cl2"])),
    "MRDL": lambda _: table("tank/source_water").row(reading="total_chlorine", rule="drinking_water")["good_high"],
}.items()}


def told(truth: bool) -> str:
    return str(truth).lower()


def of_tests(row: Row) -> str:
    found = hygiene.pretest(row.inputs["e_coli_CFU_100mL"], "e_coli", "additives")
    return f"[{found.mean:g}, {told(found.verdict == 'met')}]"


HYGIENE: Answers = {("extract_hygiene", quantity): answer for quantity, answer in {
    "e_coli_max_mean": lambda _: hygiene.pretest([0.0], "e_coli", "additives").limit,
    "enterococci_max_mean": lambda _: hygiene.pretest([0.0], "enterococci", "additives").limit,
    "batches_to_pretest": lambda _: float(next(
        tests for tests in range(1, 9) if hygiene.pretest([0.0] * tests, "e_coli", "additives").verdict == "met")),
    "max_hold_for_compost_extract": lambda _: hygiene.holding_limit_h("extract"),
    "mean;pass": of_tests,
    "geometric_mean": lambda row: hygiene.pretest(row.inputs["e_coli_CFU_100mL"], "e_coli", "bathing").mean,
    "pathogen_regrowth_seen": lambda row: told(hygiene.regrowth("molasses", row.inputs["molasses_pct"]) == "seen"),
}.items()}


def boom(row: Row) -> float:
    """In gallons an acre; a row without inputs asks for the constant of the source's formula, one that gives speed
    times width has any speed."""
    given = {"gpm": 1.0, "mph": 1.0, "width_in": 1.0} | dict(row.inputs)
    inches = given["mph_x_in"] / given["mph"] if "mph_x_in" in given else given["width_in"]
    return convert(float(calibration.boom_l_m2(
        convert(given["gpm"], "gal/min", "L/min"), convert(given["mph"], "mph", "m/s"), convert(inches, "in", "m"))),
        "L/m2", "gal/ac")


def gallons_an_acre(row: Row) -> float:
    if "gal_per_1000ft2" in row.inputs:
        return convert(litres_m2(row), "L/m2", "gal/ac")
    return boom(row)


def applied(litres: float, area_m2: float) -> float:
    return float(rates.applied_l_m2(litres, area_m2))


def handgun(row: Row) -> tuple[float, float]:
    caught = convert(row.inputs["oz_collected"], "fl_oz", "L")
    rate = convert(applied(caught, calibration.ounce_plot().meant_m2), "L/m2", "gal/ac")
    return rate, row.inputs["tank_gal"] / rate


def per_thousand(row: Row) -> float:
    given = row.inputs
    if "inch" in given:
        return convert(float(rates.drench_l(THOUSAND_FT2_M2, convert(given["inch"], "in", "mm"))), "L", "gal")
    if "kL_per_ha" in given:
        return us_rate(applied(1000.0 * given["kL_per_ha"], 10_000.0))
    return us_rate(applied(convert(given["gal"], "gal", "L"), convert(given["area_ft2"], "ft2", "m2")))


def litres_m2(row: Row) -> float:
    return applied(convert(row.inputs["gal_per_1000ft2"], "gal", "L"), THOUSAND_FT2_M2)


def ring(row: Row) -> float:
    outer = row.inputs.get("outer_radius_ft", row.inputs.get("diameter_ft", 0.0) / 2.0)
    return float(ring_area_m2(convert(outer, "ft", "m"), convert(row.inputs.get("inner_radius_ft", 0.0), "ft", "m")))


def holes(row: Row) -> float:
    metres = convert(row.inputs["spacing_ft"], "ft", "m")
    return float(rates.holes_per_m2(metres, row.inputs["grid"])) * THOUSAND_FT2_M2


def gallons_a_hole(row: Row) -> float:
    litres = rates.litres_per_hole(si_rate(row.inputs["gal_per_1000ft2"]), convert(row.inputs["spacing_ft"], "ft", "m"),
                                   "square")
    return convert(float(litres), "L", "gal")


def parted(row: Row) -> str:
    """Exact in the row's own gallons, after a way through litres."""
    given = row.inputs
    volume_l = float(rates.drench_l(convert(given["area_ft2"], "ft2", "m2"), si_rate(given["gal_per_1000ft2"])))
    tank_l = convert(given["tank_gal"], "gal", "L")
    found = loads.loads_l(volume_l, tank_l, 0.0)
    full = [load for load in found if load == tank_l]
    last = [convert(load, "L", "gal") for load in found[len(full):]]
    return f"[{round(convert(volume_l, 'L', 'gal'), 9)}, {len(full)}, {round(sum(last, 0.0), 9)}]"


def short_load(row: Row) -> tuple[float, ...]:
    parts = loads.parts_of_load_l(convert(row.inputs["last_gal"], "gal", "L"), row.inputs["concentrate_fraction"])
    return tuple(convert(float(part), "L", "gal") for part in parts)


def air_gap(row: Row) -> float:
    inside = convert(row.inputs["hose_inside_diameter_in"], "in", "m")
    return convert(float(loads.air_gap_m(inside, "twice_the_hose")), "m", "in")


def marked(row: Row) -> float:
    plot = calibration.ounce_plot()
    assert convert(plot.side_m, "m", "ft") == pytest.approx(row.inputs["side_ft"])
    return convert(plot.area_m2, "m2", "ft2")


DOSING: Answers = {("dosing", quantity): answer for quantity, answer in {
    "GPA": gallons_an_acre,
    "constant_from_units": boom,
    "gpm": lambda row: convert(float(calibration.flow_l_min(
        convert(row.inputs["oz"], "fl_oz", "L"), row.inputs["minutes"])), "L/min", "gal/min"),
    "mph": lambda row: convert(float(calibration.speed_m_s(
        convert(row.inputs["feet"], "ft", "m"), row.inputs["seconds"])), "m/s", "mph"),
    "area_ft2": marked,
    "GPA;acres_per_tank": handgun,
    "gal_per_1000ft2": per_thousand,
    "total": lambda row: convert(float(rates.for_places_l(
        convert(row.inputs["qt_per_tree"], "qt", "L"), row.inputs["trees"])), "L", "gal"),
    "L_per_m2": litres_m2,
    "depth": lambda row: convert(litres_m2(row), "mm", "in"),
    "holes_per_1000ft2": holes,
    "area": lambda row: convert(ring(row), "m2", "ft2"),
    "holes": lambda row: float(rates.hole_count(ring(row), convert(row.inputs["spacing_ft"], "ft", "m"), "square")),
    "gal_per_hole": gallons_a_hole,
    "seconds": lambda row: float(rates.seconds_per_hole(
        convert(row.inputs["gal_per_hole"], "gal", "L"), convert(row.inputs["gpm"], "gal/min", "L/min"))),
    "total_gal;full_loads;last_gal": parted,
    "concentrate_gal;water_gal": short_load,
    "stock_gal": lambda row: convert(float(batch.stock_volume_l(
        row.inputs["stock_cells_mL"], row.inputs["target_cells_mL"], convert(row.inputs["final_gal"], "gal", "L"))),
        "L", "gal"),
    "mean;CV_pct;christiansen_CU;DU_low_quarter": lambda row: tuple(calibration.evenness(row.inputs["mL"])),
    "worst_deviation_pct": lambda row: calibration.nozzle_wear(row.inputs["oz"]).worst_pct,
    "min_air_gap": air_gap,
    "jar_mL": lambda row: float(mixing.jar_portion_ml(row.inputs["rate_per_ha_L"] / 10_000.0)),
}.items()}


def vehicle(row: Row) -> tuple[float, float, float]:
    given = row.inputs
    pounds = given["GVWR_lb"], given["curb_lb"], given["crew_lb"] + given["skid_dry_lb"]
    rating, curb, aboard = (convert(each, "lb", "kg") for each in pounds)
    return rating, curb, aboard


def gallons_weigh(row: Row) -> float:
    return convert(float(batch.water_weight_kg(convert(row.inputs["gallons"], "gal", "L"))), "kg", "lb")


WEIGHT: Answers = {("tank_weight", quantity): answer for quantity, answer in {
    "weight": gallons_weigh,
    "margin": lambda row: convert(float(loads.payload_left_kg(
        *vehicle(row), convert(row.inputs["gallons"], "gal", "L"))), "kg", "lb"),
    "gallons": lambda row: float(np.floor(convert(float(loads.most_volume_l(*vehicle(row))), "L", "gal"))),
}.items()}


def topdressed_lb(row: Row) -> float:
    given = row.inputs
    return convert(float(claims.nitrogen_in_compost_kg(
        convert(given["yd3"], "yd3", "m3"), convert(given["lb_per_yd3"], "lb/yd3", "kg/m3"), given["dry_fraction"],
        given["N_pct_dry"])), "kg", "lb")


def nitrogen_lb(row: Row) -> float:
    given = row.inputs
    if "kg_N_ha" in given:
        on_ground = claims.compared_figure("mineral_nitrogen_compared")
        assert on_ground == convert(given["kg_N_ha"], "kg/ha", "kg/m2")
    else:
        on_ground = float(claims.brought_kg_m2(given["N_mg_L"], si_rate(given["gal_per_1000ft2"])))
    return convert(on_ground, "kg/m2", "lb/1000ft2")


def laid(row: Row) -> float:
    area, depth = convert(row.inputs["area_ft2"], "ft2", "m2"), convert(row.inputs["depth_in"], "in", "m")
    return convert(float(layer_volume_m3(area, depth)), "m3", "yd3")


def added(row: Row) -> float:
    given = row.inputs
    return float(claims.added_organisms_pct(given["extract_cells_mL"], si_rate(given["gal_per_1000ft2"]),
                                            given["soil_cells_g"], given["bulk_density_g_cm3"], given["soil_depth_m"]))


def leachate(row: Row, ion: str) -> float:
    (given,) = row.inputs.values()
    assert claims.compared_figure(ion) == given
    of = claims.nitrogen_of_nitrate_mg_l if ion == "leachate_nitrate" else claims.phosphorus_of_phosphate_mg_l
    return float(of(given))


CLAIMS: Answers = {("honest_claims", quantity): answer for quantity, answer in {
    "compost": lambda row: convert(float(batch.compost_by_weight_kg(
        convert(row.inputs["gallons"], "gal", "L"), row.inputs["compost_to_water_w_w"])), "kg", "lb"),
    "NO3_N": lambda row: leachate(row, "leachate_nitrate"),
    "P": lambda row: leachate(row, "leachate_phosphate"),
    "N": nitrogen_lb,
    "volume": laid,
    "N_total": topdressed_lb,
    "added_percent_of_stock": added,
    "significant_growth_or_soil_change_vs_water": lambda _: told(claims.trial_found_difference("field_five_years")),
    "different_from_water": lambda _: told(claims.trial_found_difference("laboratory_dilute")),
}.items()}

ANSWERS: Answers = OXYGEN | CHLORINE | HYGIENE | DOSING | WEIGHT | CLAIMS


@pytest.mark.parametrize("row", asserted("tank.csv"))
def test_the_published_figure_is_met(row: Row) -> None:
    check(row, ANSWERS)
