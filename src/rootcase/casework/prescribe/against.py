"""Chosen against the advice: allowed where nobody is hurt by it, priced, and signed with a reason."""

from __future__ import annotations

from collections.abc import Mapping

from rootcase.casework.prescribe.judge import DOSE_NOT_KNOWN
from rootcase.casework.prescribe.needs import trial_only
from rootcase.casework.prescribe.remedies import remedies
from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.records.offer import AgainstAdvice
from rootcase.records.prescribe import WISHED, Plan, RemedyOutcome, RemedyVerdict, TreePrescription

NOTHING = "nothing"
BARS: Mapping[RemedyVerdict, str] = {
    "not allowed": "not_allowed", "no use here": "no_need", "test first": "no_test_says_so"}
"""Verdicts no insisting lifts, and the key of the words under sign."""


def refusal(code: str, verdict: RemedyVerdict, reason: str, *, reckoned: bool) -> tuple[str, str] | None:
    """Why the client may not have a course, however much it is wanted.

    Parameters
    ----------
    code : of the remedy or course; "nothing" may always be had.
    verdict, reason : what is said of it at this tree, the programme's choice left open.
    reckoned : whether its dose, its price and its gain are known.

    Returns
    -------
    (what, what would be right) in words; None where it may be had.

    Raises
    ------
    Nothing.

    Notes
    -----
    A gain too small, or dearer than it is worth, is the client's own money. What law, trade or the use of the ground
    forbid stays forbidden, and what answers no need, or no need that a reading shows, is not done: gypsum without
    sodium, feed no test asks for, sulfur on free lime. The client's own wishes do not stand against the client's
    choice.

    References
    ----------
    None: that the client may choose otherwise is common practice, no source.

    Examples
    --------
    >>> refusal("mulch", "gain too small", "", reckoned=True)
    >>> refusal("gypsum", "test first", "sodium_not_read", reckoned=True)[1]
    "not offered: no test of the soil's sodium was read"
    """
    if reason == DOSE_NOT_KNOWN:
        return say("sign.no_dose"), say(f"prescribe.reason.{reason}")
    if verdict in BARS and reason not in WISHED:
        return say(f"sign.{BARS[verdict]}"), say(f"prescribe.reason.{reason}") if reason else say("sign.see_plan")
    if any(trial_only(remedy) for remedy in remedies() if remedy.code in code.split("+")):
        return say("sign.trial_only"), say("sign.try_it", code=code)
    return None if reckoned or code == NOTHING else (say("sign.not_reckoned"), say("sign.price_first"))


def against_advice(plan: Plan, forced: Mapping[str, str], labels: Mapping[str, str]) -> tuple[AgainstAdvice, ...]:
    """What is wanted for some trees though another choice is advised, priced.

    Parameters
    ----------
    plan : as it is advised.
    forced : code of the remedy or course that is wanted, by tree id; "nothing" to leave it alone.
    labels : what each tree is called, by its id.

    Returns
    -------
    AgainstAdvice of each tree whose choice is another than the one advised.

    Raises
    ------
    Missing : the tree is none of the plan's; the choice is not on its list, is what is advised, or is refused.

    Notes
    -----
    What is refused: `refusal`.

    References
    ----------
    None: that the client may choose otherwise is common practice, no source.

    Examples
    --------
    >>> from datetime import date
    >>> plan = Plan("p", (), 0.0, 0.0, None, "CHF", 0.0, 0.0, (), (), True, (), date(2015, 11, 4), 10, 1)
    >>> against_advice(plan, {}, {})
    ()
    >>> try:
    ...     against_advice(plan, {"t": "mulch"}, {"t": "oak 1"})
    ... except Missing as missing:
    ...     print(missing)
    oak 1: nothing was advised for this tree; it is a tree of the yardstick, or too little was read at it
    """
    trees = {tree.tree_id: tree for tree in plan.trees}
    found = []
    for tree_id, wanted in forced.items():
        where = labels.get(tree_id, tree_id)
        if tree_id not in trees:
            raise Missing(say("sign.not_advised"), where=where, right=say("sign.no_list"))
        advised = trees[tree_id].chosen or NOTHING
        outcome = _outcome(trees[tree_id], wanted, where)
        if wanted == advised:
            raise Missing(say("sign.is_advised"), where=where, value=wanted, right=say("sign.leave_out_against"))
        reckoned = None not in (outcome.cost, outcome.dose, outcome.gain_points)
        if against := refusal(wanted, outcome.verdict, outcome.reason, reckoned=reckoned):
            raise Missing(against[0], where=where, value=wanted, right=against[1])
        found.append(AgainstAdvice(tree_id, advised, wanted, outcome.cost or 0.0))
    return tuple(found)


def _outcome(tree: TreePrescription, code: str, where: str) -> RemedyOutcome:
    found = next((outcome for outcome in tree.remedies if outcome.remedy == code), None)
    if found is None:
        choices = ", ".join(outcome.remedy for outcome in tree.remedies)
        raise Missing(say("sign.not_on_list"), where=where, value=code, right=say("sign.one_of", choices=choices))
    return found
