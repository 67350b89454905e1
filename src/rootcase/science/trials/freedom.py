"""How well a trial knows the spread of its own answer: degrees of freedom by Satterthwaite and by Kenward and Roger."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

import numpy as np
from scipy.stats import t as student

from rootcase.ground.errors import OutOfRange, require_range
from rootcase.science.trials.cells import Cells, Floats
from rootcase.science.trials.reml import Fit, Term, bend_of, profile_of

LEAST_INFORMATION = 1e-8
"""Share of the most: a direction of the spreads that tells less than this is one of which nothing is known."""

FAR_OFF = (1e2, 1e6, 1e7)
"""Variances over the residual's: from the first on it is asked whether there is a residual, at the others it is."""


@dataclass(frozen=True, slots=True)
class Answer:
    """One effect with its interval."""

    effect: float
    standard_error: float
    freedom: float
    p: float
    """Two-sided, of no effect. [-]"""
    low: float
    high: float
    level: float


def spread_is_left(cells: Cells, fit: Fit) -> bool:
    """Whether readings differ by anything but the effects and what sites, their years and trees take.

    Parameters
    ----------
    cells : the readings the fit is of.
    fit : their fit.

    Returns
    -------
    False where nothing is left, so that an error of an effect would be made of nothing.

    Raises
    ------
    None: the formulas' own.

    Notes
    -----
    Where all pairs changed exactly alike the likelihood has no end: it rises while the residual falls. So what is left
    is looked at with the other spreads far off, and farther: what falls with them was theirs.

    References
    ----------
    None: arithmetic of the normal distribution.

    Examples
    --------
    >>> from rootcase.science.trials.cells import cells_of
    >>> from rootcase.science.trials.reml import fit_reml
    >>> x = np.column_stack([np.ones(6), np.arange(6) % 2])
    >>> pairs = [cells_of(np.arange(6) // 2, np.arange(6), np.zeros(6, int), np.array(y), x)
    ...          for y in ([9.0, 11, 12, 14, 5, 7], [9.0, 11, 12, 14, 5, 8])]
    >>> [spread_is_left(each, fit_reml(each)) for each in pairs]
    [False, True]
    """
    if "tree_year" in fit.terms or fit.squares.max(initial=0.0) < FAR_OFF[0]:
        return True
    profile = profile_of(cells, fit.terms)
    _, far, farther = (profile(np.full(fit.squares.size, square)).square for square in FAR_OFF)
    return bool(farther > far / 2.0)


def satterthwaite(cells: Cells, fit: Fit, contrast: Floats) -> tuple[float, float]:
    """Standard error of a sum of effects and its degrees of freedom, from how sharply the likelihood bends.

    Parameters
    ----------
    cells : the readings the fit is of.
    fit : their fit.
    contrast : (effects,) how much of each effect.

    Returns
    -------
    Standard error [unit of the readings] and degrees of freedom. [-]

    Raises
    ------
    OutOfRange : a contrast of zeros.

    Notes
    -----
    A spread of 0 has no slope and tells nothing, so it counts as known.

    References
    ----------
    Satterthwaite 1946, An approximate distribution of estimates of variance components, Biometrics Bulletin 2:110-114;
    Kuznetsova, Brockhoff and Christensen 2017, lmerTest package: tests in linear mixed effects models, J. Stat. Softw.
    82(13), sect. 2.2, for the bend of the likelihood instead of its expectation (memory).

    Examples
    --------
    >>> from rootcase.science.trials.cells import cells_of
    >>> from rootcase.science.trials.reml import fit_reml
    >>> y = np.array([9.0, 11.0, 12.0, 14.0])
    >>> x = np.column_stack([np.ones(4), [0, 0, 1, 1]])
    >>> plain = cells_of(np.zeros(4, int), np.arange(4), np.zeros(4, int), y, x)
    >>> fit = fit_reml(plain, [])
    >>> [round(each, 3) for each in satterthwaite(plain, fit, np.array([0.0, 1.0]))]  # as a two-sample t of 2 and 2
    [1.414, 2.0]
    """
    variance, residual = _variance(fit.covariance, contrast), fit.profile.residual
    profile = profile_of(cells, fit.terms)
    bend = bend_of(lambda some: profile(some[:-1]).slope(some[-1]), np.r_[fit.squares, residual])
    moved = fit.profile.unscaled @ contrast
    slope = np.r_[residual * np.einsum("kab,a,b->k", fit.profile.reach, moved, moved), variance / residual]
    slope[:-1][fit.squares == 0.0] = 0.0
    return sqrt(variance), _freedom(variance, slope, bend / 2.0)


def _freedom(variance: float, slope: Floats, information: Floats) -> float:
    """Twice the squared variance over the variance of its estimate; directions nothing is known of are left out."""
    sharp, ways = np.linalg.eigh(information)
    known = sharp > LEAST_INFORMATION * sharp.max()
    spread = float(((ways[:, known].T @ slope) ** 2 / sharp[known]).sum())
    return 2.0 * variance**2 / spread if spread > 0 else float("inf")


def kenward_roger(cells: Cells, fit: Fit, contrast: Floats) -> tuple[float, float]:
    """Standard error of a sum of effects, widened for the spreads being estimates, and its degrees of freedom.

    Parameters
    ----------
    cells : the readings the fit is of.
    fit : their fit.
    contrast : (effects,) how much of each effect.

    Returns
    -------
    Standard error [unit of the readings] and degrees of freedom. [-]

    Raises
    ------
    OutOfRange : a contrast of zeros.

    Notes
    -----
    With one contrast the scale of the test is 1 and its degrees of freedom are two over A1. The information is the
    expected one. Matrices are of the trees and years of one site at a time.

    References
    ----------
    Kenward and Roger 1997, Small sample inference for fixed effects from restricted maximum likelihood, Biometrics
    53:983-997, sect. 2-3 (memory); compared with figures of a program in tests/science/trials.

    Examples
    --------
    >>> from rootcase.science.trials.cells import cells_of
    >>> from rootcase.science.trials.reml import fit_reml
    >>> y = np.array([9.0, 11.0, 12.0, 14.0])
    >>> x = np.column_stack([np.ones(4), [0, 0, 1, 1]])
    >>> plain = cells_of(np.zeros(4, int), np.arange(4), np.zeros(4, int), y, x)
    >>> [round(each, 3) for each in kenward_roger(plain, fit_reml(plain, []), np.array([0.0, 1.0]))]
    [1.414, 2.0]
    """
    covariance = fit.covariance
    variance = _variance(covariance, contrast)
    names = (*fit.terms, "residual")
    effects = cells.effects
    first = np.zeros((len(names), effects, effects))
    second = np.zeros((len(names), len(names), effects, effects))
    trace = np.zeros((len(names), len(names)))
    ends = np.r_[cells.first_tree[1:], cells.site.size]
    for begin, end in zip(cells.first_tree, ends, strict=True):
        _add_site(cells, fit, slice(begin, end), first, second, trace)
    trace[-1, -1] += (cells.readings - int((cells.count > 0).sum())) / fit.profile.residual**2
    moved = covariance @ first
    information = (trace - 2.0 * np.einsum("ab,klba->kl", covariance, second)
                   + np.einsum("kab,lba->kl", moved, moved)) / 2.0
    spread = np.linalg.pinv(information, rcond=LEAST_INFORMATION, hermitian=True)
    beyond = np.einsum("kl,klab->ab", spread, second - np.einsum("kab,bc,lcd->klad", first, covariance, first))
    widened = covariance + 2.0 * covariance @ beyond @ covariance
    slope = np.array([_variance(covariance @ each @ covariance, contrast) for each in first])
    return sqrt(_variance(widened, contrast)), _freedom(variance, slope, information)


def _add_site(cells: Cells, fit: Fit, trees: slice, first: Floats, second: Floats, trace: Floats) -> None:
    """Put to the sums what one site tells: effects under each term's part of the covariance, once and twice."""
    read = cells.count[trees] > 0
    tree, year = np.nonzero(read)
    design, count = cells.design[trees][read], cells.count[trees][read]
    parts = [*(_part(term, tree, year) for term in fit.terms), np.diag(1.0 / count)]
    variances = fit.variances
    covariance = np.zeros((tree.size, tree.size))
    for part, variance in zip(parts, variances.values(), strict=True):
        covariance += variance * part
    inverse = np.linalg.inv(covariance)
    toward = inverse @ design
    reached = [inverse @ part for part in parts]
    for k, part in enumerate(parts):
        first[k] += toward.T @ part @ toward
        for j in range(k + 1):
            twice = toward.T @ part @ inverse @ parts[j] @ toward
            second[k, j] += twice
            trace[k, j] += (both := float((reached[k] * reached[j].T).sum()))
            if j != k:
                second[j, k] += twice.T
                trace[j, k] += both


def _part(term: Term, tree: np.ndarray, year: np.ndarray) -> Floats:
    """Which trees and years of one site share a draw of this term."""
    if term == "site":
        return np.ones((tree.size, tree.size))
    of = {"tree": tree, "site_year": year, "tree_year": np.arange(tree.size)}[term]
    return np.asarray(of[:, None] == of[None, :], dtype=float)


def _variance(covariance: Floats, contrast: Floats) -> float:
    found = float(contrast @ covariance @ contrast)
    if not np.any(contrast):
        raise OutOfRange("a contrast of zeros asks nothing", right="name at least one effect")
    return found


def answered(effect: float, standard_error: float, freedom: float, level: float) -> Answer:
    """An estimate with the interval and the chance of one as far from nothing where there is none.

    Parameters
    ----------
    effect : the estimate. [any unit]
    standard_error : >= 0. [its unit]
    freedom : degrees of freedom, above 0. [-]
    level : of the interval, between 0 and 1. [-]

    Returns
    -------
    Answer.

    Raises
    ------
    OutOfRange : a level outside 0 to 1, a negative standard error.

    Notes
    -----
    Where nothing varies the interval is the estimate, and p is 1 for no effect and 0 for any other.

    References
    ----------
    Student 1908, The probable error of a mean, Biometrika 6:1-25 (memory).

    Examples
    --------
    >>> one = answered(2.0, 1.0, 10.0, 0.95)
    >>> round(one.p, 4), round(one.low, 3), round(one.high, 3)
    (0.0734, -0.228, 4.228)
    """
    require_range("level of the interval", level, 1e-6, 1.0 - 1e-6, "")
    require_range("standard error", standard_error, 0.0, np.inf, "")
    if standard_error == 0.0:
        return Answer(effect, 0.0, freedom, float(effect == 0.0), effect, effect, level)
    wide = standard_error * float(student.ppf(0.5 + level / 2.0, freedom))
    p = 2.0 * float(student.sf(abs(effect) / standard_error, freedom))
    return Answer(effect, standard_error, freedom, p, effect - wide, effect + wide, level)
