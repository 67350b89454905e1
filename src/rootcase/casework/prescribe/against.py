"""Chosen against the advice: allowed where nobody is hurt by it, priced, and signed with a reason."""

from __future__ import annotations

from collections.abc import Mapping

from rootcase.casework.prescribe.lifted import WISHED
from rootcase.casework.prescribe.needs import trial_only
from rootcase.casework.prescribe.remedies import remedies
from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.records.offer import AgainstAdvice
from rootcase.records.prescribe import Plan, RemedyOutcome, TreePrescription

NOTHING = "nothing"


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
    Missing : the tree is none of the plan's; the choice is not on its list, is what is advised, is not allowed, or has
        no price or dose, or is for trials alone.

    Notes
    -----
    What law, trade or the use of the ground forbid stays forbidden; the client's own wishes do not stand against the
    client's choice.

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
        if any(trial_only(remedy) for remedy in remedies() if remedy.code in wanted.split("+")):
            raise Missing(say("sign.trial_only"), where=where, value=wanted, right=say("sign.try_it", code=wanted))
        if outcome.verdict == "not allowed" and outcome.reason not in WISHED:
            raise Missing(say("sign.not_allowed"), where=where, value=wanted, right=_why(outcome))
        if outcome.cost is None or (wanted != NOTHING and (outcome.dose is None or outcome.gain_points is None)):
            raise Missing(say("sign.not_reckoned"), where=where, value=wanted, right=say("sign.price_first"))
        found.append(AgainstAdvice(tree_id, advised, wanted, outcome.cost))
    return tuple(found)


def _outcome(tree: TreePrescription, code: str, where: str) -> RemedyOutcome:
    found = next((outcome for outcome in tree.remedies if outcome.remedy == code), None)
    if found is None:
        choices = ", ".join(outcome.remedy for outcome in tree.remedies)
        raise Missing(say("sign.not_on_list"), where=where, value=code, right=say("sign.one_of", choices=choices))
    return found


def _why(outcome: RemedyOutcome) -> str:
    return say(f"prescribe.reason.{outcome.reason}") if outcome.reason else say("sign.see_plan")
