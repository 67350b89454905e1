"""Published figures on warmth: of the soil by depth and day, of root growth, and degree days by method."""

from __future__ import annotations

import pytest

from rootcase.ground.units import convert
from rootcase.science.warmth import degree_days, soil_temperature
from tests.published.vectors import Answers, Row, asserted, check

MARKS = {
    "root growth begins (5 western conifers)": "begins", "rapid increase": "fast_from", "maximum": "fastest",
    "firs: no growth": "firs_none", "six European trees: <3% of new roots below": "hardly_any_below",
    "85% of new roots in the cold profile above": "most_above",
}
MAIZE_UPPER_F = 86


def soil(row: Row) -> float:
    given = row.inputs
    assert given["period_d"] == soil_temperature.YEAR_DAYS
    return float(soil_temperature.soil_temperature_c(
        given["day"], given["z_m"], given["Ta"], given["A0"], given["t_min"], given["kappa"]))


def wave(row: Row) -> tuple[float, float]:
    given = row.inputs
    reached = soil_temperature.yearly_wave(given["z_m"], given["A0"], given["kappa"])
    return float(reached.amplitude_c), float(reached.lag_days)


def celsius(row: Row, *names: str) -> list[float]:
    return [convert(row.inputs[name], "degF", "degC") for name in names]


def in_fahrenheit(degree_days_c: object) -> float:
    return convert(float(degree_days_c), "degC_day", "degF_day")  # type: ignore[arg-type]


def average(row: Row) -> float:
    """One row prints the day's mean alone, a day without a swing."""
    side = ("mean", "mean") if "mean" in row.inputs else ("tmin", "tmax")
    return in_fahrenheit(degree_days.average_degree_days_c(*celsius(row, *side, "base")))


def sine(row: Row) -> float:
    if "upper" in row.inputs:
        return in_fahrenheit(degree_days.single_sine_capped_degree_days_c(
            *celsius(row, "tmin", "tmax", "base", "upper")))
    return in_fahrenheit(degree_days.single_sine_degree_days_c(*celsius(row, "tmin", "tmax", "base")))


def substituted(row: Row) -> float:
    return in_fahrenheit(degree_days.substituted_degree_days_c(
        *celsius(row, "tmin", "tmax", "base"), convert(MAIZE_UPPER_F, "degF", "degC")))


ANSWERS: Answers = {
    ("soil_temp", "damping_depth"):
        lambda row: float(soil_temperature.damping_depth_m(row.inputs["kappa"], row.inputs["period_s"])),
    ("soil_temp", "T"): soil,
    ("soil_temp", "amplitude;lag_days"): wave,
    ("root_temp", "soil_temperature"): lambda row: soil_temperature.root_growth_temperature_c(MARKS[row.case]),
    ("gdd", "average"): average,
    ("gdd", "single_sine"): sine,
    ("gdd", "substituted 50/86"): substituted,
    ("gdd", "four-case (McVicker)"):
        lambda row: in_fahrenheit(degree_days.four_case_degree_days_c(*celsius(row, "tmin", "tmax", "base"))),
}


@pytest.mark.parametrize("row", asserted("warmth.csv"))
def test_the_published_figure_is_met(row: Row) -> None:
    check(row, ANSWERS)
