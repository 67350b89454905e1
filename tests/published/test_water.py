"""Published figures on the air's thirst: the worked examples of FAO-56, the ASCE day, available water."""

from __future__ import annotations

import pytest

from rootcase.science.water import atmosphere, radiation, reference_et, sun
from rootcase.science.water.available import total_available_water_mm
from tests.published.vectors import Answers, Row, asserted, check


def vapour(row: Row) -> float:
    given = row.inputs
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
        return float(reference_et.penman_monteith_from_parts_mm_day(
            given["Rn"], given["T"], given["u2"], given["es"], given["ea"], given["delta"], given["gamma"],
            given.get("G", 0.0)))
    air = given["ea"] if "ea" in given else vapour(row)
    return float(reference_et.penman_monteith_mm_day(
        given["tmin"], given["tmax"], air, solar(row), wind(row), given["elev"], given["lat"], given["doy"]))


def clear_sky(row: Row) -> float:
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
        "Rso": clear_sky,
        "Rns": lambda row: float(radiation.net_shortwave_mj_m2_day(row.inputs["rs"])),
        "Rnl": longwave,
        "Rn": lambda row: float(radiation.net_radiation_mj_m2_day(row.inputs["Rns"], row.inputs["Rnl"])),
        "ETo": evaporation,
        "ETo_PM_limited_data": evaporation,
        "ETo_HS": hargreaves,
    }.items()
}

ANSWERS: Answers = FAO56 | {
    ("hargreaves", "ETo"): hargreaves,
    ("asce_eto", "ETo_asce"): evaporation,
    ("asce_eto", "u2"): wind,
    ("asce_eto", "Ra_asce"): above_air,
    ("asce_eto", "Rso_simple"): clear_sky,
    ("weather_integration", "ETo"): evaporation,
    ("taw_raw", "TAW"): lambda row: float(total_available_water_mm(
        row.inputs["theta_fc"], row.inputs["theta_wp"], row.inputs["Zr_m"])),
}


@pytest.mark.parametrize("row", asserted("water.csv"))
def test_the_published_figure_is_met(row: Row) -> None:
    check(row, ANSWERS)
