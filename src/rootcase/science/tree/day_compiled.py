"""The four-layer day compiled: the same six steps as `day_reference`, in blocks of lanes, spread over threads."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import cache
from multiprocessing import current_process
from typing import Any

import numpy as np
import numpy.typing as npt

from rootcase.ground.errors import OutOfRange, require_range
from rootcase.science.tree._day.block import run_lanes
from rootcase.science.tree._day.rows import BLOCK, INPUTS, KEPT_ROWS, ROWS, STRIDE, Constants
from rootcase.science.tree.fixed import Array, DayConstants, day_constants
from rootcase.science.tree.lanes import Lanes
from rootcase.science.tree.season import Season, is_watered

CACHE_LINE = 64
TASKS_PER_THREAD = 8
"""So that a thread that was held up does not hold up the others."""
LEAST_BLOCKS = 4
"""Of a task: about a quarter of a millisecond, well above what handing it out costs."""

DAYS = 1000.0
"""More than a year has: keeps the parts of a schedule apart in one number."""


@dataclass(frozen=True, slots=True)
class Run:
    """What a run leaves of every lane."""

    spring: Array
    """Mean elongation in the spring window (S)."""
    bud_set: Array
    """Mean transpiration in the bud-set window (B)."""


@dataclass(frozen=True, slots=True)
class DailyRun:
    """Every day of every lane, (days, lanes): water at its end, flows in it."""

    layers_mm: Array
    """Above wilting point (days, 4, lanes)."""
    perched_mm: Array
    infiltration_mm: Array
    lost_mm: Array
    """Drainage, and perched water that did not fit."""
    uptake_mm: Array
    turf_mm: Array
    evaporation_mm: Array
    transpiration: Array
    """The tree's, over its demand, 0 to 1."""
    elongation: Array
    """Over that of a free root system in moist soil, 0 to 1."""


def run_compiled(lanes: Lanes, season: Season, threads: int, single: bool = False) -> Run:
    """How did the water of a year and a spring serve the trees? Compiled.

    Parameters
    ----------
    lanes : the lanes
    season : the days
    threads : 1 to 256; the result is the same for any number
    single : reckon in numbers of 32 bits, twice as fast

    Returns
    -------
    Run. [shares]

    Raises
    ------
    OutOfRange : the number of threads leaves its range, a constant of the day its own, or a lane holds what is no
        number or below 0.

    Notes
    -----
    Equal to `run_reference` to 1e-9, in 32 bits to 1e-5. No arithmetic crosses lanes, so neither blocks nor threads
    change a bit.

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
    number = np.float32 if single else np.float64
    out = np.empty((2, lanes.count), number)
    _run(lanes, season, threads, out, np.empty((0, KEPT_ROWS, 0), number))
    return Run(spring=np.asarray(out[0], np.float64), bud_set=np.asarray(out[1], np.float64))


def run_every_day(lanes: Lanes, season: Season, threads: int) -> DailyRun:
    """What did every day do to the water of every lane, and how well did the trees live on it?

    Parameters
    ----------
    lanes : the lanes
    season : the days
    threads : 1 to 256; the result is the same for any number

    Returns
    -------
    DailyRun. [mm, shares]

    Raises
    ------
    OutOfRange : as `run_compiled`.

    Notes
    -----
    The same run as `run_compiled`, with each day written down: 12 numbers a lane and day, 48 MB for 1,000 lanes in 500
    days.

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
    >>> days = run_every_day(lanes, season, 1)
    >>> days.layers_mm.shape == (len(season.rain_mm), 4, 1)
    True
    """
    require_range("threads", threads, 1, 256, "")
    kept = np.zeros((len(season.rain_mm), KEPT_ROWS, lanes.count))
    _run(lanes, season, threads, np.empty((2, lanes.count)), kept)
    return DailyRun(kept[:, :4], *(kept[:, row] for row in range(4, KEPT_ROWS)))


def _run(lanes: Lanes, season: Season, threads: int, out: Any, kept: Any) -> None:
    """Through the days, in `out`'s kind of numbers."""
    number = out.dtype.type
    for name in INPUTS:  # a missing value, too, which the loops would pass over
        require_range(name, getattr(lanes, name), 0.0, np.inf, "")
    table = tuple(np.ascontiguousarray(row, np.float64)
                  for name in INPUTS for row in np.atleast_2d(getattr(lanes, name)))
    weather = np.stack([season.rain_mm, season.et0_mm, season.leaf]).astype(number)
    schedule, watered = _schedules(lanes, season)
    windows = np.array([*season.bud_set, *season.spring])
    constants = Constants(*(number(value) for value in _rearranged(day_constants())))

    def work(first: int, last: int) -> None:
        run_lanes(table, schedule, watered, weather, windows, constants, _scratch(number), first, last, out, kept)

    blocks = -(-lanes.count // BLOCK)
    tasks = max(1, min(threads * TASKS_PER_THREAD, blocks // LEAST_BLOCKS)) if threads > 1 else 1
    ends = [min(blocks * task // tasks * BLOCK, lanes.count) for task in range(tasks + 1)]
    if tasks == 1:
        work(0, lanes.count)
    else:
        list(_pool(threads, current_process().pid).map(work, ends[:-1], ends[1:]))


@cache
def _pool(threads: int, process: int | None) -> ThreadPoolExecutor:
    """Threads that stay: to start them anew for each run takes longer than a small run. A process forked from one that
    has some has none of them, and would wait for ever."""
    return ThreadPoolExecutor(threads, "rootcase-day")


def _scratch(number: type[np.floating[Any]]) -> Any:
    """Room for a block, begun on a cache line."""
    size = ROWS * STRIDE * np.dtype(number).itemsize
    room = np.empty(size + CACHE_LINE, np.uint8)
    begin = -room.ctypes.data % CACHE_LINE
    return room[begin:begin + size].view(number)


def _rearranged(c: DayConstants) -> Constants:
    base = 1.0 - c.ready_share - c.ready_share_per_mm * c.ready_reference_mm
    if base < 1.0 - c.ready_most:
        raise OutOfRange("no demand would leave the ready share above its most", where="tree/fixed.csv",
                         value=f"{1.0 - base:g}", right=f"at most ready_most, {c.ready_most:g}")
    return Constants(
        zero=0.0, one=1.0, tiny=1e-30, interception_mm=c.interception_mm, leafless_water_share=c.leafless_water_share,
        q_base=base, q_per_mm=c.ready_share_per_mm, q_most=1.0 - c.ready_least, expansion_none=c.expansion_none,
        per_expansion_span=1.0 / c.expansion_span, turf_shade_cut=c.turf_shade_cut, turf_wetness=c.turf_wetness,
        evaporation_most=c.evaporation_most, evaporation_shade_cut=c.evaporation_shade_cut,
        evaporation_wetness=c.evaporation_wetness)


def _schedules(lanes: Lanes, season: Season) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.bool_]]:
    """Which schedule of watering each lane has, 0 for none, and on which days each schedule waters."""
    schedule = np.zeros(lanes.count, np.int64)
    wet = np.flatnonzero(lanes.irrigation_mm > 0.0)
    every, first, last = (getattr(lanes, f"irrigation_{name}")[wet] for name in ("every_days", "first_day", "last_day"))
    _, example, kind = np.unique((every * DAYS + first) * DAYS + last, return_index=True, return_inverse=True)
    schedule[wet] = kind + 1
    never = np.zeros(len(season.rain_mm), np.bool_)
    return schedule, np.stack([never, *(is_watered(every[at], first[at], last[at], season.day_of_year)
                                        for at in example)])
