"""How sure a mix's figures are, from the spread of what goes into it."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from rootcase.science.compost.material import MOST_CARBON_PCT, MOST_NITROGEN_PCT, Material
from rootcase.science.compost.mix import mix_carbon_nitrogen, mix_moisture_pct
from rootcase.science.inference.beyond import NINE_IN_TEN
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table


class Spread(NamedTuple):
    """A material's middle and the ends of the middle 90 % of its batches."""

    low: Material
    middle: Material
    high: Material


class MixInterval(NamedTuple):
    """5, 50 and 95 % of what the mix may be."""

    moisture_pct: tuple[float, float, float]
    carbon_nitrogen: tuple[float, float, float]


def unmeasured(middle: Material) -> Spread:
    """The spread to take where a source or a label gives one figure and nobody measured.

    Parameters
    ----------
    middle : scalars or arrays. [%]

    Returns
    -------
    Spread : low, middle and high. [%]

    Raises
    ------
    OutOfRange : moisture outside 0 to 100.

    Notes
    -----
    Nitrogen and carbon by a factor, moisture by points. Where a laboratory or an oven measured, give its own spread:
    that narrows the answer most.

    References
    ----------
    Table compost/unmeasured_spread (JUDGEMENT, beside the ranges printed for straws, hay and chips).

    Examples
    --------
    >>> spread = unmeasured(Material(38.0, 48.6, 0.9))
    >>> [round(float(end), 3) for end in spread.low], [round(float(end), 3) for end in spread.high]
    ([28.0, 43.74, 0.585], [48.0, 53.46, 1.395])
    """
    wet = within("moisture_pct", middle.moisture_pct, 0.0, 100.0, "%")
    rules = table("compost/unmeasured_spread")
    ends = []
    for end in ("low", "high"):
        points, carbon, nitrogen = (rules.row(quantity=name)[end]
                                    for name in ("moisture_points", "carbon_factor", "nitrogen_factor"))
        ends.append(Material(np.where(wet < 100.0, np.clip(wet + points, 0.5, 99.5), wet),
                             np.minimum(np.asarray(middle.carbon_pct) * carbon, MOST_CARBON_PCT),
                             np.minimum(np.asarray(middle.nitrogen_pct) * nitrogen, MOST_NITROGEN_PCT)))
    return Spread(ends[0], middle, ends[1])


def mix_interval(mass_kg: Numbers, spread: Spread, generator: np.random.Generator, draws: int = 4000) -> MixInterval:
    """Between what do the moisture and the carbon to nitrogen of a mix lie?

    Parameters
    ----------
    mass_kg : (materials,) wet mass. [kg], >= 0, not all 0
    spread : its fields (materials,)
    generator : of the draws
    draws : how many, 100 to 100,000

    Returns
    -------
    MixInterval : 5, 50 and 95 % of each.

    Raises
    ------
    OutOfRange : a value leaves its range, or an end is not beside its middle.

    Notes
    -----
    Moisture is drawn on the scale of log odds, carbon and nitrogen on that of logs, each half by its own end. Carbon
    and nitrogen are drawn, and not the ratio: where both ends of a range are printed, carbon hardly moves and a wide
    ratio is a wide nitrogen. Masses are taken as weighed; a bucket guessed is a further error, not in here.

    References
    ----------
    JUDGEMENT: shapes of the spreads. Carbon at the ends of ranges: table compost/feedstocks (computed).

    Examples
    --------
    >>> grass_and_leaves = unmeasured(Material([77.0, 35.0], [45.0, 50.0], [2.4, 0.75]))
    >>> found = mix_interval([10.0, 6.8], grass_and_leaves, np.random.default_rng(1))
    >>> [round(end) for end in found.moisture_pct], [round(end) for end in found.carbon_nitrogen]
    ([53, 60, 67], [25, 36, 53])
    """
    within("draws", draws, 100, 100_000, "")
    mass = within("mass_kg", mass_kg, 0.0, 1e9, "kg")
    drawn = (generator.standard_normal((draws, mass.size)) for _ in range(3))
    wet, carbon, nitrogen = (
        _drawn(next(drawn), [np.asarray(end[at], dtype=np.float64) for end in spread], odds=at == 0) for at in range(3))
    material = Material(wet, np.minimum(carbon, MOST_CARBON_PCT), np.minimum(nitrogen, MOST_NITROGEN_PCT))
    return MixInterval(_ends(mix_moisture_pct(mass, wet)), _ends(mix_carbon_nitrogen(mass, material)))


def _drawn(normal: Lanes, ends: list[Lanes], *, odds: bool) -> Lanes:
    """A figure that is nothing or all (water's) has no spread."""
    low, middle, high = ends
    within("middle above the low end", middle - low, 0.0, np.inf, "%")
    within("high end above the middle", high - middle, 0.0, np.inf, "%")
    fixed = (low == high) | (middle <= 0)
    low, middle, high = (np.where(fixed, 50.0, end) for end in (low, middle, high))

    def scale(percent: Lanes) -> Lanes:
        return np.log(percent / (100.0 - percent)) if odds else np.log(percent)

    side = np.where(normal < 0, scale(middle) - scale(low), scale(high) - scale(middle))
    at = scale(middle) + normal / NINE_IN_TEN * side
    figure = 100.0 / (1.0 + np.exp(-at)) if odds else np.exp(at)
    return np.where(fixed, ends[1], figure)


def _ends(figures: Lanes) -> tuple[float, float, float]:
    low, middle, high = np.quantile(figures, (0.05, 0.5, 0.95)).tolist()
    return low, middle, high
