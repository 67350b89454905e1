"""The four-layer day compiled: the same six steps as `day_reference`, in blocks of lanes, spread over threads."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import Any

import numpy as np
from numba import njit

from rootcase.ground.errors import require_range
from rootcase.science.tree.fixed import Array, DayConstants, day_constants
from rootcase.science.tree.lanes import Lanes
from rootcase.science.tree.season import Season, is_watered

BLOCK = 256
"""Lanes a thread takes at a time; inside, one lane after the other goes through all days, its state in registers and
the weather in the first-level cache."""

_ROWS = ("crown_per_ground", "neighbours_per_ground", "root_capacity", "salt_factor", "crown_coefficient",
         "turf_demand", "turf_topsoil_share", "evaporating_cover", "pervious", "joints", "infiltration_capacity_mm",
         "drainage_mm_day", "root_reserve", "irrigation_mm")


@dataclass(frozen=True, slots=True)
class Run:
    """What a run leaves of every lane."""

    spring: Array
    """Mean elongation in the spring window (S)."""
    bud_set: Array
    """Mean transpiration in the bud-set window (B)."""
    end_mm: Array
    """Water in the four layers and perched (5, lanes)."""
    balance_error_mm: Array


def run_compiled(lanes: Lanes, season: Season, threads: int) -> Run:
    """How did the water of a year and a spring serve the trees? Compiled.

    Parameters
    ----------
    lanes : the lanes
    season : the days
    threads : 1 to 256; the result is the same for any number

    Returns
    -------
    Run. [shares, mm]

    Raises
    ------
    OutOfRange : the number of threads leaves its range.

    Notes
    -----
    Equal to `run_reference` to 1e-9. No arithmetic crosses lanes, so neither blocks nor threads change a bit.

    References
    ----------
    As `day_reference.day`.

    Examples
    --------
    >>> from rootcase.science.tree.parameters import central_parameters
    >>> from rootcase.science.tree.site import Site
    >>> lawn = Site(sand=0.4, clay=0.2, organic_matter_pct=3.0, surface_resistance_mpa=1.0, refusal_depth_m=0.4,
    ...             turf=1.0, ece_ds_m=0.4, sar=1.0, ph=6.2, trunk_diameter_m=0.4, crown_radius_m=5.0,
    ...             salt_threshold_ds_m=2.0, salt_slope_pct=14.0, lock_up_per_ph=0.03)
    >>> from rootcase.science.tree.lanes import lanes_of
    >>> from rootcase.science.tree.season import DailyWeather, season_of
    >>> days = np.arange(np.datetime64("2013-01-01"), np.datetime64("2014-07-01"))
    >>> doy = (days - days.astype("datetime64[Y]")).astype(int) + 1
    >>> warm = 12.0 - 12.0 * np.cos(2.0 * np.pi * doy / 365.0)
    >>> weather = DailyWeather(year=days.astype("datetime64[Y]").astype(int) + 1970, day_of_year=doy, t_min_c=warm,
    ...                        t_max_c=warm, rain_mm=np.where(doy % 7 == 0, 14.0, 0.0), et0_mm=warm / 5.0)
    >>> lanes, season = lanes_of(lawn, central_parameters()), season_of(weather, 45)
    >>> from rootcase.science.tree.day_reference import run_reference
    >>> bool(abs(run_compiled(lanes, season, 1).spring - run_reference(lanes, season).spring)[0] < 1e-9)
    True
    """
    require_range("threads", threads, 1, 256, "")
    inputs = np.empty((12 + len(_ROWS), lanes.count))
    inputs[0:4], inputs[4:8], inputs[8:12] = lanes.available_water_mm, lanes.perched_capacity_mm, lanes.root_weight
    for row, name in enumerate(_ROWS, 12):
        inputs[row] = getattr(lanes, name)
    schedule, watered = _schedules(lanes, season)
    out = np.empty((8, lanes.count))
    weather = np.stack([season.rain_mm, season.et0_mm, season.leaf])
    windows = np.array([*season.bud_set, *season.spring])

    def work(first: int) -> None:
        _run_lanes(inputs, schedule, watered, weather, windows, day_constants(), out, first,
                   min(first + BLOCK, lanes.count))

    starts = range(0, lanes.count, BLOCK)
    if threads == 1 or len(starts) == 1:
        for first in starts:
            work(first)
    else:
        with ThreadPoolExecutor(threads) as pool:
            list(pool.map(work, starts))
    return Run(spring=out[0], bud_set=out[1], end_mm=out[2:7], balance_error_mm=out[7])


def _schedules(lanes: Lanes, season: Season) -> tuple[Any, Any]:
    """Which schedule of watering each lane has, and on which days each schedule waters (schedules, days)."""
    plans = np.stack([lanes.irrigation_every_days, lanes.irrigation_first_day, lanes.irrigation_last_day])
    plans = np.where(lanes.irrigation_mm > 0.0, plans, 0.0)
    kinds, schedule = np.unique(plans, axis=1, return_inverse=True)
    watered = np.zeros((kinds.shape[1], len(season.rain_mm)))
    for number, (every, first, last) in enumerate(kinds.T):
        if every > 0:
            watered[number] = is_watered(every, first, last, season.day_of_year)
    return schedule.reshape(-1).astype(np.int64), watered


@njit(cache=True, nogil=True, error_model="numpy")
def _run_lanes(inputs: Any, schedule: Any, watered: Any, weather: Any, windows: Any, c: DayConstants, out: Any,
               first: int, last: int) -> None:
    for lane in range(first, last):
        _run_lane(inputs[:, lane].copy(), watered[schedule[lane]], weather, windows, c, out[:, lane])


@njit(cache=True, nogil=True, error_model="numpy")
def _run_lane(x: Any, watered: Any, weather: Any, windows: Any, c: DayConstants, out: Any) -> None:
    taw, hold, root = (x[0], x[1], x[2], x[3]), (x[4], x[5], x[6], x[7]), (x[8], x[9], x[10], x[11])
    crown, others, capacity, salt, coefficient, turf = x[12], x[13], x[14], x[15], x[16], x[17]
    top, evaporating, pervious, joints, intake, draining = x[18], x[19], x[20], x[21], x[22], x[23]
    reserve, irrigation = x[24], x[25]
    cover = min(1.0, crown + others)
    water, perched = taw, 0.0
    balance = taw[0] + taw[1] + taw[2] + taw[3]
    spring, bud_set = 0.0, 0.0
    for day in range(weather.shape[1]):
        rain, et0, leaf = weather[0, day], weather[1, day], weather[2, day]
        through = rain - min(rain, c.interception_mm * leaf) * cover
        soaked = _take_in(through * pervious + irrigation * watered[day], intake) + rain * joints
        water, perched, lost = _fill(water, perched, soaked, taw, hold, draining)

        demand = coefficient * et0 * (c.leafless_water_share + (1.0 - c.leafless_water_share) * leaf)
        share = (water[0] / taw[0], water[1] / taw[1], water[2] / taw[2], water[3] / taw[3])
        supply = _supply(share, demand * (crown + others) + turf * et0, c)
        if perched > 0.0:
            supply = _stand(supply, perched, hold)
        rooted = root[0] * supply[0] + root[1] * supply[1] + root[2] * supply[2] + root[3] * supply[3]
        tree = _reserve(capacity * rooted, reserve) * salt
        if windows[2] <= day < windows[3]:
            spring += _reserve(capacity * _expansion(share, supply, root, c), reserve) * salt

        uptake = demand * (crown * tree + others * _reserve(rooted, reserve))
        drawn = uptake / rooted if rooted > 0.0 else 0.0
        asked = turf * et0 * (1.0 - c.turf_shade_cut * min(1.0, crown) * leaf)
        turf0 = asked * top * min(1.0, share[0] / c.turf_wetness)
        turf1 = asked * (1.0 - top) * min(1.0, share[1] / c.turf_wetness)
        ground = (c.evaporation_most * et0 * evaporating * (1.0 - c.evaporation_shade_cut * cover * leaf)
                  * min(1.0, share[0] / c.evaporation_wetness))
        w0, u0 = _settle(water[0], drawn * root[0] * supply[0], turf0 + ground)
        w1, u1 = _settle(water[1], drawn * root[1] * supply[1], turf1)
        w2, u2 = _settle(water[2], drawn * root[2] * supply[2], 0.0)
        w3, u3 = _settle(water[3], drawn * root[3] * supply[3], 0.0)
        balance += soaked - lost - (water[0] - w0) - (water[1] - w1) - (water[2] - w2) - (water[3] - w3)
        water = (w0, w1, w2, w3)
        if windows[0] <= day < windows[1]:
            bud_set += tree * ((u0 + u1 + u2 + u3) / uptake if uptake > 0.0 else 1.0)
    out[0], out[1] = spring / (windows[3] - windows[2]), bud_set / (windows[1] - windows[0])
    out[2], out[3], out[4], out[5], out[6] = water[0], water[1], water[2], water[3], perched
    out[7] = balance - (water[0] + water[1] + water[2] + water[3] + perched)


@njit(cache=True, nogil=True, error_model="numpy")
def _take_in(arriving: float, intake: float) -> Any:
    return intake * (1.0 - np.exp(-arriving / max(intake, 1e-9))) if arriving > 0.0 else 0.0


@njit(cache=True, nogil=True, error_model="numpy")
def _fill(water: Any, perched: float, soaked: float, taw: Any, hold: Any, draining: float) -> Any:
    """Water of the layers, perched, and what left by drainage and overflow."""
    free = soaked + perched
    if free <= 0.0:
        return water, 0.0, 0.0
    in0 = min(free, taw[0] - water[0])
    in1 = min(free - in0, taw[1] - water[1])
    in2 = min(free - in0 - in1, taw[2] - water[2])
    in3 = min(free - in0 - in1 - in2, taw[3] - water[3])
    free = free - in0 - in1 - in2 - in3
    drained = min(free, draining)
    stands = min(free - drained, hold[0] + hold[1] + hold[2] + hold[3])
    return (water[0] + in0, water[1] + in1, water[2] + in2, water[3] + in3), stands, free - stands


@njit(cache=True, nogil=True, error_model="numpy")
def _supply(share: Any, demand: float, c: DayConstants) -> Any:
    ready = c.ready_share + c.ready_share_per_mm * (c.ready_reference_mm - demand)
    full = 1.0 / (1.0 - min(max(ready, c.ready_least), c.ready_most))
    return min(1.0, share[0] * full), min(1.0, share[1] * full), min(1.0, share[2] * full), min(1.0, share[3] * full)


@njit(cache=True, nogil=True, error_model="numpy")
def _stand(supply: Any, perched: float, hold: Any) -> Any:
    in3 = min(perched, hold[3])
    in2 = min(perched - in3, hold[2])
    in1 = min(perched - in3 - in2, hold[1])
    in0 = min(perched - in3 - in2 - in1, hold[0])
    return (supply[0] * (1.0 - (in0 / hold[0] if hold[0] > 0.0 else 0.0)),
            supply[1] * (1.0 - (in1 / hold[1] if hold[1] > 0.0 else 0.0)),
            supply[2] * (1.0 - (in2 / hold[2] if hold[2] > 0.0 else 0.0)),
            supply[3] * (1.0 - (in3 / hold[3] if hold[3] > 0.0 else 0.0)))


@njit(cache=True, nogil=True, error_model="numpy")
def _expansion(share: Any, supply: Any, root: Any, c: DayConstants) -> Any:
    total = 0.0
    for layer in range(4):
        total += root[layer] * min(supply[layer], max((share[layer] - c.expansion_none) / c.expansion_span, 0.0))
    return total


@njit(cache=True, nogil=True, error_model="numpy")
def _reserve(supply: float, reserve: float) -> Any:
    return supply * (1.0 + reserve) / (supply + reserve)


@njit(cache=True, nogil=True, error_model="numpy")
def _settle(water: float, uptake: float, other: float) -> Any:
    """Water left in a layer, and what the trees got of it: nobody draws more than is there."""
    drawn = uptake + other
    if drawn > water:
        return 0.0, uptake * (water / drawn)
    return water - drawn, uptake
