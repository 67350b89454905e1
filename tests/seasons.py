"""The two seasons of tests/data whose balance another program computed, as ours is asked them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from rootcase.science.lanes import Lanes
from rootcase.science.water.available import total_available_water_mm
from rootcase.science.water.balance_dual import DualGround, DualState, DualWeather
from rootcase.science.water.coefficients import Stages, coefficient_of_day, cover_from_coefficient
from rootcase.science.water.evaporation import evaporable_water_mm

SURFACE_M = 0.10


class Season(NamedTuple):
    """What the dual balance of a file was asked with."""

    file: str
    stages: Stages
    basal: tuple[float, float, float]
    height_m: float
    capacity: tuple[float, float, float]
    """Field capacity, wilting point, water at the start."""
    root_depth_m: float
    depletion_share: float
    easily_mm: float


SEATTLE = Season("wb_seattle_dual.csv", Stages(10, 20, 130, 30), (0.60, 0.90, 0.60), 6.0, (0.30, 0.15, 0.28),
                 0.45, 0.55, 9)
GREENSBORO = Season("wb_greensboro_dual.csv", Stages(15, 30, 120, 40), (0.30, 0.85, 0.40), 8.0, (0.23, 0.10, 0.23),
                    0.60, 0.50, 8)


def weather_of(season: Season, theirs: Mapping[str, Lanes]) -> DualWeather:
    """Coefficients by our own functions; the file has wind and humidity only in its ceiling."""
    basal = coefficient_of_day(np.arange(len(theirs["Rain"])), season.stages, *season.basal)
    cover = cover_from_coefficient(basal, season.basal[0], theirs["Kcmax"], season.height_m)
    return DualWeather(theirs["Rain"], theirs["Irrig"], theirs["ETref"], basal, theirs["Kcmax"], cover, theirs["fw"])


def ground_of(season: Season) -> tuple[DualState, DualGround]:
    full, dry, start = season.capacity
    ground = DualGround(total_available_water_mm(full, dry, season.root_depth_m), season.depletion_share,
                        evaporable_water_mm(full, dry, SURFACE_M), season.easily_mm)
    return DualState(1000.0 * (full - start) * season.root_depth_m, ground.evaporable_mm), ground
