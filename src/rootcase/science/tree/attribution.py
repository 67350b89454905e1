"""How much of the yardstick's growth each limit takes: exact Shapley over the limits, Owen inside water."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from rootcase.science.inference.shapley import owen_values, shapley_values
from rootcase.science.tree.fixed import Array
from rootcase.science.tree.ground import Ground, ground_of
from rootcase.science.tree.growth import combine, run_each
from rootcase.science.tree.lanes import lanes_from
from rootcase.science.tree.parameters import Parameters
from rootcase.science.tree.season import DailyWeather
from rootcase.science.tree.site import Site

LIMITS = ("strength", "air", "water", "salt", "nutrition", "establishment")
WATER_PARTS = ("turf", "sealing", "rest")
PLAYERS = ("strength", "air", "turf", "sealing", "rest", "salt", "nutrition", "establishment")
"""The limits, water by its parts: what `mixed` switches."""

Coalition = frozenset[str]


@dataclass(frozen=True, slots=True)
class Attribution:
    """Forward attribution, draw by draw; losses are positive, gains over the yardstick negative."""

    share: Array
    """(draws,) growth over the yardstick's."""
    loss: Array
    """(6, draws) in the order of LIMITS; sums to 1 - share in every draw."""
    water_parts: Array
    """(3, draws of the split) turf, sealing, rest; sums to water's loss in those draws."""
    same: tuple[str, ...]
    """Limits whose inputs are the yardstick's in every draw: their loss is exactly 0."""
    balances: int
    """How many seasons of how many lanes were run for it."""


def mixed(tree: Ground, yardstick: Ground, from_tree: Coalition) -> Ground:
    """The ground on which only the named limits are the tree's.

    Parameters
    ----------
    tree, yardstick : inputs sorted by limit
    from_tree : which of PLAYERS are the tree's; water counts by its parts

    Returns
    -------
    Ground.

    Raises
    ------
    Nothing.

    Notes
    -----
    Section 2 of docs/model.md.

    References
    ----------
    JUDGEMENT: which input belongs to which limit.

    Examples
    --------
    >>> from rootcase.science.tree.parameters import central_parameters
    >>> from rootcase.science.tree.site import Site, forest_floor
    >>> lawn = Site(sand=0.4, clay=0.2, organic_matter_pct=3.0, surface_resistance_mpa=1.0, refusal_depth_m=0.4,
    ...             turf=1.0, ece_ds_m=0.4, sar=1.0, ph=6.2, trunk_diameter_m=0.4, crown_radius_m=5.0,
    ...             salt_threshold_ds_m=2.0, salt_slope_pct=14.0, lock_up_per_ph=0.03)
    >>> here, there = (ground_of(site, central_parameters()) for site in (lawn, forest_floor(lawn)))
    >>> float(mixed(here, there, frozenset({"turf"})).turf.turf[0])
    1.0
    """
    return replace(yardstick, **{player: getattr(tree, player) for player in PLAYERS if player in from_tree})


def attribute(tree: Site, yardstick: Site, parameters: Parameters, years: Sequence[DailyWeather], threads: int,
              split_draws: int = 250) -> Attribution:
    """How much of the yardstick's growth does each limit take?

    Parameters
    ----------
    tree : the ground as it is, with its readings' errors drawn
    yardstick : the same tree on the ground it is compared with, see `forest_floor`
    parameters : the draws
    years : weather of each year's shoots, at least one, see `run_each`
    threads : see `run_each`
    split_draws : how many of the first draws the split of water uses

    Returns
    -------
    Attribution. [shares of the yardstick's growth]

    Raises
    ------
    Missing : the weather ends before the shoots do.
    OutOfRange : an input leaves the range of a formula.

    Notes
    -----
    Every combination of limits is run, but those whose inputs agree in all draws drop out, and nutrition needs no run
    of its own. Over several years a share is the geometric mean of the years', as shoots are compared. Water's parts:
    an Owen value, freed ground becoming litter. Section 2 of docs/model.md.

    References
    ----------
    See `shapley_values` and `owen_values`.

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
    >>> result = attribute(lawn, forest_floor(lawn), central_parameters(), [weather], threads=1)
    >>> round(float(result.loss.sum() + result.share[0]), 12), result.same
    (1.0, ('salt', 'establishment'))
    """
    sides = _Sides(ground_of(tree, parameters), ground_of(yardstick, parameters), parameters)
    limits = sides.differing(LIMITS)
    coalitions = _coalitions(limits)
    grown, balances = _grown(sides, [frozenset(), *coalitions], years, threads)
    loss = np.zeros((len(LIMITS), parameters.draws))
    worth = _worth(grown, coalitions)
    loss[[LIMITS.index(limit) for limit in limits]] = -shapley_values(worth)

    few = min(split_draws, parameters.draws)
    first = {coalition: growth[:, :few] for coalition, growth in grown.items()}
    parts, more = _split_water(sides.first(few), limits, first, years, threads)
    return Attribution(share=worth[-1], loss=loss, water_parts=parts, balances=balances + more,
                       same=tuple(limit for limit in LIMITS if limit not in limits))


@dataclass(frozen=True, slots=True)
class _Sides:
    tree: Ground
    yardstick: Ground
    parameters: Parameters

    def first(self, draws: int) -> _Sides:
        return _Sides(self.tree.first(draws), self.yardstick.first(draws), self.parameters.first(draws))

    def differing(self, players: tuple[str, ...]) -> tuple[str, ...]:
        """Those whose inputs are not the same on both sides in all draws."""
        return tuple(player for player in players if any(
            not np.array_equal(ours, theirs) for part in _parts(player)
            for ours, theirs in zip(getattr(self.tree, part), getattr(self.yardstick, part), strict=True)))


def _parts(limit: str) -> tuple[str, ...]:
    return WATER_PARTS if limit == "water" else (limit,)


def _coalitions(players: tuple[str, ...]) -> list[Coalition]:
    """Every coalition, that of mask m at place m, as PLAYERS."""
    return [frozenset(part for bit, player in enumerate(players) if mask >> bit & 1 for part in _parts(player))
            for mask in range(1 << len(players))]


def _grown(sides: _Sides, coalitions: Iterable[Coalition], years: Sequence[DailyWeather],
           threads: int) -> tuple[dict[Coalition, Array], int]:
    """Growth of each coalition in each year (years, draws), and how many balances that took."""
    states = {coalition: lanes_from(mixed(sides.tree, sides.yardstick, coalition), sides.parameters)
              for coalition in coalitions}
    # Nutrition does not enter the water balance: coalitions that differ in it alone share a run.
    runs = {coalition - {"nutrition"}: state for coalition, state in states.items()}
    seasons, balances = run_each(list(runs.values()), years, threads)
    of = dict(zip(runs, seasons, strict=True))
    return {coalition: np.stack([combine(spring, bud_set, state, sides.parameters)
                                 for spring, bud_set in of[coalition - {"nutrition"}]])
            for coalition, state in states.items()}, balances


def _worth(grown: Mapping[Coalition, Array], coalitions: Iterable[Coalition]) -> Array:
    """Growth of each coalition over that of the yardstick (coalitions, draws)."""
    nobody = grown[frozenset()]
    return np.stack([np.prod(grown[coalition] / nobody, axis=0) ** (1.0 / len(nobody)) for coalition in coalitions])


def _split_water(sides: _Sides, limits: tuple[str, ...], known: Mapping[Coalition, Array],
                 years: Sequence[DailyWeather], threads: int) -> tuple[Array, int]:
    """Loss of each of water's parts (3, draws), on the draws of `sides`, and how many balances that took."""
    loss = np.zeros((len(WATER_PARTS), sides.parameters.draws))
    if "water" not in limits:
        return loss, 0
    parts = sides.differing(WATER_PARTS)
    others = _coalitions(tuple(limit for limit in limits if limit != "water"))
    # All of water's parts together are the whole of water, even where one of them is the same on both sides.
    same = frozenset(WATER_PARTS) - frozenset(parts)
    inner = [some | same if some == frozenset(parts) else some for some in _coalitions(parts)]
    wanted = [outer | some for outer in others for some in inner if outer | some not in known]
    more, balances = _grown(sides, wanted, years, threads) if wanted else ({}, 0)
    grown = {**known, **more}
    grid = np.stack([_worth(grown, [outer | some for some in inner]) for outer in others])
    loss[[WATER_PARTS.index(part) for part in parts]] = -owen_values(grid)
    return loss, balances
