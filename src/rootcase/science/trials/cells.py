"""Readings of a trial as means of a tree and year, which tell all that its readings tell of what was done to trees."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from rootcase.ground.errors import OutOfRange

Floats = npt.NDArray[np.float64]
Integers = npt.NDArray[np.int64]

NO_SPREAD = 1e-18
"""Share of the squares of all readings under which what is left of them is rounding. JUDGEMENT."""


@dataclass(frozen=True, slots=True)
class Cells:
    """Trees by years, trees of a site beside each other; what was not read has count 0, mean 0 and design 0."""

    site: Integers
    """(trees,) number of each tree's site, rising from 0 without a gap."""
    mean: Floats
    """(trees, years) of the readings of a tree in a year. [unit of the readings]"""
    count: Floats
    """(trees, years) readings."""
    design: Floats
    """(trees, years, effects) columns of the fixed effects."""
    within_square: float
    """Squares of the readings around their means, summed. [unit squared]"""

    @property
    def readings(self) -> int:
        return int(self.count.sum())

    @property
    def effects(self) -> int:
        return int(self.design.shape[2])

    @property
    def first_tree(self) -> Integers:
        """(sites,) where each site's trees begin."""
        return np.flatnonzero(np.r_[True, np.diff(self.site) > 0])


def cells_of(site: Integers, tree: Integers, year: Integers, reading: Floats, design: Floats) -> Cells:
    """Means of each tree and year, with how many readings are in them.

    Parameters
    ----------
    site, tree, year : (readings,) numbers or names of each reading's site, tree and year; a tree stands at one site.
    reading : (readings,) finite. [any unit]
    design : (readings, effects) columns of the fixed effects, the same for all readings of a tree and year.

    Returns
    -------
    Cells. [unit of the readings]

    Raises
    ------
    OutOfRange : no reading, one that is no number, a tree at two sites, a design that differs inside a tree and year.

    Notes
    -----
    Where all that is asked about is the same for every reading of a tree and year, their mean, count and squares around
    it are sufficient: the likelihood of all readings is that of the means times one of the squares. Where readings of a
    tree and year are alike throughout, as where one figure was typed for each, they are one reading.

    References
    ----------
    None: arithmetic of the normal distribution.

    Examples
    --------
    >>> two = cells_of(np.array([0, 0, 0]), np.array([4, 4, 7]), np.array([2024, 2024, 2024]),
    ...                np.array([10.0, 14.0, 9.0]), np.ones((3, 1)))
    >>> two.mean.tolist(), two.count.tolist(), two.within_square
    ([[12.0], [9.0]], [[2.0], [1.0]], 8.0)
    """
    if reading.size == 0 or not np.isfinite(reading).all():
        raise OutOfRange("readings of a trial", value=f"{reading.size} readings",
                         right="at least one is needed, and each must be a number")
    trees, first, tree_no = np.unique(tree, return_index=True, return_inverse=True)
    years, year_no = np.unique(year, return_inverse=True)
    elsewhere = np.flatnonzero(site[first][tree_no] != site)
    if elsewhere.size:
        raise OutOfRange("a tree stands at one site", value=f"tree {trees[tree_no[elsewhere[0]]]} at two",
                         right="name its trees apart")
    of_tree = np.unique(site[first], return_inverse=True)[1]
    order = np.argsort(of_tree, kind="stable")
    place = np.empty_like(order)
    place[order] = np.arange(order.size)
    cell = place[tree_no] * years.size + year_no
    size = trees.size * years.size
    count = np.bincount(cell, minlength=size).astype(float)
    mean = np.bincount(cell, reading, size) / np.maximum(count, 1.0)
    within = reading - mean[cell]
    square = float(within @ within)
    if square <= NO_SPREAD * float(reading @ reading):
        count, square = np.minimum(count, 1.0), 0.0
    one = np.zeros((size, design.shape[1]))
    one[cell] = design
    if not np.array_equal(one[cell], design):
        raise OutOfRange("a fixed effect differs inside a tree and year", right="it must be the same for its readings")
    shape = (trees.size, years.size)
    return Cells(of_tree[order].astype(np.int64), mean.reshape(shape), count.reshape(shape),
                 one.reshape(*shape, design.shape[1]), square)
