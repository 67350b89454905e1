"""Whether a trial could see what it is made for: power, trees needed, and the least difference that would show."""

from __future__ import annotations

from collections.abc import Callable
from math import asin, ceil, sqrt
from typing import Literal

from scipy.optimize import brentq
from scipy.stats import f as fisher
from scipy.stats import ncf, nct, norm
from scipy.stats import t as student

from rootcase.ground.errors import OutOfRange, require_range

MOST_TREES = 1e6
"""Of one arm; what would take more is not a trial."""


def sd_of_change(tree_year_sd: float, shoot_sd: float, shoots: float, years_before: float, years_after: float) -> float:
    """How far a tree's change from before to after strays, where nothing is done to it.

    Parameters
    ----------
    tree_year_sd : spread of a tree's years around the tree, >= 0. [unit of the readings]
    shoot_sd : spread of shoots around their tree and year, >= 0. [its unit]
    shoots : read on a tree in a year, above 0. [-]
    years_before, years_after : read, above 0. [years]

    Returns
    -------
    Standard deviation of after less before. [its unit]

    Raises
    ------
    OutOfRange : an argument outside its range.

    Notes
    -----
    What a tree keeps over the years and what a site's years share is gone from the difference of two trees of one site.
    More shoots narrow the second spread only.

    References
    ----------
    None: variances of independent sums.

    Examples
    --------
    >>> round(sd_of_change(1.2, 4.0, 6, 1, 1), 6)
    2.865891
    """
    for name, value in (("tree-year spread", tree_year_sd), ("shoot spread", shoot_sd)):
        require_range(name, value, 0.0, 1e9, "")
    for name, value in (("shoots of a tree", shoots), ("years before", years_before), ("years after", years_after)):
        require_range(name, value, 1e-9, 1e6, "")
    return sqrt((tree_year_sd**2 + shoot_sd**2 / shoots) * (1.0 / years_before + 1.0 / years_after))


def power_of_arms(difference: float, sd: float, treated: float, untreated: float, risk: float = 0.05,
                  sides: Literal[1, 2] = 2, blocks: int = 1) -> float:
    """Chance that a t test of two arms sees a difference that is there.

    Parameters
    ----------
    difference : between the arms. [any unit]
    sd : spread of one tree inside its arm, above 0. [its unit]
    treated, untreated : trees of each arm, above 0 and together more than blocks + 1; need not be whole. [-]
    risk : of seeing one where there is none, between 0 and 1. [-]
    sides : 2, or 1 for a difference upward only.
    blocks : sites that are compared inside themselves, 1 and up. [-]

    Returns
    -------
    Power. [-]

    Raises
    ------
    OutOfRange : an argument outside its range, too few trees.

    Notes
    -----
    Both tails count with 2 sides, so that power at no difference is the risk.

    References
    ----------
    Cohen 1988, Statistical Power Analysis for the Behavioral Sciences, ch. 2 (memory).

    Examples
    --------
    >>> round(power_of_arms(1.0, 1.0, 20, 20), 7)
    0.868953
    >>> round(power_of_arms(2.0, 2.5, 24, 24, blocks=6), 6)
    0.772135
    """
    require_range("spread", sd, 1e-12, 1e12, "")
    require_range("risk", risk, 1e-9, 1.0 - 1e-9, "")
    require_range("sites", blocks, 1, MOST_TREES, "")
    freedom = treated + untreated - blocks - 1
    if min(treated, untreated) <= 0 or freedom <= 0:
        raise OutOfRange("too few trees to compare two arms", value=f"{treated:g} and {untreated:g} trees",
                         right=f"together more than {blocks + 1}")
    away = difference / (sd * sqrt(1.0 / treated + 1.0 / untreated))
    return _beyond(away, freedom, risk, sides)


def power_of_pairs(difference: float, sd: float, pairs: float, risk: float = 0.05, sides: Literal[1, 2] = 2) -> float:
    """Chance that a t test of pairs sees a difference that is there.

    Parameters
    ----------
    difference : inside a pair. [any unit]
    sd : spread of the pairs' differences, above 0. [its unit]
    pairs : more than 1; need not be whole. [-]
    risk : of seeing one where there is none, between 0 and 1. [-]
    sides : 2, or 1 for a difference upward only.

    Returns
    -------
    Power. [-]

    Raises
    ------
    OutOfRange : an argument outside its range.

    Notes
    -----
    None.

    References
    ----------
    Cohen 1988, Statistical Power Analysis for the Behavioral Sciences, ch. 2 (memory).

    Examples
    --------
    >>> round(power_of_pairs(0.7, 1.0, 15), 7)
    0.7129024
    """
    require_range("spread", sd, 1e-12, 1e12, "")
    require_range("pairs", pairs, 1.0 + 1e-9, MOST_TREES, "")
    require_range("risk", risk, 1e-9, 1.0 - 1e-9, "")
    return _beyond(difference / sd * sqrt(pairs), pairs - 1.0, risk, sides)


def _beyond(away: float, freedom: float, risk: float, sides: int) -> float:
    """Chance that t with a noncentrality lies beyond its limits of no effect."""
    limit = float(student.isf(risk / sides, freedom))
    mirrored = float(nct.sf(limit, freedom, -away)) if sides == 2 else 0.0  # its lower tail is no number far off
    return float(nct.sf(limit, freedom, away)) + mirrored


def power_of_several(size: float, arms: int, trees: float, risk: float = 0.05) -> float:
    """Chance that an F test of several arms sees that they differ.

    Parameters
    ----------
    size : spread of the arms' means over the spread of one tree, >= 0. [-]
    arms : 2 and up. [-]
    trees : of each arm, more than 1. [-]
    risk : of seeing one where there is none, between 0 and 1. [-]

    Returns
    -------
    Power. [-]

    Raises
    ------
    OutOfRange : an argument outside its range.

    Notes
    -----
    None.

    References
    ----------
    Cohen 1988, Statistical Power Analysis for the Behavioral Sciences, ch. 8 (memory).

    Examples
    --------
    >>> round(power_of_several(0.4, 4, 6), 7)
    0.2892128
    """
    require_range("size of the differences", size, 0.0, 1e6, "")
    require_range("arms", arms, 2, 1e4, "")
    require_range("trees of an arm", trees, 1.0 + 1e-9, MOST_TREES, "")
    require_range("risk", risk, 1e-9, 1.0 - 1e-9, "")
    between, within = arms - 1, arms * (trees - 1)
    return float(ncf.sf(fisher.isf(risk, between, within), between, within, size**2 * arms * trees))


def power_of_shares(one: float, other: float, trees: float, risk: float = 0.05,
                    by: Literal["normal", "arcsine"] = "normal") -> float:
    """Chance that two arms of trees are seen to differ in a share, such as of those that died.

    Parameters
    ----------
    one, other : shares of the arms, between 0 and 1. [-]
    trees : of each arm, above 0. [-]
    risk : of seeing one where there is none, between 0 and 1. [-]
    by : `normal` compares shares with the pooled spread; `arcsine` the angles of the shares.

    Returns
    -------
    Power. [-]

    Raises
    ------
    OutOfRange : an argument outside its range.

    Notes
    -----
    The two customs differ by about a hundredth; the normal one counts the near tail.

    References
    ----------
    Fleiss, Levin and Paik 2003, Statistical Methods for Rates and Proportions, ch. 4 (memory), for `normal`; Cohen
    1988, Statistical Power Analysis for the Behavioral Sciences, ch. 6 (memory), for `arcsine`.

    Examples
    --------
    >>> round(power_of_shares(0.2, 0.5, 30), 7), round(power_of_shares(0.2, 0.5, 30, by="arcsine"), 7)
    (0.691981, 0.7027469)
    """
    for name, value in (("share of one arm", one), ("share of the other", other), ("risk", risk)):
        require_range(name, value, 1e-9, 1.0 - 1e-9, "")
    require_range("trees of an arm", trees, 1e-9, MOST_TREES, "")
    limit = float(norm.isf(risk / 2.0))
    if by == "arcsine":
        away = abs(2.0 * asin(sqrt(one)) - 2.0 * asin(sqrt(other))) * sqrt(trees / 2.0)
        return float(norm.sf(limit - away) + norm.cdf(-limit - away))
    middle = (one + other) / 2.0
    pooled, own = sqrt(2.0 * middle * (1.0 - middle)), sqrt(one * (1.0 - one) + other * (1.0 - other))
    return float(norm.cdf((abs(one - other) * sqrt(trees) - limit * pooled) / own))


def trees_of_each_arm(spread: float, difference: float, power: float = 0.8, risk: float = 0.05) -> int:
    """How many trees must each of two arms have, treated and untreated, for a difference to be seen?

    Parameters
    ----------
    spread : standard deviation between trees of one arm over their mean. [-], 0.001 to 5
    difference : to be seen, over the same mean. [-], 0.001 to 5
    power : chance that it is seen. [-], 0.5 to 0.999
    risk : of seeing one where there is none. [-], 0.0001 to 0.5

    Returns
    -------
    trees of one arm, the next whole number up. [trees]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The normal approximation: where it says under 10, take one or two trees more. Each tree's ratio to its own years
    before makes the spread smaller. `power_of_arms` is exact for arms of a known size.

    References
    ----------
    n = 2 (z_a + z_b)^2 CV^2 / d^2 (computed).

    Examples
    --------
    >>> trees_of_each_arm(0.25, 0.2), trees_of_each_arm(0.25, 0.5)
    (25, 4)
    """
    for name, value in (("spread", spread), ("difference", difference)):
        require_range(name, value, 0.001, 5.0, "")
    require_range("power", power, 0.5, 0.999, "")
    require_range("risk", risk, 0.0001, 0.5, "")
    away = float(norm.isf(risk / 2.0) + norm.ppf(power))
    return ceil(2.0 * (away * spread / difference) ** 2 - 1e-9)


def trees_for_power(power_with: Callable[[float], float], wanted: float, blocks: int = 1) -> float:
    """Least number of trees that gives a power.

    Parameters
    ----------
    power_with : power of a number of trees, rising, such as `lambda n: power_of_arms(1.0, 1.0, n, n)`.
    wanted : power, between 0 and 1. [-]
    blocks : sites that are compared inside themselves, 1 and up. [-]

    Returns
    -------
    Trees, not rounded; infinite where a million would not do. [-]

    Raises
    ------
    OutOfRange : a power outside 0 to 1.

    Notes
    -----
    Sought from the least that two arms of so many sites can have: half a tree a site, and one.

    References
    ----------
    None: a root of the power.

    Examples
    --------
    >>> round(trees_for_power(lambda n: power_of_arms(1.0, 1.0, n, n), 0.9), 4)
    22.0211
    """
    require_range("power", wanted, 1e-6, 1.0 - 1e-6, "")
    least = blocks / 2.0 + 1.0
    if power_with(least) >= wanted:
        return least
    most = 4.0 * least
    while power_with(most) < wanted:
        most *= 2.0
        if most > MOST_TREES:
            return float("inf")
    return float(brentq(lambda trees: power_with(trees) - wanted, least, most, xtol=1e-9))


def least_difference(power_of: Callable[[float], float], wanted: float, sd: float) -> float:
    """Least difference that a trial would see with a power.

    Parameters
    ----------
    power_of : power at a difference, rising, such as `lambda d: power_of_arms(d, 3.0, 10, 10)`.
    wanted : power, between 0 and 1 and over the power at none. [-]
    sd : a spread to begin from, above 0. [unit of the difference]

    Returns
    -------
    Difference. [its unit]

    Raises
    ------
    OutOfRange : a power or spread outside its range.

    Notes
    -----
    A smaller one may be there: it is what the trial cannot tell from nothing.

    References
    ----------
    None: a root of the power.

    Examples
    --------
    >>> round(least_difference(lambda d: power_of_arms(d, 3.0, 10, 10), 0.8, 3.0), 6)
    3.974842
    """
    require_range("power", wanted, 1e-6, 1.0 - 1e-6, "")
    require_range("spread", sd, 1e-12, 1e12, "")
    if power_of(0.0) >= wanted:
        raise OutOfRange("power asked for is no more than the risk", value=f"{wanted:g}",
                         right="ask for more than the chance of seeing what is not there")
    most = sd
    while power_of(most) < wanted:
        most *= 2.0
    return float(brentq(lambda difference: power_of(difference) - wanted, 0.0, most, xtol=1e-12))
