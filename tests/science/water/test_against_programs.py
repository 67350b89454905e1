"""Reference evapotranspiration beside other programs: a year of measured days, and four years of temperatures.

The figures in tests/data/et0_greensboro.csv are from refet 0.5.0, pyfao56 1.4.3 and pyet 1.5.0. The two standards
differ in one constant (4.901 against 4.903e-9) and the programs in the lower end of the cloud term, which one dark
day of the year meets (28 December).
"""

from __future__ import annotations

import csv
from datetime import date
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pytest

from rootcase.science.lanes import Lanes
from rootcase.science.water.atmosphere import (
    air_pressure_kpa,
    saturation_vapour_pressure_kpa,
    vapour_pressure_from_humidity_kpa,
    wind_at_2m_m_s,
)
from rootcase.science.water.reference_et import hargreaves_mm_day, penman_monteith_mm_day

DATA = Path(__file__).parents[2] / "data"
GREENSBORO_M, GREENSBORO_DEG, SEATTLE_DEG = 273.0, 36.1, 47.45
DARKEST_DAY = 361  # counted from 0

pytestmark = pytest.mark.reference


def columns(file: str) -> dict[str, Lanes]:
    with (DATA / file).open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(lines))
    return {name: np.array([float(row[name]) for row in rows]) for name in rows[0] if name != "date"}


WEATHER, THEIRS = columns("greensboro_daily_inputs.csv"), columns("et0_greensboro.csv")
VAPOUR = {
    "dew point": saturation_vapour_pressure_kpa(WEATHER["tdew"]),
    "hourly vapour": WEATHER["ea"],
    "humidity": vapour_pressure_from_humidity_kpa(
        WEATHER["tmin"], WEATHER["tmax"], WEATHER["rhmax"], WEATHER["rhmin"]),
}


def ours(vapour: str) -> Lanes:
    return penman_monteith_mm_day(
        WEATHER["tmin"], WEATHER["tmax"], VAPOUR[vapour], WEATHER["rs"], wind_at_2m_m_s(WEATHER["u10"], 10.0),
        GREENSBORO_M, GREENSBORO_DEG, WEATHER["doy"])


@pytest.mark.parametrize(("vapour", "program", "on_the_dark_day_mm"), [
    ("dew point", "refet asce tdew", 0.001), ("hourly vapour", "refet asce ea", 0.001),
    ("humidity", "pyfao56 rh", 0.001), ("humidity", "pyet pm_fao56 rhminmax", 0.001),
    ("dew point", "pyfao56 tdew", 0.034), ("dew point", "pyet pm_fao56 tdew", 0.034),
    ("dew point", "pyet pm_asce tdew", 0.034)])
def test_a_measured_year_agrees_day_by_day(vapour: str, program: str, on_the_dark_day_mm: float) -> None:
    difference = np.abs(ours(vapour) - THEIRS[program])
    assert difference[DARKEST_DAY] <= on_the_dark_day_mm
    assert np.delete(difference, DARKEST_DAY).max() <= 0.001


def test_the_year_agrees_within_a_fiftieth_of_a_percent() -> None:
    """1,125.136 mm by refet, whose own daily figures the file rounds."""
    assert ours("dew point").sum() == pytest.approx(1125.136, rel=2e-4)


def test_pressure_agrees_up_to_four_thousand_metres() -> None:
    """refet 0.5.0 and pyet 1.5.0."""
    assert air_pressure_kpa([0.0, 1500.0, 4000.0]) == pytest.approx([101.3, 84.78119502, 62.13481321], abs=1e-8)


def test_temperatures_alone_agree_over_four_years() -> None:
    """FAO-56 Eq. 52 computed elsewhere for Seattle; pyet's own constants differ by up to 0.04 mm a day."""
    with (DATA / "weather_seattle.csv").open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(lines))
    days = [date.fromisoformat(row["date"]) for row in rows]
    found = hargreaves_mm_day([float(row["tmin"]) for row in rows], [float(row["tmax"]) for row in rows], SEATTLE_DEG,
                              [day.timetuple().tm_yday for day in days])
    np.testing.assert_allclose(found, [float(row["et0"]) for row in rows], atol=0.0005 + 1e-9, rtol=0)
    years = [found[[day.year == year for day in days]].sum() for year in (2012, 2013, 2014, 2015)]
    assert years == pytest.approx([799.08, 832.05, 866.23, 898.84], abs=0.03)


if find_spec("refet"):

    def test_refet_itself_still_says_so() -> None:
        import refet

        theirs = refet.Daily(
            tmin=WEATHER["tmin"], tmax=WEATHER["tmax"], ea=VAPOUR["dew point"], rs=WEATHER["rs"], uz=WEATHER["u10"],
            zw=10.0, elev=GREENSBORO_M, lat=GREENSBORO_DEG, doy=WEATHER["doy"], method="asce").eto()
        np.testing.assert_allclose(theirs, THEIRS["refet asce tdew"], atol=6e-5)
        np.testing.assert_allclose(ours("dew point"), theirs, atol=0.001)


if find_spec("pyet"):

    def test_pyet_itself_still_says_so() -> None:
        import pandas
        import pyet

        days = pandas.date_range("2001-01-01", periods=len(WEATHER["doy"]))
        given = {name: pandas.Series(values, days) for name, values in WEATHER.items()}
        theirs = pyet.pm_fao56(
            (given["tmax"] + given["tmin"]) / 2,
            pandas.Series(wind_at_2m_m_s(WEATHER["u10"], 10.0), days), rs=given["rs"], elevation=GREENSBORO_M,
            lat=np.radians(GREENSBORO_DEG), tmax=given["tmax"], tmin=given["tmin"], rhmax=given["rhmax"],
            rhmin=given["rhmin"])
        np.testing.assert_allclose(theirs.to_numpy(), THEIRS["pyet pm_fao56 rhminmax"], atol=6e-5)
        np.testing.assert_allclose(ours("humidity"), theirs.to_numpy(), atol=0.001)
