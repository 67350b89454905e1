"""The root zone's water by FAO-56, plants and soil surface apart: a day, and a run of days. Days are the first axis."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from rootcase.ground.errors import require_range
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.water.balance_single import settle
from rootcase.science.water.evaporation import drying_factor, evaporation_coefficient, exposed_wet_share
from rootcase.science.water.rain import MOST_RAIN_MM_DAY
from rootcase.science.water.thirst import depletion_share_of_day, water_stress


class DualGround(NamedTuple):
    """What a ground holds, a number or one per lane."""

    total_mm: Numbers
    """TAW, see `total_available_water_mm`. [mm], above 0 to 5000"""
    depletion_share: Numbers
    """p of the table, at 5 mm a day. [-], 0 to 1"""
    evaporable_mm: Numbers
    """TEW, see `evaporable_water_mm`. [mm], above easily_mm to 200"""
    easily_mm: Numbers
    """REW. [mm], 0 to 50"""


class DualWeather(NamedTuple):
    """What a day brings and asks: numbers or one per lane; in a run days first, or one for all."""

    rain_mm: Numbers
    """That enters the ground. [mm], 0 to 2000"""
    irrigation_mm: Numbers
    """That enters the ground. [mm], 0 to 2000"""
    reference_mm: Numbers
    """ET_o. [mm], 0 to 30"""
    basal: Numbers
    """K_cb, plants without thirst. [-], 0 to 1.5"""
    upper: Numbers
    """K_c,max, see `upper_coefficient`. [-], basal to 2"""
    cover_share: Numbers
    """f_c, shaded by plants. [-], 0 to 1"""
    wetted_share: Numbers
    """f_w, of the ground, wetted by the last irrigation or (1) rain. [-], 0.01 to 1"""


class DualState(NamedTuple):
    """What root zone and surface lack of being full [mm]."""

    depletion_mm: Numbers
    surface_depletion_mm: Numbers


class DualDay(NamedTuple):
    """What a day, or each day of a run, did."""

    stress: Lanes
    """K_s, from the depletion at the day's start. [-]"""
    evaporation_mm: Lanes
    """From the surface. [mm]"""
    transpiration_mm: Lanes
    """By the plants. [mm]"""
    percolation_mm: Lanes
    """What the root zone could not hold. [mm]"""
    overdrawn_mm: Lanes
    """Evaporation and transpiration that the root zone no longer had: the equations take them all the same. [mm]"""
    depletion_mm: Lanes
    """D_r at the day's end. [mm]"""
    surface_depletion_mm: Lanes
    """D_e at the day's end. [mm]"""


def dual_day(state: DualState, weather: DualWeather, ground: DualGround) -> DualDay:
    """The root zone's water and the surface's through one day.

    Parameters
    ----------
    state : at the day's start, the root zone's 0 to 5000, the surface's 0 to 200. [mm]
    weather : of the day
    ground : what it holds

    Returns
    -------
    DualDay: depletion_mm at the day's end = at its start - rain_mm - irrigation_mm + evaporation_mm + transpiration_mm
    + percolation_mm - overdrawn_mm

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes the names said with each field. The order of a day: the surface evaporates by what it lacked at
    the day's start; water enters before any percolates; the share lost without harm follows the day's demand; the
    thirst is that of the day's start. Nothing runs off or rises, and plants draw nothing from the top layer alone. Both
    depletions are held to what their layer holds.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 69 to 80, 84
    to 88 and page 162 (memory; the order of the day seen in the source of pyfao56 1.4.3).

    Examples
    --------
    >>> day = dual_day(DualState(40.0, 0.0), DualWeather(0.0, 0.0, 5.0, 0.6, 1.2, 0.3, 1.0), DualGround(78, 0.5, 18, 8))
    >>> [round(float(value), 2) for value in (day.evaporation_mm, day.transpiration_mm, day.depletion_mm)]
    [3.0, 2.71, 45.71]
    """
    reference = within("reference_mm", weather.reference_mm, 0.0, 30.0, "mm")
    basal = within("basal", weather.basal, 0.0, 1.5, "")
    rain = within("rain_mm", weather.rain_mm, 0.0, MOST_RAIN_MM_DAY, "mm")
    irrigation = within("irrigation_mm", weather.irrigation_mm, 0.0, MOST_RAIN_MM_DAY, "mm")
    exposed = exposed_wet_share(weather.cover_share, within("wetted_share", weather.wetted_share, 0.01, 1.0, ""))
    drying = drying_factor(ground.evaporable_mm, ground.easily_mm, state.surface_depletion_mm)
    of_surface = evaporation_coefficient(drying, basal, weather.upper, exposed)
    evaporation = of_surface * reference
    came = rain + irrigation / np.asarray(weather.wetted_share, dtype=np.float64)
    wetter = np.maximum(np.asarray(state.surface_depletion_mm, dtype=np.float64) - came, 0.0)
    surface = np.minimum(wetter + evaporation / exposed, ground.evaporable_mm)
    share = depletion_share_of_day(ground.depletion_share, (of_surface + basal) * reference)
    stress = water_stress(ground.total_mm, state.depletion_mm, share)
    transpiration = stress * basal * reference
    settled = settle(np.asarray(state.depletion_mm, dtype=np.float64), rain + irrigation, evaporation + transpiration,
                     np.asarray(ground.total_mm, dtype=np.float64))
    return DualDay(stress, evaporation, transpiration, *settled, surface)


def dual_run(state: DualState, weather: DualWeather, ground: DualGround) -> DualDay:
    """The root zone's water and the surface's through many days.

    Parameters
    ----------
    state : on the first morning. [mm]
    weather : of each day, days first
    ground : what it holds, the same on all days

    Returns
    -------
    DualDay of arrays, days first

    Raises
    ------
    OutOfRange : a value leaves its range, or there is no day.

    Notes
    -----
    `dual_day`, day after day. A surface dry at the start lacks evaporable_mm.

    References
    ----------
    As `dual_day`.

    Examples
    --------
    >>> weather = DualWeather([9.0, 0.0], 0.0, 5.0, 0.6, 1.2, 0.3, 1.0)
    >>> dual_run(DualState(40.0, 18.0), weather, DualGround(78.0, 0.5, 18.0, 8.0)).evaporation_mm.round(2).tolist()
    [0.0, 2.7]
    """
    days = np.broadcast_arrays(*weather)
    require_range("the number of days", days[0].shape[0] if days[0].ndim else 0, 1, np.inf, "")
    done: list[DualDay] = []
    for today in zip(*days, strict=True):
        start = DualState(done[-1].depletion_mm, done[-1].surface_depletion_mm) if done else state
        done.append(dual_day(start, DualWeather(*today), ground))
    return DualDay(*(np.stack(column) for column in zip(*done, strict=True)))
