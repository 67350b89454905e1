"""One tree's case as it is told: every course with its verdict, and the items of the plan."""

from __future__ import annotations

from collections.abc import Sequence, Set
from datetime import date

from rootcase.casework.estimate import estimate
from rootcase.casework.prescribe.case import Case, Treatment
from rootcase.casework.prescribe.judge import DOSE_NOT_KNOWN, Judged, near_the_choice
from rootcase.casework.prescribe.programme import POINTS, Taken
from rootcase.casework.prescribe.verdict import first_look, look_again, tree_verdict, what_would
from rootcase.records.estimate import Estimate
from rootcase.records.outlook import NOTHING
from rootcase.records.prescribe import NOT_JUDGED, Evidence, PlanItem, RemedyOutcome, TreePrescription, TreeVerdict

EVIDENCE_ORDER: tuple[Evidence, ...] = ("trials agree", "mixed", "practice only", "trials found nothing")


def prescription(case: Case, chosen: str | None, verdicts: Judged, today: date, southern: bool, *,
                 against_advice: bool = False) -> TreePrescription:
    """What is said of one tree.

    Parameters
    ----------
    case : the tree with every course reckoned.
    chosen : code of the course that was taken; None: none.
    verdicts : on each course.
    today : the day the plan is made on.
    southern : whether the tree stands on the southern half of the earth.
    against_advice : whether the client insisted on this choice though another was advised.

    Returns
    -------
    TreePrescription: doing nothing first, then by gain, then what is not known by evidence.

    Raises
    ------
    Nothing.

    Notes
    -----
    None.

    References
    ----------
    None; bookkeeping (computed).

    Examples
    --------
    >>> EVIDENCE_ORDER[0]
    'trials agree'
    """
    def outcome(each: Treatment) -> RemedyOutcome:
        return _outcome(each, verdicts, taken=each.code == (chosen or NOTHING))

    worth_it = tuple(each for each in case.treatments if each.code != NOTHING and verdicts[each.code][0] == "possible")
    dear = tuple(each for each in case.treatments if verdicts[each.code][0] == "costs more than it gives")
    verdict, reason = _said(case, chosen, worth_it, dear, against_advice)
    known = sorted((each for each in case.treatments if each.outlook is not None and each.code != NOTHING),
                   key=lambda each: -each.mean_gain)
    unknown = sorted((each for each in case.treatments if each.outlook is None),
                     key=lambda each: EVIDENCE_ORDER.index(_evidence(each)))
    would = () if verdict == "leave it alone" and reason != "not_the_soil" else what_would(case)
    first = first_look(case, reason, would)
    return TreePrescription(
        tree_id=case.tree.id, verdict=verdict, reason=reason, chosen=chosen,
        remedies=tuple(outcome(each) for each in (case.of(NOTHING), *known, *unknown)),
        what_would=would,
        share_if_nothing=_by_year(case, NOTHING), share_if_chosen=_by_year(case, chosen or NOTHING),
        root_zone_m2=case.root_zone_m2, allowed_share=case.allowed_share,
        look_again=look_again(today, verdict, southern, look_first=bool(first) or reason == NOT_JUDGED),
        weight=case.weight, against_advice=against_advice, first_look=first,
        nearly_as_good=near_the_choice(case, chosen, verdicts),
        too_dear=_least_dear(case, dear) if reason == "too_dear" else "", worth_m2=case.worth_m2)


def plan_items(taken: Sequence[Taken], against: Set[str]) -> tuple[PlanItem, ...]:
    """The items of the plan.

    Parameters
    ----------
    taken : courses at trees, each with a price.
    against : trees at which the client insisted against the advice.

    Returns
    -------
    tuple of PlanItem, in the order given.

    Raises
    ------
    Nothing.

    Notes
    -----
    None.

    References
    ----------
    None; bookkeeping (computed).

    Examples
    --------
    >>> plan_items([], frozenset())
    ()
    """
    return tuple(PlanItem(case.tree.id, each.code, each.dose, each.cost, _gain(each), each.steps,
                          case.tree.id in against)
                 for case, each in taken
                 if each.dose is not None and each.cost is not None and each.outlook is not None)


def _said(case: Case, chosen: str | None, worth_it: tuple[Treatment, ...], dear: tuple[Treatment, ...],
          against_advice: bool) -> tuple[TreeVerdict, str]:
    if against_advice:
        return "treat" if chosen else "leave it alone", "against_advice"
    return tree_verdict(case, chosen, worth_it, dear)


def _least_dear(case: Case, dear: Sequence[Treatment]) -> str:
    """Of courses that cost more than they give the one that loses least."""
    return max(dear, key=lambda each: case.worth_m2 * case.root_zone_m2 * each.mean_gain - (each.cost or 0.0)).code


def _outcome(each: Treatment, verdicts: Judged, *, taken: bool) -> RemedyOutcome:
    verdict, reason = verdicts[each.code]
    gain = each.outlook
    return RemedyOutcome(
        remedy=each.code, dose=each.dose, cost=each.cost, gain_points=None if gain is None else _gain(each),
        yearly_points=() if gain is None else tuple(float(points) for points in POINTS * gain.gain.mean(axis=1)),
        evidence=_evidence(each, without_need=verdict in ("no use here", "test first") and reason != DOSE_NOT_KNOWN),
        verdict="chosen" if taken else verdict, reason=reason, cautions=each.cautions, steps=each.steps)


def _gain(each: Treatment) -> Estimate:
    assert each.outlook is not None
    return estimate(POINTS * each.outlook.gain.mean(axis=0))


def _evidence(each: Treatment, *, without_need: bool = False) -> Evidence:
    """Of several the weakest."""
    return max((remedy.evidence_without_need if without_need else remedy.evidence for remedy in each.remedies),
               key=EVIDENCE_ORDER.index)


def _by_year(case: Case, code: str) -> tuple[Estimate, ...]:
    each = case.of(code).outlook
    return () if each is None else tuple(estimate(share) for share in each.share)
