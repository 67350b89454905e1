"""What a practice's own trials say of a remedy: each property's, all together, and how much more it would take."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import hypot

import numpy as np
from scipy.stats import norm
from scipy.stats import t as student

from rootcase.casework.prove.fit import fit_trial
from rootcase.ground.errors import Missing, OutOfRange
from rootcase.records.prove import Proof, PropertyTrial, TreeInTrial, TrialFit, TrialReadings
from rootcase.science.trials.believed import Believed, Prior, believed_after, least_shown
from rootcase.science.trials.freedom import answered
from rootcase.science.trials.looks import level_of_look
from rootcase.tables.load import table

LEVEL = 0.9
"""Of every interval on a screen."""
SEEN = 0.8
"""How often the least difference that shows is seen."""
WIDEST = 10.0
"""Spread of an effect, log ratio, that tells nothing: a trial with hardly a degree of freedom is given no more, for the
grid of spreads is of a typical one."""


def proof_of(trials: Sequence[TrialReadings]) -> Proof | None:
    """What trials of one thing in doubt say, at one property or several.

    Parameters
    ----------
    trials : of the same remedy, a property each.

    Returns
    -------
    Proof; None where a lot parted no pair. Effects are log ratios of shoot lengths, treated over untreated. [-]

    Raises
    ------
    Nothing.

    Notes
    -----
    Each property's pairs are fitted as sites of two trees, so the trees that the lot parted are compared with each
    other. Properties are then taken together from a stated prior; an interval of few trees goes in as wide as it is.
    Each autumn's interval is held wide enough for all autumns together. Pairs of which a tree was disturbed stay in the
    answer: to leave them out once the outcome is known would be to choose. The answer without them stands beside it.

    References
    ----------
    Table prove/priors (JUDGEMENT); the methods: `fit_trial`, `believed_after`, `level_of_look`.

    Examples
    --------
    >>> proof_of([TrialReadings(property_id="p", remedy="extract", pairs=0, readings=(), left_out=())]) is None
    True
    """
    asked = [trial for trial in trials if trial.pairs]
    return _proof(asked, 1) if asked else None


def _proof(asked: Sequence[TrialReadings], looks: int) -> Proof:
    """looks: how many were had already, by which the interval is held."""
    fits = [_fit(trial) for trial in asked]
    seasons = [len({each.year for each in trial.readings if each.after}) for trial in asked]
    answers = [fit for fit in fits if fit is not None]
    look = max((each for each, fit in zip(seasons, fits, strict=True) if fit), default=0)
    looks = max(look, looks)
    level = level_of_look(LEVEL, looks)
    fits = [_at_level(fit, level) if fit else None for fit in fits]
    believed = _believed(answers)
    share = (1.0 - level) / 2.0
    heard = iter(believed.trials) if believed else iter(())
    properties = tuple(PropertyTrial(
        property_id=trial.property_id, pairs=len({each.site for each in trial.readings}), left_out=trial.left_out,
        seasons=after, fit=fit, heard=next(heard).mean if fit and believed else None,
        inner=_half(fit) if fit else None, trees=_trees(trial), happened=trial.happened)
        for trial, fit, after in zip(asked, fits, seasons, strict=True))
    prior = _prior()
    mean = believed.mean if believed else None
    return Proof(
        remedy=asked[0].remedy, properties=properties, look=look, level=LEVEL,
        pairs=sum(each.pairs for each in properties if each.fit), effect=mean.mean if mean else prior.mean,
        low=mean.quantile(share) if mean else prior.mean + prior.sd * float(norm.ppf(share)),
        high=mean.quantile(1.0 - share) if mean else prior.mean - prior.sd * float(norm.ppf(share)),
        inner=(mean.quantile(0.25), mean.quantile(0.75)) if mean else
        (prior.mean + prior.sd * float(norm.ppf(0.25)), prior.mean + prior.sd * float(norm.ppf(0.75))),
        least_seen=_least_seen(believed, prior, level),
        next_sd=believed.new.sd if believed else hypot(prior.sd, prior.between_scale),
        heard=believed.heard(prior.sd) if believed else 0.0,
        without=_proof([_undisturbed(trial) for trial in asked], looks) if any(
            each.disturbing for trial in asked for each in trial.happened) else None)


def _undisturbed(trial: TrialReadings) -> TrialReadings:
    """Without the pairs of which a tree was disturbed."""
    disturbed = {each.tree_id for each in trial.happened if each.disturbing}
    sites = {each.site for each in trial.readings if each.tree in disturbed}
    return replace(trial, happened=(), left_out=(),
                   readings=tuple(each for each in trial.readings if each.site not in sites))


def _fit(trial: TrialReadings) -> TrialFit | None:
    try:
        return fit_trial(trial.readings, "kenward-roger", LEVEL)
    except (Missing, OutOfRange):
        return None


def _at_level(fit: TrialFit, level: float) -> TrialFit:
    """The same with an interval that holds for all looks together."""
    answer = answered(fit.effect, fit.standard_error, fit.freedom, level)
    return replace(fit, low=answer.low, high=answer.high, level=level)


def _half(fit: TrialFit) -> tuple[float, float]:
    """The interval in which it lies as likely as not."""
    answer = answered(fit.effect, fit.standard_error, fit.freedom, 0.5)
    return answer.low, answer.high


def _trees(trial: TrialReadings) -> tuple[TreeInTrial, ...]:
    """Each tree in the answer, before and after."""
    told: dict[tuple[str, bool], dict[bool, list[float]]] = {}
    for each in trial.readings:
        if each.value is not None:
            told.setdefault((each.tree, each.treated), {}).setdefault(each.after, []).append(each.value)
    return tuple(TreeInTrial(tree_id=tree, treated=treated, before=float(np.mean(of[False])),
                             after=float(np.mean(of[True])))
                 for (tree, treated), of in told.items() if len(of) > 1)


def _prior() -> Prior:
    row = table("prove/priors").row(remedy="any")
    return Prior(row["mean_log"], row["sd_log"], "half_normal", row["between_log"])


def _believed(fits: Sequence[TrialFit]) -> Believed | None:
    """Each fit goes in with the normal spread whose 95 % interval is as wide as its own; the widest tells nothing."""
    if not fits:
        return None
    wide = np.array([fit.standard_error * student.ppf(0.975, fit.freedom) / norm.ppf(0.975) for fit in fits])
    return believed_after(np.array([fit.effect for fit in fits]), np.clip(wide, 1e-9, WIDEST) ** 2, _prior())


def _least_seen(believed: Believed | None, prior: Prior, level: float) -> float | None:
    """As the finding is decided: by what is believed after, at the level of this look."""
    if believed is None:
        return None
    return least_shown(believed.mean.sd, prior.sd, level, SEEN)
