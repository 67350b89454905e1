"""What trials say of a remedy beside what plans had promised of it, and what would be put under a signature."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

import numpy as np

from rootcase.casework.prescribe.learned import beside_what
from rootcase.casework.prescribe.remedies import remedies
from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.records.offer import SignedPlan
from rootcase.records.prescribe import TreePrescription
from rootcase.records.prove import Promise, Proof, SignedEffect, TrialReadings
from rootcase.science.trials.carried import LEAST_PROMISED, log_ratio

LEAST_HEARD = 0.5
"""Of what is believed so much has to come from own trees before it stands for the handbook. JUDGEMENT."""
POINTS = 100.0


def promised_of(trials: Iterable[TrialReadings], signed: Iterable[SignedPlan], remedy: str) -> Promise | None:
    """What plans promised of a remedy at the trees that now answer for it.

    Parameters
    ----------
    trials : its readings, a property each.
    signed : the plans of those properties, the newest of each first, withdrawn ones too.
    remedy : its code.

    Returns
    -------
    Promise over what the untreated trees got; None where no plan reckoned with it at any of them. [log ratio]

    Raises
    ------
    Nothing.

    Notes
    -----
    Of mean growth over five years; of each tree by the newest plan that told of it by the handbook: a plan that was
    reckoned from a signed effect would promise the trials what they said.

    References
    ----------
    docs/decisions/0008-trials-replace-the-handbook.md: JUDGEMENT.

    Examples
    --------
    >>> promised_of([], [], "extract") is None
    True
    """
    wanted = {each.tree for trial in trials for each in trial.readings}
    told: dict[str, tuple[float, float, float]] = {}
    by_handbook = (plan for plan in signed if not any(
        each.kind == "effect" and each.name == remedy for each in plan.signing.inputs))
    for tree in (tree for plan in by_handbook for tree in plan.signing.plan.trees):
        if tree.tree_id in wanted and tree.tree_id not in told and (found := _promised(tree, remedy)):
            told[tree.tree_id] = found
    if not told:
        return None
    mean, low, high = np.mean(list(told.values()), axis=0)
    return Promise(mean=float(mean), low=float(low), high=float(high), trees=len(told))


def to_be_signed(proof: Proof, trials: Sequence[TrialReadings], promise: Promise | None, *, by: str,
                 day: date) -> SignedEffect:
    """What would stand for the handbook from now on.

    Parameters
    ----------
    proof : what the trials say.
    trials : its readings, a property each.
    promise : what plans had promised at those trees.
    by : a code of who signs.
    day : on which it is signed.

    Returns
    -------
    SignedEffect. [log ratio]

    Raises
    ------
    Missing : the model does not reckon the remedy, no trial answers yet, or more is believed than was heard.

    Notes
    -----
    The mean is that over properties, the spread that at the next one. A few pairs leave mostly the sceptic's belief,
    which would put out a remedy that nobody has tried; so half has to come from the trials.

    References
    ----------
    docs/decisions/0008-trials-replace-the-handbook.md: JUDGEMENT.

    Examples
    --------
    >>> from types import SimpleNamespace as Told
    >>> try:
    ...     to_be_signed(Told(remedy="extract", look=0), [], None, by="rs", day=date(2015, 11, 4))
    ... except Missing as missing:
    ...     print(missing.what)
    no trial of this remedy answers yet
    """
    if not any(each.code == proof.remedy and each.in_model for each in remedies()):
        raise Missing(say("feed.outside_model"), value=proof.remedy, right=say("feed.outside_right"))
    if not proof.look:
        raise Missing(say("feed.no_answer"), value=proof.remedy, right=say("feed.read_again"))
    if proof.heard < LEAST_HEARD:
        raise Missing(say("feed.little_heard"), value=f"{100.0 * proof.heard:.0f} %",
                      right=say("feed.heard_right", least=f"{100.0 * LEAST_HEARD:.0f} %"))
    answers = {each.property_id for each in proof.properties if each.fit}
    trees = sorted({each.tree for trial in trials if trial.property_id in answers for each in trial.readings})
    usable = promise.mean if promise and promise.mean >= LEAST_PROMISED else None
    return SignedEffect(remedy=proof.remedy, mean=proof.effect, sd=proof.next_sd, promised=usable,
                        tree_ids=tuple(trees), properties=len(answers), seasons=proof.look, by=by, day=day)


def _promised(tree: TreePrescription, remedy: str) -> tuple[float, float, float] | None:
    """Mean and limits of one plan's promise at one tree."""
    alone = [each.mean for each in tree.share_if_nothing]
    gains = {each.remedy: each.gain_points for each in tree.remedies}
    gain, beside = gains.get(remedy), gains.get(beside_what(remedy))
    if not alone or gain is None:
        return None
    share = float(np.mean(alone))
    without = share + (beside.mean / POINTS if beside else 0.0)
    mean, low, high = (log_ratio(max(share + points / POINTS, 1e-6), max(without, 1e-6))
                       for points in (gain.mean, gain.low, gain.high))
    return mean, low, high
