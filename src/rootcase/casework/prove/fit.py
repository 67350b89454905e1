"""One trial, before and after, treated and untreated: the effect with its interval, and what its reader has to know."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from math import sqrt

import numpy as np

from rootcase.ground.errors import ImpossibleValue, Missing, OutOfRange
from rootcase.ground.words import say
from rootcase.records.prove import FreedomBy, TrialFit, TrialReading, TrialWarning
from rootcase.science.trials.cells import Cells, Floats, cells_of
from rootcase.science.trials.freedom import Answer, answered, kenward_roger, satterthwaite, spread_is_left
from rootcase.science.trials.reml import fit_reml

LEAST = 2
"""Replicates of an arm that have a spread."""
FEW = 6
"""Replicates of an arm under which the spread between them is hardly known. JUDGEMENT."""
INTERACTION = 3
"""Place of treated x after among the fixed effects."""


def fit_trial(readings: Sequence[TrialReading], freedom_by: FreedomBy = "satterthwaite",
              level: float = 0.95) -> TrialFit:
    """How much more treated trees changed from before to after than untreated ones of the same sites and years.

    Parameters
    ----------
    readings : of trees of both arms, before and after; a tree stands at one site and keeps its arm.
    freedom_by : how the degrees of freedom are found.
    level : of the interval, between 0 and 1. [-]

    Returns
    -------
    TrialFit. [unit of the readings]

    Raises
    ------
    Missing : an arm that was not read before, or not after; fewer than two trees, or plots, of an arm on both sides.
    OutOfRange : readings that do not vary.
    ImpossibleValue : a tree in two arms or at two sites, a year of a site that is both before and after.

    Notes
    -----
    Trees and their years are always in the model, so shoots are never replicates. Where every site has only one arm,
    the treatment was given to whole sites: then a site is one plot, its change one number, and plots are compared.

    References
    ----------
    Stewart-Oaten, Murdoch and Parker 1986, Environmental impact assessment: "pseudoreplication" in time?, Ecology
    67:929-940, for before and after beside a control; Hurlbert 1984, Pseudoreplication and the design of ecological
    field experiments, Ecol. Monogr. 54:187-211, for what counts as one (memory).

    Examples
    --------
    >>> def read(tree, after, value):
    ...     return TrialReading(site="a", tree=f"t{tree}", year=2024 + after, after=bool(after), treated=tree < 3,
    ...                         value=value)
    >>> values = {(0, 0): 9.0, (0, 1): 13.0, (1, 0): 12.0, (1, 1): 15.0, (2, 0): 10.0, (2, 1): 15.0,
    ...           (3, 0): 8.0, (3, 1): 9.0, (4, 0): 11.0, (4, 1): 11.0, (5, 0): 12.0, (5, 1): 14.0}
    >>> one = fit_trial([read(tree, after, value) for (tree, after), value in values.items()])
    >>> round(one.effect, 3), one.replicate, one.treated, one.untreated
    (3.0, 'tree', 3, 3)
    """
    read = [each for each in readings if each.value is not None]
    _ask(read)
    warnings = [*_unread(readings), *_lost(read)]
    arms = _arms_of_sites(read)
    one_arm = sorted(site for site, here in arms.items() if len(here) == 1)
    if len(one_arm) == len(arms) and len(arms) > 1:
        return _by_plots(read, arms, level, freedom_by, warnings)
    if one_arm:
        warnings.append(TrialWarning(kind="one_arm", names=tuple(one_arm)))
    both_sides = _ask_trees(read)
    cells = _cells(read)
    fit = fit_reml(cells)
    if not spread_is_left(cells, fit):
        raise OutOfRange(say("prove.no_spread"), right=say("prove.no_spread_right"))
    contrast = np.eye(cells.effects)[INTERACTION]
    by = kenward_roger if freedom_by == "kenward-roger" else satterthwaite
    error, freedom = by(cells, fit, contrast)
    answer = answered(float(fit.effects[INTERACTION]), error, freedom, level)
    trees = {each.tree: each.treated for each in read}
    treated = sum(trees.values())
    warnings += _few(*both_sides)
    nothing = tuple(term for term, variance in fit.variances.items() if variance == 0.0)
    if nothing:
        warnings.append(TrialWarning(kind="no_spread", names=nothing))
    if len(arms) == 1:
        warnings.append(TrialWarning(kind="one_site", names=tuple(arms)))
    if cells.count.max() == 1.0:
        warnings.append(TrialWarning(kind="one_shoot"))
    warnings += _trend(read, level)
    return _told(answer, freedom_by, fit.variances, "tree", treated, len(trees) - treated, len(arms), read, warnings)


def _told(answer: Answer, freedom_by: FreedomBy, variances: dict[str, float], replicate: str, treated: int,
          untreated: int, sites: int, read: Sequence[TrialReading], warnings: Iterable[TrialWarning]) -> TrialFit:
    return TrialFit(effect=answer.effect, standard_error=answer.standard_error, freedom=answer.freedom, p=answer.p,
                    low=answer.low, high=answer.high, level=answer.level, freedom_by=freedom_by, variances=variances,
                    replicate="plot" if replicate == "plot" else "tree", treated=treated, untreated=untreated,
                    sites=sites, trees=len({each.tree for each in read}), readings=len(read), warnings=tuple(warnings))


def _ask(read: Sequence[TrialReading]) -> None:
    """Refuse what cannot be one trial."""
    site_of: dict[str, str] = {}
    arm_of: dict[str, bool] = {}
    period_of: dict[tuple[str, int], bool] = {}
    for each in read:
        if site_of.setdefault(each.tree, each.site) != each.site:
            raise ImpossibleValue(say("prove.two_sites"), where=say("prove.of_tree", tree=each.tree),
                                  value=say("prove.two_sites_value", one=site_of[each.tree], other=each.site),
                                  right=say("prove.two_sites_right"))
        if arm_of.setdefault(each.tree, each.treated) != each.treated:
            raise ImpossibleValue(say("prove.two_arms"), right=say("prove.two_arms_right"),
                                  where=say("prove.of_tree_year", tree=each.tree, year=each.year),
                                  value=say("prove.two_arms_value"))
        if period_of.setdefault((each.site, each.year), each.after) != each.after:
            raise ImpossibleValue(say("prove.two_periods"), right=say("prove.two_periods_right"),
                                  where=say("prove.of_site_year", site=each.site, year=each.year),
                                  value=say("prove.two_periods_value"))
    seen = {(each.treated, each.after) for each in read}
    for group, words in {(True, False): "prove.missing.treated_before", (True, True): "prove.missing.treated_after",
                         (False, False): "prove.missing.untreated_before",
                         (False, True): "prove.missing.untreated_after"}.items():
        if group not in seen:
            raise Missing(say(words), right=say("prove.arms_right"))


def _ask_trees(read: Sequence[TrialReading]) -> tuple[int, int]:
    """Trees of each arm read before and after. One has no spread: its shoots would stand in for trees."""
    sides: dict[tuple[bool, str], set[bool]] = defaultdict(set)
    for each in read:
        sides[each.treated, each.tree].add(each.after)
    both = [arm for (arm, _), seen in sides.items() if len(seen) == 2]
    treated, untreated = both.count(True), both.count(False)
    if min(treated, untreated) < LEAST:
        raise Missing(say("prove.few_trees"), right=say("prove.few_trees_right"),
                      value=say("prove.few_trees_value", treated=treated, untreated=untreated))
    return treated, untreated


def _arms_of_sites(read: Sequence[TrialReading]) -> dict[str, set[bool]]:
    arms: dict[str, set[bool]] = defaultdict(set)
    for each in read:
        arms[each.site].add(each.treated)
    return dict(arms)


def _cells(read: Sequence[TrialReading]) -> Cells:
    site, tree = (np.array([getattr(each, name) for each in read]) for name in ("site", "tree"))
    year = np.array([each.year for each in read])
    treated, after, value = (np.array([float(getattr(each, name)) for each in read])
                             for name in ("treated", "after", "value"))
    design = np.column_stack([np.ones(value.size), treated, after, treated * after])
    return cells_of(site, tree, year, value, design)


def _unread(readings: Sequence[TrialReading]) -> list[TrialWarning]:
    unread = sum(each.value is None for each in readings)
    return [TrialWarning(kind="unread", figures=(float(unread),))] if unread else []


def _lost(read: Sequence[TrialReading]) -> list[TrialWarning]:
    """Trees that were read on one side only: they tell less, and why they are gone has to be asked."""
    before, after = ({each.tree for each in read if each.after is side} for side in (False, True))
    lost = sorted(before - after)
    return [TrialWarning(kind="lost", names=tuple(lost))] if lost else []


def _few(treated: int, untreated: int) -> list[TrialWarning]:
    few = min(treated, untreated) < FEW
    return [TrialWarning(kind="few", figures=(float(treated), float(untreated)))] if few else []


def _by_plots(read: Sequence[TrialReading], arms: dict[str, set[bool]], level: float, freedom_by: FreedomBy,
              warnings: list[TrialWarning]) -> TrialFit:
    """Changes of whole plots against each other: each the mean of its trees' changes."""
    changes = {True: list[float](), False: list[float]()}
    for site, (treated,) in sorted(arms.items()):
        of_trees = _changes([each for each in read if each.site == site])
        if of_trees.size:
            changes[treated].append(float(of_trees.mean()))
    one, other = (np.array(changes[treated]) for treated in (True, False))
    freedom = one.size + other.size - 2
    if min(one.size, other.size) < LEAST:
        raise Missing(say("prove.few_plots"), right=say("prove.few_plots_right"),
                      value=say("prove.few_plots_value", treated=one.size, untreated=other.size))
    pooled = float(((one - one.mean()) ** 2).sum() + ((other - other.mean()) ** 2).sum()) / freedom
    if not pooled:
        raise OutOfRange(say("prove.no_spread"), right=say("prove.no_spread_right"))
    error = sqrt(pooled * (1.0 / one.size + 1.0 / other.size))
    answer = answered(float(one.mean() - other.mean()), error, float(freedom), level)
    plots = TrialWarning(kind="plots", figures=(float(one.size), float(other.size)))
    return _told(answer, freedom_by, {"plot": pooled}, "plot", one.size, other.size, len(arms), read,
                 [plots, *warnings, *_few(one.size, other.size)])


def _changes(read: Sequence[TrialReading]) -> Floats:
    """After less before of each tree that has both, each side the mean of its years' means."""
    of_year: dict[tuple[str, bool, int], list[float]] = defaultdict(list)
    for each in read:
        of_year[each.tree, each.after, each.year].append(float(each.value or 0.0))
    of_side: dict[tuple[str, bool], list[float]] = defaultdict(list)
    for (tree, after, _), values in of_year.items():
        of_side[tree, after].append(float(np.mean(values)))
    both = sorted(tree for tree, after in of_side if after and (tree, False) in of_side)
    return np.array([np.mean(of_side[tree, True]) - np.mean(of_side[tree, False]) for tree in both])


def _trend(read: Sequence[TrialReading], level: float) -> list[TrialWarning]:
    """Whether the arms already drifted apart before anything was done."""
    before = [each for each in read if not each.after]
    years = {each.year for each in before}
    if len(years) < 2 or len({(each.tree, each.year) for each in before}) <= 2 * len({each.treated for each in before}):
        return []
    middle = float(np.mean(sorted(years)))
    time = np.array([each.year - middle for each in before])
    treated, value = (np.array([float(getattr(each, name)) for each in before]) for name in ("treated", "value"))
    design = np.column_stack([np.ones(time.size), treated, time, treated * time])
    if np.linalg.matrix_rank(design) < design.shape[1]:
        return []
    site, tree = (np.array([getattr(each, name) for each in before]) for name in ("site", "tree"))
    cells = cells_of(site, tree, np.array([each.year for each in before]), value, design)
    try:
        fit = fit_reml(cells)
    except OutOfRange:
        return []
    if not spread_is_left(cells, fit):
        return []
    error, freedom = satterthwaite(cells, fit, np.eye(4)[3])
    drift = answered(float(fit.effects[3]), error, freedom, level)
    return [TrialWarning(kind="trend", figures=(drift.effect, drift.low, drift.high))] if (
        drift.low > 0.0 or drift.high < 0.0) else []
