"""From a run of days to growth."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import NamedTuple

import numpy as np

from rootcase.science.tree.day_compiled import Run, run_compiled
from rootcase.science.tree.effects import growth_index
from rootcase.science.tree.fixed import Array, fixed
from rootcase.science.tree.lanes import Lanes, lanes_of, stack
from rootcase.science.tree.parameters import Parameters
from rootcase.science.tree.season import DailyWeather, season_of
from rootcase.science.tree.site import Site

OUTSIDE_BALANCE = ("nitrogen_ratio", "lock_up", "spring_window_days")
"""What a lane holds for growth and not for the water balance."""


class Seasons(NamedTuple):
    """What the water of two seasons gave each lane."""

    spring: Array
    """Elongation this spring (S), 0 to 1."""
    bud_set: Array
    """Transpiration late last summer, when the buds were set (B), 0 to 1."""


@dataclass(frozen=True, slots=True)
class Growth:
    """Growth of each draw and what it came from."""

    index: Array
    """Growth index (G); a share is the index of the tree over that of the yardstick."""
    spring: Array
    bud_set: Array


def run(lanes: Lanes, weather: DailyWeather, threads: int) -> Seasons:
    """What did the water of last summer and this spring give these trees?

    Parameters
    ----------
    lanes : the lanes
    weather : from 1 January (1 July in the south) of the year before, see `growing_days`
    threads : 1 to 256; the result is the same for any number

    Returns
    -------
    Seasons, arrays (lanes,).

    Raises
    ------
    Missing : the weather ends before the shoots do.
    OutOfRange : it begins on another day, or the number of threads leaves its range.

    Notes
    -----
    Sections 1.6 and 1.7 of docs/model.md, by the compiled engine.

    References
    ----------
    As `day_reference.day`.

    Examples
    --------
    >>> from rootcase.science.tree.parameters import central_parameters
    >>> from rootcase.science.tree.site import Site, forest_floor
    >>> lawn = Site(sand=0.4, clay=0.2, organic_matter_pct=3.0, surface_resistance_mpa=1.0, refusal_depth_m=0.4,
    ...             turf=1.0, ece_ds_m=0.4, sar=1.0, ph=6.2, trunk_diameter_m=0.4, crown_radius_m=5.0,
    ...             salt_threshold_ds_m=2.0, salt_slope_pct=14.0, lock_up_per_ph=0.03)
    >>> from rootcase.science.tree.lanes import lanes_of
    >>> days = np.arange(np.datetime64("2013-01-01"), np.datetime64("2014-07-01"))
    >>> doy = (days - days.astype("datetime64[Y]")).astype(int) + 1
    >>> warm = 12.0 - 12.0 * np.cos(2.0 * np.pi * doy / 365.0)
    >>> weather = DailyWeather(year=days.astype("datetime64[Y]").astype(int) + 1970, day_of_year=doy, t_min_c=warm,
    ...                        t_max_c=warm, rain_mm=np.where(doy % 7 == 0, 14.0, 0.0), et0_mm=warm / 5.0)
    >>> seasons = run(lanes_of(lawn, central_parameters()), weather, threads=1)
    >>> bool(0.0 < seasons.spring[0] < 1.0)
    True
    """
    result: Run = run_compiled(lanes, season_of(weather, lanes.spring_window_days), threads)
    return Seasons(result.spring, result.bud_set)


def run_each(parts: Sequence[Lanes], years: Sequence[DailyWeather],
             threads: int) -> tuple[list[list[Seasons]], int]:
    """What did the water of several years give several sets of lanes? Those with the same balance are run once.

    Parameters
    ----------
    parts : sets of lanes of one window
    years : weather of each year's shoots, see `run`
    threads : see `run`

    Returns
    -------
    (seasons, balances) : for each set a Seasons for each year, and how many seasons of how many lanes were run.

    Raises
    ------
    Missing, OutOfRange : as `run`.
    ValueError : the windows of the sets differ, or there is none.

    Notes
    -----
    Two sets share a run where all that enters the balance is equal in every lane.

    References
    ----------
    As `run`.

    Examples
    --------
    >>> from rootcase.science.tree.parameters import central_parameters
    >>> from rootcase.science.tree.site import Site
    >>> lawn = Site(sand=0.4, clay=0.2, organic_matter_pct=3.0, surface_resistance_mpa=1.0, refusal_depth_m=0.4,
    ...             turf=1.0, ece_ds_m=0.4, sar=1.0, ph=6.2, trunk_diameter_m=0.4, crown_radius_m=5.0,
    ...             salt_threshold_ds_m=2.0, salt_slope_pct=14.0, lock_up_per_ph=0.03)
    >>> days = np.arange(np.datetime64("2013-01-01"), np.datetime64("2014-07-01"))
    >>> doy = (days - days.astype("datetime64[Y]")).astype(int) + 1
    >>> warm = 12.0 - 12.0 * np.cos(2.0 * np.pi * doy / 365.0)
    >>> weather = DailyWeather(year=days.astype("datetime64[Y]").astype(int) + 1970, day_of_year=doy, t_min_c=warm,
    ...                        t_max_c=warm, rain_mm=np.where(doy % 7 == 0, 14.0, 0.0), et0_mm=warm / 5.0)
    >>> lanes = lanes_of(lawn, central_parameters())
    >>> seasons, balances = run_each([lanes, lanes], [weather], threads=1)
    >>> seasons[0][0].spring == seasons[1][0].spring, balances
    (array([ True]), 1)
    """
    keys = [_balance(part) for part in parts]
    once = dict(zip(keys, parts, strict=True))
    stacked = stack(list(once.values()))
    ends = np.cumsum([part.count for part in once.values()])[:-1]
    found: dict[tuple[bytes, ...], list[Seasons]] = {key: [] for key in once}
    for weather in years:
        every = run(stacked, weather, threads)
        for key, spring, bud_set in zip(once, np.split(every.spring, ends), np.split(every.bud_set, ends),
                                        strict=True):
            found[key].append(Seasons(spring, bud_set))
    return [found[key] for key in keys], stacked.count * len(years)


def _balance(lanes: Lanes) -> tuple[bytes, ...]:
    return tuple(np.ascontiguousarray(getattr(lanes, field.name)).tobytes() for field in fields(Lanes)
                 if field.name not in OUTSIDE_BALANCE)


def combine(spring: Array, bud_set: Array, lanes: Lanes, parameters: Parameters) -> Array:
    """How much does a tree grow with this spring after that summer, given its nitrogen and lime?

    Parameters
    ----------
    spring : (draws,), this spring's elongation. 0 to 1
    bud_set : (draws,), last summer's transpiration, possibly of another state of the ground. 0 to 1
    lanes : the state of the ground the shoots grow in, for nitrogen and lime
    parameters : the draws

    Returns
    -------
    growth index, (draws,).

    Raises
    ------
    OutOfRange : a share leaves its range.

    Notes
    -----
    W = S B^w, both at least .001; G from W, nitrogen and lime. Section 1.10 of docs/model.md.

    References
    ----------
    JUDGEMENT.

    Examples
    --------
    >>> from rootcase.science.tree.parameters import central_parameters
    >>> from rootcase.science.tree.site import Site, forest_floor
    >>> lawn = Site(sand=0.4, clay=0.2, organic_matter_pct=3.0, surface_resistance_mpa=1.0, refusal_depth_m=0.4,
    ...             turf=1.0, ece_ds_m=0.4, sar=1.0, ph=6.2, trunk_diameter_m=0.4, crown_radius_m=5.0,
    ...             salt_threshold_ds_m=2.0, salt_slope_pct=14.0, lock_up_per_ph=0.03)
    >>> from rootcase.science.tree.lanes import lanes_of
    >>> lanes = lanes_of(lawn, central_parameters())
    >>> round(float(combine(np.array([0.8]), np.array([1.0]), lanes, central_parameters())[0]), 3)
    0.8
    """
    least = fixed("least_growth")
    water = np.maximum(spring, least) * np.maximum(bud_set, least) ** parameters.bud_set_weight
    return growth_index(water, lanes.nitrogen_ratio, lanes.lock_up)


def growth(site: Site, parameters: Parameters, weather: DailyWeather, threads: int) -> Growth:
    """How much does a tree grow on this ground in this weather?

    Parameters
    ----------
    site : the ground and the tree
    parameters : the draws
    weather : see `run`
    threads : see `run`

    Returns
    -------
    Growth, arrays (draws,).

    Raises
    ------
    Missing : the weather ends before the shoots do.
    OutOfRange : an input leaves the range of a formula.

    Notes
    -----
    Only ratios of growth indices mean something.

    References
    ----------
    As `combine`.

    Examples
    --------
    >>> from rootcase.science.tree.parameters import central_parameters
    >>> from rootcase.science.tree.site import Site, forest_floor
    >>> lawn = Site(sand=0.4, clay=0.2, organic_matter_pct=3.0, surface_resistance_mpa=1.0, refusal_depth_m=0.4,
    ...             turf=1.0, ece_ds_m=0.4, sar=1.0, ph=6.2, trunk_diameter_m=0.4, crown_radius_m=5.0,
    ...             salt_threshold_ds_m=2.0, salt_slope_pct=14.0, lock_up_per_ph=0.03)
    >>> days = np.arange(np.datetime64("2013-01-01"), np.datetime64("2014-07-01"))
    >>> doy = (days - days.astype("datetime64[Y]")).astype(int) + 1
    >>> warm = 12.0 - 12.0 * np.cos(2.0 * np.pi * doy / 365.0)
    >>> weather = DailyWeather(year=days.astype("datetime64[Y]").astype(int) + 1970, day_of_year=doy, t_min_c=warm,
    ...                        t_max_c=warm, rain_mm=np.where(doy % 7 == 0, 14.0, 0.0), et0_mm=warm / 5.0)
    >>> there = growth(forest_floor(lawn), central_parameters(), weather, threads=1)
    >>> here = growth(lawn, central_parameters(), weather, threads=1)
    >>> bool(here.index[0] < there.index[0])
    True
    """
    lanes = lanes_of(site, parameters)
    seasons = run(lanes, weather, threads)
    return Growth(combine(seasons.spring, seasons.bud_set, lanes, parameters), *seasons)
