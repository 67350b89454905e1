"""The four-layer day compiled: the same six steps as `day_reference`, in blocks of lanes, spread over threads."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import Any

import numpy as np
from numba import njit

from rootcase.ground.errors import require_range
from rootcase.science.tree.day_reference import DayConstants, day_constants, is_watered
from rootcase.science.tree.fixed import Array
from rootcase.science.tree.lanes import Lanes
from rootcase.science.tree.season import Season

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
    taw0, taw1, taw2, taw3 = x[0], x[1], x[2], x[3]
    hold0, hold1, hold2, hold3 = x[4], x[5], x[6], x[7]
    root0, root1, root2, root3 = x[8], x[9], x[10], x[11]
    crown, others, capacity, salt, crown_coefficient = x[12], x[13], x[14], x[15], x[16]
    turf, turf_top, evaporating, pervious, joints = x[17], x[18], x[19], x[20], x[21]
    intake, draining, spare, irrigation = x[22], x[23], x[24], x[25]
    cover = min(1.0, crown + others)
    shade = min(1.0, crown)
    hold = hold0 + hold1 + hold2 + hold3
    w0, w1, w2, w3, perched = taw0, taw1, taw2, taw3, 0.0
    balance = taw0 + taw1 + taw2 + taw3
    spring, bud_set = 0.0, 0.0
    for day in range(weather.shape[1]):
        rain, et0, leaf = weather[0, day], weather[1, day], weather[2, day]

        # 1 and 2: soak in, fill from the top, drain, perch.
        free = perched
        arriving = (rain - min(rain, c.interception_mm * leaf) * cover) * pervious + irrigation * watered[day]
        if arriving > 0.0 or rain > 0.0:
            soaked = intake * (1.0 - np.exp(-arriving / max(intake, 1e-9))) + rain * joints
            free += soaked
            balance += soaked
        if free > 0.0:
            into = min(free, taw0 - w0)
            w0 += into
            free -= into
            into = min(free, taw1 - w1)
            w1 += into
            free -= into
            into = min(free, taw2 - w2)
            w2 += into
            free -= into
            into = min(free, taw3 - w3)
            w3 += into
            free -= into
            drained = min(free, draining)
            free -= drained
            perched = min(free, hold)
            balance -= drained + (free - perched)
        else:
            perched = 0.0

        # 3: what each layer can supply, and how far shoots can stretch.
        demand = crown_coefficient * et0 * (c.leafless_water_share + (1.0 - c.leafless_water_share) * leaf)
        ready = c.ready_share + c.ready_share_per_mm * (c.ready_reference_mm - demand * (crown + others) - turf * et0)
        per_ready = 1.0 / (1.0 - min(max(ready, c.ready_least), c.ready_most))
        x0, x1, x2, x3 = w0 / taw0, w1 / taw1, w2 / taw2, w3 / taw3
        k0, k1 = min(1.0, x0 * per_ready), min(1.0, x1 * per_ready)
        k2, k3 = min(1.0, x2 * per_ready), min(1.0, x3 * per_ready)
        if perched > 0.0:
            left = perched
            here = min(left, hold3)
            k3 *= 1.0 - (here / hold3 if hold3 > 0.0 else 0.0)
            left -= here
            here = min(left, hold2)
            k2 *= 1.0 - (here / hold2 if hold2 > 0.0 else 0.0)
            left -= here
            here = min(left, hold1)
            k1 *= 1.0 - (here / hold1 if hold1 > 0.0 else 0.0)
            left -= here
            here = min(left, hold0)
            k0 *= 1.0 - (here / hold0 if hold0 > 0.0 else 0.0)
        u0, u1, u2, u3 = root0 * k0, root1 * k1, root2 * k2, root3 * k3
        supply = u0 + u1 + u2 + u3

        # 4: the tree and its neighbours drink; shoots stretch only in spring.
        y = capacity * supply
        tree = y * (1.0 + spare) / (y + spare) * salt
        if windows[2] <= day < windows[3]:
            m0 = min(k0, max((x0 - c.expansion_none) / c.expansion_span, 0.0))
            m1 = min(k1, max((x1 - c.expansion_none) / c.expansion_span, 0.0))
            m2 = min(k2, max((x2 - c.expansion_none) / c.expansion_span, 0.0))
            m3 = min(k3, max((x3 - c.expansion_none) / c.expansion_span, 0.0))
            y = capacity * (root0 * m0 + root1 * m1 + root2 * m2 + root3 * m3)
            spring += y * (1.0 + spare) / (y + spare) * salt
        uptake = demand * (crown * tree + others * (supply * (1.0 + spare) / (supply + spare)))
        per_supply = uptake / supply if supply > 0.0 else 0.0
        u0, u1, u2, u3 = u0 * per_supply, u1 * per_supply, u2 * per_supply, u3 * per_supply

        # 5: turf and the ground.
        asked = turf * et0 * (1.0 - c.turf_shade_cut * shade * leaf)
        turf0 = asked * turf_top * min(1.0, x0 / c.turf_wetness)
        turf1 = asked * (1.0 - turf_top) * min(1.0, x1 / c.turf_wetness)
        ground = (c.evaporation_most * et0 * evaporating * (1.0 - c.evaporation_shade_cut * cover * leaf)
                  * min(1.0, x0 / c.evaporation_wetness))

        # 6: nobody draws more than is there.
        drawn0, drawn1 = u0 + turf0 + ground, u1 + turf1
        if drawn0 > w0:
            u0 *= w0 / drawn0
            drawn0 = w0
        if drawn1 > w1:
            u1 *= w1 / drawn1
            drawn1 = w1
        if u2 > w2:
            u2 = w2
        if u3 > w3:
            u3 = w3
        w0 -= drawn0
        w1 -= drawn1
        w2 -= u2
        w3 -= u3
        balance -= drawn0 + drawn1 + u2 + u3
        if windows[0] <= day < windows[1]:
            bud_set += tree * ((u0 + u1 + u2 + u3) / uptake if uptake > 0.0 else 1.0)
    out[0] = spring / (windows[3] - windows[2])
    out[1] = bud_set / (windows[1] - windows[0])
    out[2], out[3], out[4], out[5], out[6] = w0, w1, w2, w3, perched
    out[7] = balance - (w0 + w1 + w2 + w3 + perched)
