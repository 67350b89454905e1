"""A typical year of measured days at Greensboro NC, and what we make of it."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np

from rootcase.science.lanes import Lanes
from rootcase.science.water.atmosphere import wind_at_2m_m_s
from rootcase.science.water.reference_et import GRASS, Reference, penman_monteith_mm_day

DATA = Path(__file__).parent / "data"
ELEVATION_M, LATITUDE_DEG = 273.0, 36.1


def columns(file: str) -> dict[str, Lanes]:
    """The columns of numbers of a file of tests/data."""
    with (DATA / file).open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(lines))
    return {name: np.array([float(row[name]) for row in rows]) for name in rows[0] if name != "date"}


WEATHER = columns("greensboro_daily_inputs.csv")


def reference_mm(vapour_kpa: Lanes, cover: Reference = GRASS) -> Lanes:
    """Reference evapotranspiration of each day, by one of the ways to know the vapour in the air."""
    return penman_monteith_mm_day(
        WEATHER["tmin"], WEATHER["tmax"], vapour_kpa, WEATHER["rs"], wind_at_2m_m_s(WEATHER["u10"], 10.0), ELEVATION_M,
        LATITUDE_DEG, WEATHER["doy"], cover)
