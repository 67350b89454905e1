"""Published figures on the air's thirst: the worked examples of FAO-56, the ASCE's day and hour, a year of weather."""

from __future__ import annotations

import pytest

from rootcase.ground.units import convert
from rootcase.science.lanes import Lanes
from rootcase.science.warmth.degree_days import average_degree_days_c, single_sine_degree_days_c
from rootcase.science.water import atmosphere, clear_sky, ground_heat, hourly_et, radiation, reference_et, sun
from rootcase.science.water.available import total_available_water_mm
from tests.greensboro import WEATHER, reference_mm
from tests.published.vectors import Answers, Row, asserted, check

FIRST_OF_JULY, FIRST_OF_AUGUST = 182, 213
COVERS = {"ETo": reference_et.GRASS, "ETo_PM_limited_data": reference_et.GRASS, "ETo_asce": reference_et.GRASS,
          "ETr_asce": reference_et.TALL_CROP}
DEGREE_DAYS = {"average": average_degree_days_c, "single sine": single_sine_degree_days_c}


def vapour(row: Row) -> float:
    given = row.inputs
    if "twet" in given:
        return float(atmosphere.vapour_pressure_from_wet_bulb_kpa(
            given["twet"], given["tdry"], atmosphere.air_pressure_kpa(given["elev_m"]), given["a_psy"]))
    if "tdew" in given:
        return float(atmosphere.saturation_vapour_pressure_kpa(given["tdew"]))
    if "rhmean" in given:
        return float(atmosphere.vapour_pressure_from_mean_humidity_kpa(given["tmin"], given["tmax"], given["rhmean"]))
    if "rhmin" in given:
        return float(atmosphere.vapour_pressure_from_humidity_kpa(
            given["tmin"], given["tmax"], given["rhmax"], given["rhmin"]))
    return float(atmosphere.vapour_pressure_from_highest_humidity_kpa(given["tmin"], given["rhmax"]))


def above_air(row: Row) -> float:
    return float(sun.extraterrestrial_radiation_mj_m2_day(row.inputs["lat"], row.inputs["doy"]))


def daylight(row: Row) -> float:
    return float(sun.daylight_hours(row.inputs["lat"], row.inputs["doy"]))


def solar(row: Row) -> float:
    """Measured, or from sunshine, or from temperature: whatever the row has."""
    given = row.inputs
    if "rs" in given:
        return float(given["rs"])
    above = given["Ra"] if "Ra" in given else above_air(row)
    if "n" in given:
        hours = given["N"] if "N" in given else daylight(row)
        return float(radiation.radiation_from_sunshine_mj_m2_day(given["n"], hours, above))
    return float(radiation.radiation_from_temperature_mj_m2_day(
        given["tmin"], given["tmax"], above, given.get("kRs", 0.16)))


def wind(row: Row) -> float:
    given = row.inputs
    if "u2" in given:
        return float(given["u2"])
    speed, height = (given["u10"], 10.0) if "u10" in given else (given["uz"], given.get("z", given.get("zw")))
    return float(atmosphere.wind_at_2m_m_s(speed, height))


def evaporation(row: Row) -> float:
    given = row.inputs
    if "Rn" in given:
        return float(reference_et.penman_monteith_from_parts_mm(
            given["Rn"], given["T"], given["u2"], given["es"], given["ea"], given["delta"], given["gamma"],
            given.get("G", 0.0)))
    air = given["ea"] if "ea" in given else vapour(row)
    return float(reference_et.penman_monteith_mm_day(
        given["tmin"], given["tmax"], air, solar(row), wind(row), given["elev"], given["lat"], given["doy"],
        COVERS[row.quantity]))


def other_sky(row: Row) -> float:
    """The rows called variants: Ref-ET's sun and pressure, its full clear sky or the simple one."""
    given = row.inputs
    place, ends = (given["lat"], given["doy"]), (given["tmin"], given["tmax"])
    pressure = clear_sky.air_pressure_by_gas_law_kpa(given["elev"])
    above = clear_sky.extraterrestrial_radiation_of_1367_w_mj_m2_day(*place)
    if "full" in row.quantity:
        clear = above * clear_sky.clear_share(given["ea"], pressure, clear_sky.height_of_sun_of_day(*place))
    else:
        clear = radiation.clear_sky_radiation_mj_m2_day(given["elev"], above)
    cover = reference_et.TALL_CROP if row.quantity.startswith("ETr") else reference_et.GRASS
    lost = radiation.net_longwave_mj_m2_day(*ends, given["ea"], given["rs"], clear,
                                            reference_et.TALL_CROP.black_body_mj_k4_m2)
    mean_c = sum(ends) / 2.0
    return float(reference_et.penman_monteith_from_parts_mm(
        radiation.net_radiation_mj_m2_day(radiation.net_shortwave_mj_m2_day(given["rs"]), lost), mean_c, wind(row),
        atmosphere.mean_saturation_vapour_pressure_kpa(*ends), given["ea"],
        atmosphere.slope_of_saturation_kpa_c(mean_c), atmosphere.psychrometric_constant_kpa_c(pressure), 0.0, cover))


def tall_hour(row: Row) -> float:
    """By Ref-ET's sun, its pressure and its full clear sky; the time of the row is the hour's beginning."""
    given = row.inputs
    when = (given["lat"], given["lon"], given["doy"], given["time_utc"] + 0.5)
    pressure = clear_sky.air_pressure_by_gas_law_kpa(given["elev"])
    share = clear_sky.clear_share(given["ea"], pressure, clear_sky.height_of_sun_of_hour(*when))
    clear = share * clear_sky.extraterrestrial_radiation_of_1367_w_mj_m2_h(*when)
    return float(hourly_et.hourly_reference_mm_h(
        hourly_et.ASCE_TALL_CROP, given["tmean"], given["ea"], given["rs"], given["rs"] / clear, wind(row),
        given["elev"]))


def hour(row: Row, cover: hourly_et.HourlyReference) -> float:
    """Example 19, whose night gives no place: its station's, by the same example's afternoon."""
    given = {"elev": 8} | dict(row.inputs)
    if "rs_rso_prev" in given:
        clearness = given["rs_rso_prev"]
    else:
        above = hourly_et.extraterrestrial_radiation_mj_m2_h(
            given["lat"], given["lon"], given["doy"], given["t_mid"] - given["lon_zone"] / 15)
        clearness = given["rs"] / radiation.clear_sky_radiation_mj_m2_day(given["elev"], above)
    air = given["RH"] / 100 * atmosphere.saturation_vapour_pressure_kpa(given["T"])
    return float(hourly_et.hourly_reference_mm_h(
        cover, given["T"], air, given["rs"], clearness, given["u2"], given["elev"]))


def month_heat(row: Row) -> float:
    given = row.inputs
    if "T_next" in given:
        return float(ground_heat.ground_heat_of_month_mj_m2_day(given["T_prev"], given["T_next"]))
    return float(ground_heat.ground_heat_of_running_month_mj_m2_day(given["T_prev"], given["T_cur"]))


def year(row: Row) -> Lanes:
    """The station's days, which the row's hourly file was summed to."""
    assert "723170TYA" in row.case
    return reference_mm(WEATHER["ea"])


def degree_days(row: Row) -> float:
    base_c = convert(row.inputs["base_F"], "degF", "degC")
    days = DEGREE_DAYS[row.inputs["method"]](WEATHER["tmin"], WEATHER["tmax"], base_c)
    return convert(float(days.sum()), "degC_day", "degF_day")


def simple_clear_sky(row: Row) -> float:
    above = row.inputs["Ra"] if "Ra" in row.inputs else above_air(row)
    return float(radiation.clear_sky_radiation_mj_m2_day(row.inputs["elev"], above))


def longwave(row: Row) -> float:
    given = row.inputs
    return float(radiation.net_longwave_mj_m2_day(
        given["tmin"], given["tmax"], given["ea"], given["rs"], given["rso"]))


def hargreaves(row: Row) -> float:
    given = row.inputs
    above = given["Ra"] if "Ra" in given else given["Ra_MJ"]
    return float(reference_et.hargreaves_from_radiation_mm_day(given["tmin"], given["tmax"], above))


def deficit(row: Row) -> float:
    saturated = atmosphere.mean_saturation_vapour_pressure_kpa(row.inputs["tmin"], row.inputs["tmax"])
    return float(saturated) - float(row.inputs["ea"])


FAO56: Answers = {
    ("fao56", quantity): answer for quantity, answer in {
        "pressure": lambda row: float(atmosphere.air_pressure_kpa(row.inputs["elev_m"])),
        "psychrometric_constant": lambda row: float(atmosphere.psychrometric_constant_kpa_c(row.inputs["P_kPa"])),
        "e0": lambda row: float(atmosphere.saturation_vapour_pressure_kpa(row.inputs["T"])),
        "e0_of_mean_underestimates": lambda row: float(atmosphere.saturation_vapour_pressure_kpa(row.inputs["T"])),
        "es": lambda row: float(atmosphere.mean_saturation_vapour_pressure_kpa(row.inputs["tmin"], row.inputs["tmax"])),
        "ea": vapour,
        "es_minus_ea": deficit,
        "delta": lambda row: float(atmosphere.slope_of_saturation_kpa_c(row.inputs["T"])),
        "u2": wind,
        "dr": lambda row: float(sun.relative_distance_to_sun(row.inputs["doy"])),
        "declination": lambda row: float(sun.solar_declination_rad(row.inputs["doy"])),
        "sunset_hour_angle": lambda row: float(sun.sunset_hour_angle_rad(row.inputs["lat"], row.inputs["doy"])),
        "Ra": above_air,
        "daylight_hours": daylight,
        "N": daylight,
        "Rs": solar,
        "Rso": simple_clear_sky,
        "Rns": lambda row: float(radiation.net_shortwave_mj_m2_day(row.inputs["rs"])),
        "Rnl": longwave,
        "Rn": lambda row: float(radiation.net_radiation_mj_m2_day(row.inputs["Rns"], row.inputs["Rnl"])),
        "ETo": evaporation,
        "ETo_PM_limited_data": evaporation,
        "ETo_HS": hargreaves,
        "G_monthly": month_heat,
        "G_equiv": lambda row: float(ground_heat.evaporated_by_mm(row.inputs["G"])),
        "ETo_hourly_FAO56": lambda row: hour(row, hourly_et.FAO_GRASS),
        "ETo_hourly_FAO56_Cd0.34": lambda row: hour(row, hourly_et.FAO_GRASS),
        "ETo_hourly_ASCE_Cd0.24": lambda row: hour(row, hourly_et.ASCE_GRASS),
    }.items()
}

ANSWERS: Answers = FAO56 | {
    ("hargreaves", "ETo"): hargreaves,
    ("asce_eto", "ETo_asce"): evaporation,
    ("asce_eto", "ETr_asce"): evaporation,
    ("asce_eto", "ETo_full_Rso_variant"): other_sky,
    ("asce_eto", "ETr_full_Rso_variant"): other_sky,
    ("asce_eto", "ETr_simple_Rso_variant"): other_sky,
    ("asce_eto", "ETr_hourly"): tall_hour,
    ("asce_eto", "u2"): wind,
    ("asce_eto", "Ra_asce"): above_air,
    ("asce_eto", "Rso_simple"): simple_clear_sky,
    ("weather_integration", "ETo"): evaporation,
    ("weather_integration", "annual ETo"): lambda row: float(year(row).sum()),
    ("weather_integration", "July ETo"): lambda row: float(year(row)[FIRST_OF_JULY - 1:FIRST_OF_AUGUST - 1].sum()),
    ("weather_integration", "annual GDD"): degree_days,
    ("taw_raw", "TAW"): lambda row: float(total_available_water_mm(
        row.inputs["theta_fc"], row.inputs["theta_wp"], row.inputs["Zr_m"])),
}


@pytest.mark.parametrize("row", asserted("water.csv"))
def test_the_published_figure_is_met(row: Row) -> None:
    check(row, ANSWERS)
