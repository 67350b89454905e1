"""Restricted maximum likelihood of a trial: sites, their years, trees and their years as random effects."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import log, pi
from typing import Literal, get_args

import numpy as np
from scipy.optimize import OptimizeResult, minimize

from rootcase.ground.errors import OutOfRange
from rootcase.science.trials.cells import NO_SPREAD, Cells, Floats

Term = Literal["site", "site_year", "tree", "tree_year"]
TERMS: tuple[Term, ...] = get_args(Term)
OUTSIDE: dict[Term, tuple[Term, ...]] = {"site": (), "site_year": ("site",), "tree": ("site",),
                                         "tree_year": ("site", "site_year", "tree")}
"""What holds each whole."""


@dataclass(frozen=True, slots=True)
class Profile:
    """What given spreads say of the effects; variances are over the residual's."""

    log_determinants: float
    """Of the readings' covariance and of the effects' information."""
    square: float
    """Weighted squares that are left. [unit squared]"""
    freedom: int
    effects: Floats
    unscaled: Floats
    """Covariance of the effects over the residual variance."""
    trace: Floats
    """(terms,) of the inverse covariance times the term's part of it."""
    reach: Floats
    """(terms, effects, effects) the term's part of the covariance, as the effects see it."""
    left: Floats
    """(terms,) the same, as what is left of the readings sees it. [unit squared]"""

    @property
    def residual(self) -> float:
        """[unit squared]"""
        return self.square / self.freedom

    @property
    def criterion(self) -> float:
        """-2 log restricted likelihood, the residual variance at its best."""
        tiny = float(np.finfo(float).tiny)
        return self.log_determinants + self.freedom * (1.0 + log(2.0 * pi * max(self.residual, tiny)))

    def slope(self, residual: float) -> Floats:
        """Of -2 log restricted likelihood at a residual variance, by each term's square and by that variance."""
        of_terms: Floats = self.trace - np.einsum("kab,ab->k", self.reach, self.unscaled) - self.left / residual
        return np.append(of_terms, (self.freedom - self.square / residual) / residual)


@dataclass(frozen=True, slots=True)
class Fit:
    """Estimates of one trial."""

    terms: tuple[Term, ...]
    squares: Floats
    """Variance of each term over the residual's, >= 0."""
    profile: Profile

    @property
    def effects(self) -> Floats:
        """[unit of the readings]"""
        return self.profile.effects

    @property
    def covariance(self) -> Floats:
        """Of the effects. [unit squared]"""
        covariance: Floats = self.profile.residual * self.profile.unscaled
        return covariance

    @property
    def variances(self) -> dict[str, float]:
        """Of each term, and of the readings around their tree and year. [unit squared]"""
        residual = self.profile.residual
        return {**{term: float(residual * square) for term, square in zip(self.terms, self.squares, strict=True)},
                "residual": residual}


def profile_of(cells: Cells, terms: Sequence[Term]) -> Callable[[Floats], Profile]:
    """The restricted likelihood of a trial, as a function of each term's variance over the residual's.

    Parameters
    ----------
    cells : means of trees and years.
    terms : random effects beside the residual, each at most once.

    Returns
    -------
    A function of those variances, in the order of the terms, each >= 0. [-]

    Raises
    ------
    OutOfRange : fixed effects that cannot be told apart, or no more readings than effects.

    Notes
    -----
    Everything random lies inside a site, so the covariance falls into a block a site. In a block, what is of a tree and
    year is diagonal, a tree adds one direction (Sherman and Morrison), and site and site-years add one direction a year
    (Woodbury). No matrix larger than the years is ever formed.

    References
    ----------
    Bates, Maechler, Bolker and Walker 2015, Fitting linear mixed-effects models using lme4, J. Stat. Softw. 67(1), Eq.
    39-42, for the criterion with the residual profiled out (memory); Searle, Casella and McCulloch 1992, Variance
    Components, ch. 6, for its slope (memory).

    Examples
    --------
    >>> from rootcase.science.trials.cells import cells_of
    >>> cells = cells_of(np.zeros(4, int), np.array([0, 0, 1, 1]), np.zeros(4, int), np.array([1.0, 3.0, 5.0, 7.0]),
    ...                  np.ones((4, 1)))
    >>> round(profile_of(cells, ["tree"])(np.array([0.0])).residual, 4)  # no trees: the readings' own variance
    6.6667
    """
    freedom, read = cells.readings - cells.effects, cells.count > 0
    if freedom < 1:
        raise OutOfRange("too few readings for the effects asked about", value=f"{cells.readings} readings",
                         right=f"more than {cells.effects} are needed")
    if np.linalg.matrix_rank(cells.design[read]) < cells.effects:
        raise OutOfRange("the effects asked about cannot be told apart",
                         right="each must be seen beside its absence")
    level = float(cells.mean[read].mean())
    shift = np.linalg.lstsq(cells.design[read], np.full(int(read.sum()), level), rcond=None)[0]
    both = np.concatenate([cells.design, np.where(read, cells.mean - level, 0.0)[..., None]], axis=2)

    def profile(squares: Floats) -> Profile:
        blocks = _Blocks(cells, both, dict(zip(terms, squares.tolist(), strict=True)))
        information = blocks.information
        unscaled = np.asarray(np.linalg.inv(information[:-1, :-1]), dtype=float)
        effects = unscaled @ information[:-1, -1]
        square = max(float(information[-1, -1] - effects @ information[:-1, -1]), 0.0) + cells.within_square
        trace, seen = blocks.seen(terms)
        residual_of = np.r_[-effects, 1.0]
        return Profile(blocks.log_determinant + float(np.linalg.slogdet(information[:-1, :-1])[1]), square, freedom,
                       effects + shift, unscaled, trace, seen[:, :-1, :-1],
                       np.einsum("kab,a,b->k", seen, residual_of, residual_of))

    return profile


class _Blocks:
    """The inverse covariance of a trial, block by block, with the fixed effects and readings seen through it."""

    def __init__(self, cells: Cells, both: Floats, square: Mapping[Term, float]) -> None:
        self.begins, self.site = cells.first_tree, cells.site
        of_tree, of_year, of_site = (square.get(term, 0.0) for term in ("tree", "site_year", "site"))
        years = cells.count.shape[1]
        self.weight = cells.count / (1.0 + cells.count * square.get("tree_year", 0.0))
        self.summed = self.weight.sum(axis=1)
        self.shrink = of_tree / (1.0 + of_tree * self.summed)
        across = np.eye(years) if "site_year" in square else np.ones((years, 1 if "site" in square else 0))
        self.ways = self._inside(np.broadcast_to(across, (self.site.size, *across.shape)))
        self.own = np.swapaxes(across.T @ np.add.reduceat(self.ways, self.begins, axis=0), 1, 2)
        shared = of_year * np.eye(across.shape[1]) + of_site if "site_year" in square else np.full(
            (across.shape[1],) * 2, of_site)
        inner = np.eye(across.shape[1]) + self.own @ shared
        self.back = shared @ np.linalg.inv(inner)
        inside = self._inside(both)
        toward = across.T @ np.add.reduceat(inside, self.begins, axis=0)
        self.reached = inside - self.ways @ (self.back @ toward)[self.site]
        flat = both.reshape(-1, both.shape[2])
        self.information = flat.T @ self.reached.reshape(flat.shape)
        self.log_determinant = float(np.log1p(cells.count * square.get("tree_year", 0.0)).sum()
                                     + np.log1p(of_tree * self.summed).sum() + np.linalg.slogdet(inner)[1].sum())

    def _inside(self, columns: Floats) -> Floats:
        """Columns through the inverse of what is of trees and of their years."""
        of_tree = self.shrink[:, None] * np.einsum("ty,tyc->tc", self.weight, columns)
        inside: Floats = self.weight[..., None] * (columns - of_tree[:, None, :])
        return inside

    def seen(self, terms: Sequence[Term]) -> tuple[Floats, Floats]:
        """Of each term: the trace of its part of the covariance, and what fixed effects and readings see of it."""
        by_year = np.add.reduceat(self.reached, self.begins, axis=0)
        summed = {"tree_year": self.reached, "tree": np.einsum("tyc->tc", self.reached), "site_year": by_year,
                  "site": by_year.sum(axis=1)}
        wide = self.reached.shape[2]
        flat = [summed[term].reshape(-1, wide) for term in terms]
        return (np.array([self._trace(term) for term in terms]),
                np.array([each.T @ each for each in flat]).reshape(len(terms), wide, wide))

    def _trace(self, term: Term) -> float:
        back = self.back[self.site]
        if term == "tree_year":
            inside = self.weight - self.shrink[:, None] * self.weight**2
            return float(inside.sum() - ((self.ways @ back) * self.ways).sum())
        if term == "tree":
            ways = np.einsum("tyw->tw", self.ways)
            inside = self.summed - self.shrink * self.summed**2
            return float(inside.sum() - ((ways[:, None, :] @ back)[:, 0, :] * ways).sum())
        own = self.own - self.own @ self.back @ self.own
        return float(own.sum() if term == "site" else np.trace(own, axis1=1, axis2=2).sum())


STARTS = (1.0, 0.05)
"""Variances over the residual's that the search begins with; the second where the first ends with a spread of 0."""
NEAR = 1e-9
"""Variance over the residual's under which a spread is none: nothing that can be read would differ. JUDGEMENT."""
STEP = 1e-4
"""Share of a variance by which slopes are compared for their bend."""
FLAT = 1e-6
"""Change of the criterion with a variance's own size under which no step is worth its look."""
POLISHED = 4
"""Most of Newton's steps after the search."""


def fit_reml(cells: Cells, terms: Sequence[Term] = TERMS) -> Fit:
    """Effects and spreads of a trial by restricted maximum likelihood.

    Parameters
    ----------
    cells : means of trees and years.
    terms : random effects to ask for; those that the trial cannot tell from others are left out.

    Returns
    -------
    Fit. Its terms are those that were kept; a spread can be 0. [unit of the readings]

    Raises
    ------
    OutOfRange : fixed effects that cannot be told apart, no more readings than effects, readings that do not vary.

    Notes
    -----
    The search is for variances, where 0 is an end with a slope and no place to be stuck, each on the scale by which its
    number of groups lets it be known; Newton's steps follow it.

    References
    ----------
    Patterson and Thompson 1971, Recovery of inter-block information when block sizes are unequal, Biometrika
    58:545-554, for the criterion (memory).

    Examples
    --------
    >>> from rootcase.science.trials.cells import cells_of
    >>> y = np.array([1.0, 3.0, 5.0, 7.0])
    >>> fit = fit_reml(cells_of(np.arange(2).repeat(2), np.arange(2).repeat(2), np.zeros(4, int), y, np.ones((4, 1))))
    >>> fit.terms, [round(each, 3) for each in fit.variances.values()]  # (6 - 2)^2 / 2 = 8 between means, 2 within
    (('site',), [7.0, 2.0])
    """
    nothing = NO_SPREAD * float((cells.count * cells.mean**2).sum())
    kept = told_apart(cells, terms)
    profile = profile_of(cells, kept)
    if profile(np.zeros(len(kept))).square <= nothing:
        raise OutOfRange("readings do not vary beyond the effects asked about",
                         right="without a spread there is nothing to compare an effect with")
    if not kept:
        return Fit(kept, np.zeros(0), profile(np.zeros(0)))

    def told(squares: Floats) -> tuple[float, Floats]:
        here = profile(squares)
        return here.criterion, here.slope(here.residual)[:-1]

    scale = 1.0 / np.sqrt([_groups(cells)[term] for term in kept])

    def scaled(shares: Floats) -> tuple[float, Floats]:
        criterion, slope = told(shares * scale)
        return criterion, slope * scale

    def search(start: float) -> OptimizeResult:
        return minimize(scaled, start / scale, jac=True, method="L-BFGS-B", bounds=[(0.0, None)] * len(kept),
                        options={"ftol": 1e-12, "gtol": 1e-6, "maxiter": 200})

    found = search(STARTS[0])
    if (found.x * scale).min() <= NEAR:
        found = min(found, search(STARTS[1]), key=lambda one: float(one.fun))
    squares = _polished(told, np.where(found.x * scale > NEAR, found.x * scale, 0.0))
    return Fit(kept, squares, profile(squares))


def _polished(told: Callable[[Floats], tuple[float, Floats]], squares: Floats) -> Floats:
    """Newton's steps among the variances that are not 0, while they find less."""
    best, slope = told(squares)
    for _ in range(POLISHED):
        free = np.flatnonzero(squares)
        if not free.size or np.abs(slope[free] * squares[free]).max() < FLAT:
            break
        bend = bend_of(lambda some: told(some)[1], squares)[np.ix_(free, free)]
        tried = squares.copy()
        tried[free] = np.maximum(squares[free] - np.linalg.lstsq(bend, slope[free], rcond=None)[0], 0.0)
        now, ahead = told(tried)
        if not now <= best:
            break
        squares, best, slope = tried, now, ahead
    return squares


def bend_of(slope: Callable[[Floats], Floats], at: Floats) -> Floats:
    """Second derivatives of a function by central differences of its slope, among the numbers above 0.

    Parameters
    ----------
    slope : first derivatives of a smooth function.
    at : (n,) where, >= 0.

    Returns
    -------
    (n, n), symmetric; rows and columns of a 0 are 0.

    Raises
    ------
    None: the formulas' own.

    Notes
    -----
    A step is 0.01 % of the number.

    References
    ----------
    None: Taylor's theorem.

    Examples
    --------
    >>> bend_of(lambda v: np.array([2 * v[0] + 3 * v[1], 3 * v[0]]), np.array([1.0, 2.0])).round(6).tolist()
    [[2.0, 3.0], [3.0, 0.0]]
    """
    bend, positive = np.zeros((at.size, at.size)), at > 0.0
    for place in np.flatnonzero(positive):
        away = np.where(np.arange(at.size) == place, STEP * at, 0.0)
        bend[place] = (slope(at + away) - slope(at - away)) / (2.0 * away[place])
    return np.where(positive[:, None] & positive[None, :], (bend + bend.T) / 2.0, 0.0)


def told_apart(cells: Cells, terms: Sequence[Term]) -> tuple[Term, ...]:
    """Those random effects that a trial can tell from each other, the residual and the fixed effects.

    Parameters
    ----------
    cells : means of trees and years.
    terms : random effects asked for.

    Returns
    -------
    Those that are kept, in the order of TERMS.

    Raises
    ------
    None: the formulas' own.

    Notes
    -----
    Left out: what groups the readings as a coarser term or the residual does (tree-years where no tree and year has two
    readings, or trees have one year each; trees where each is a site of its own), and whatever the fixed effects say
    already, as a single site.

    References
    ----------
    None: two equal columns of a design cannot be told apart.

    Examples
    --------
    >>> from rootcase.science.trials.cells import cells_of
    >>> cells = cells_of(np.zeros(4, int), np.array([0, 0, 1, 1]), np.zeros(4, int), np.arange(4.0), np.ones((4, 1)))
    >>> told_apart(cells, TERMS)  # one site, one year
    ('tree',)
    """
    read, groups = cells.count > 0, _groups(cells)
    kept: list[Term] = []
    fixed = cells.design[read]
    for term in TERMS:
        same = [groups[each] for each in (*OUTSIDE[term], "residual") if each == "residual" or each in kept]
        if term in terms and groups[term] not in same and not _said_already(fixed, _numbers(term, cells, read)):
            kept.append(term)
    return tuple(kept)


def _groups(cells: Cells) -> dict[str, int]:
    """How many there are of each term."""
    read = cells.count > 0
    by_year = np.add.reduceat(read, cells.first_tree, axis=0)
    return {"site": cells.first_tree.size, "site_year": int((by_year > 0).sum()), "tree": cells.site.size,
            "tree_year": int(read.sum()), "residual": cells.readings}


def _numbers(term: Term, cells: Cells, read: np.ndarray) -> np.ndarray:
    """Of the group each tree and year that was read is in."""
    tree, year = np.nonzero(read)
    years = read.shape[1]
    of: dict[Term, np.ndarray] = {"site": cells.site[tree], "site_year": cells.site[tree] * years + year, "tree": tree,
                                  "tree_year": tree * years + year}
    return of[term]


def _said_already(fixed: Floats, group: np.ndarray) -> bool:
    """Whether fixed effects span every group's own column; more groups than effects can never be."""
    numbers = np.unique(group, return_inverse=True)[1]
    groups = int(numbers.max()) + 1
    if groups > fixed.shape[1]:
        return False
    own = np.eye(groups)[numbers]
    return bool(np.linalg.matrix_rank(np.hstack([fixed, own])) == fixed.shape[1])
