"""What stands against each course at one tree, before and after money is looked at."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from rootcase.casework.prescribe.case import Case, Treatment
from rootcase.casework.prescribe.needs import UNREAD
from rootcase.casework.prescribe.verdict import SETTLING, lags, not_the_soil
from rootcase.records.outlook import NOTHING
from rootcase.records.prescribe import TRIAL_ONLY, WISHED, RemedyVerdict
from rootcase.science.choice.decision import LEAST_GAIN, FloatArray, nearly_as_good, worth_taking

WATER = "water"
DOSE_NOT_KNOWN = "dose_not_known"
"""Reason: it may help, and nobody knows how much of it to give."""
Judged = Mapping[str, tuple[RemedyVerdict, str]]
"""Verdict and reason by code of the course."""


def judged(case: Case) -> Judged:
    """The verdict on every course at one tree, the programme's choice left open.

    Parameters
    ----------
    case : the tree with every course reckoned.

    Returns
    -------
    (verdict, key of the words under prescribe.reason) by code.

    Raises
    ------
    Nothing.

    Notes
    -----
    What may be taken is allowed, needed, gains ten points and more on the mean of five years, is worth more than it
    costs, and leaves more over than any cheaper one, beyond what the luck of the draws could give. What is only ever
    tried may be taken once the practice's own trials were signed. A tree that still
    roots in is watered first, whatever that gains: drought kills it, which the model does not reckon; nothing else may
    be taken there but what begins with that water.

    References
    ----------
    docs/prescribe.md: JUDGEMENT.

    Examples
    --------
    >>> from types import SimpleNamespace as Told
    >>> judged(Told(treatments=(Told(code="nothing"),), settling_years=None, root_zone_m2=1.0, worth_m2=1.0))
    {'nothing': ('possible', '')}
    """
    before = {each.code: _judge(case, each) for each in case.treatments}
    rivals = _rivals(case, before)
    earns = worth_taking(*_at_stake(case, rivals), case.worth_m2)
    return before | {each.code: ("costs more than it gives", "")
                     for each, good in zip(rivals, earns, strict=True) if not good}


def near_the_choice(case: Case, chosen: str | None, verdicts: Judged) -> tuple[str, ...]:
    """The courses that are as good as the chosen one, give or take the luck of the draws.

    Parameters
    ----------
    case : the tree with every course reckoned.
    chosen : code of the course that was taken; None: none.
    verdicts : on each course.

    Returns
    -------
    Codes, the cheapest first; none where what was taken is no rival of any.

    Raises
    ------
    Nothing.

    Notes
    -----
    Rivals are allowed, needed and priced.

    References
    ----------
    `science.choice.decision.nearly_as_good`.

    Examples
    --------
    >>> near_the_choice(None, None, {})
    ()
    """
    if chosen is None:
        return ()
    rivals = _rivals(case, verdicts)
    codes = [each.code for each in rivals]
    if chosen not in codes:
        return ()
    near = nearly_as_good(*_at_stake(case, rivals), case.worth_m2, codes.index(chosen))
    found = [each for each, good in zip(rivals, near, strict=True) if good]
    return tuple(each.code for each in sorted(found, key=lambda each: each.cost or 0.0))


def may_be_taken(case: Case, verdicts: Judged) -> tuple[Treatment, ...]:
    """The courses of one tree that the programme may choose from.

    Parameters
    ----------
    case : the tree with every course reckoned.
    verdicts : on each.

    Returns
    -------
    Treatments that have a price; none where the tree's growth was not read.

    Raises
    ------
    Nothing.

    Notes
    -----
    None.

    References
    ----------
    docs/prescribe.md: JUDGEMENT.

    Examples
    --------
    >>> from types import SimpleNamespace as Told
    >>> may_be_taken(Told(explanation=Told(observed_share=None), treatments=()), {})
    ()
    """
    if case.explanation.observed_share is None:
        return ()
    return tuple(each for each in case.treatments if each.cost is not None and each.outlook is not None
                 and each.code != NOTHING and each.mean_gain > 0.0 and verdicts[each.code][0] == "possible")


def _judge(case: Case, each: Treatment) -> tuple[RemedyVerdict, str]:
    """What stands against one course, before money is looked at."""
    if each.code == NOTHING:
        return "possible", ""
    if each.no_use and each.no_use not in UNREAD:
        return "no use here", each.no_use
    if each.barred and each.barred not in WISHED:
        return "not allowed", each.barred
    if each.no_use:
        return "test first", each.no_use
    if each.barred:
        return "not allowed", each.barred
    if not all(remedy.in_model for remedy in each.remedies):
        return "gain not known", "outside_model"
    if not each.amounts_known:
        return "test first", DOSE_NOT_KNOWN
    if each.code in TRIAL_ONLY and each.code not in case.learned:
        return "gain too small", "trial_only"
    if _water_first(case):
        if not each.code.startswith(SETTLING):
            return "not allowed", "until_settled" if each.code == WATER else "water_first"
        if each.code == SETTLING and each.mean_gain > 0.0:
            return "possible", "" if each.cost is not None else case.unpriced
    if each.mean_gain < LEAST_GAIN:
        reasons = (("not_the_soil", not_the_soil(case)), ("own_trials", each.code in case.learned),
                   ("only_part", each.only_part))
        return "gain too small", next((reason for reason, holds in reasons if holds), "")
    return "possible", case.unpriced if each.cost is None else ""


def _water_first(case: Case) -> bool:
    """It lags because it still roots in, and it is not watered enough yet."""
    return (case.settling_years is not None and lags(case) and not not_the_soil(case)
            and case.of(SETTLING).no_use != "already_watered")


def _rivals(case: Case, verdicts: Judged) -> list[Treatment]:
    """The courses between which money decides."""
    return [each for each in case.treatments if each.code not in (NOTHING, SETTLING) and each.cost is not None
            and verdicts[each.code][0] in ("possible", "costs more than it gives")]


def _at_stake(case: Case, rivals: Sequence[Treatment]) -> tuple[list[FloatArray], FloatArray]:
    """Gain of each by draw, and what it costs for a square metre of the root zone."""
    gains = [each.outlook.gain.mean(axis=0) for each in rivals if each.outlook is not None]
    return gains, np.array([each.cost or 0.0 for each in rivals]) / case.root_zone_m2
