"""What the desk offers to insist on is what a signature would take."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

from rootcase.casework.prescribe.against import against_advice
from rootcase.ground.errors import Missing
from rootcase.records.prescribe import TRIAL_ONLY, WISHED, Plan, RemedyVerdict
from rootcase.report.text.plan import to_insist_on
from tests.casework.prescribe.test_arms import outcome, plan


def taken(made: Plan, remedy: str) -> bool:
    try:
        return bool(against_advice(made, {"t1": remedy}, {"t1": "oak 1"}))
    except Missing:
        return False


def test_what_may_be_insisted_on_is_what_a_signature_takes() -> None:
    made = plan({"t1": "mulch"})
    nothing = replace(outcome("nothing"), cost=0.0, dose=None)
    whole = [replace(outcome(remedy, verdict), reason=reason) for remedy in ("water", *TRIAL_ONLY)
             for verdict in get_args(RemedyVerdict) for reason in ("", "structural_concern", *WISHED)]
    told = [other for each in whole for other in (each, replace(each, cost=None), replace(each, dose=None),
                                                  replace(each, gain_points=None))]
    found = set()
    for each in told:
        tree = replace(made.trees[0], remedies=(nothing, outcome("mulch"), each))
        offered = {other.remedy for other in to_insist_on(tree)}
        assert offered == {other for other in ("nothing", "mulch", each.remedy)
                           if taken(replace(made, trees=(tree,)), other)}, each
        found.add(each.remedy in offered)
    assert found == {True, False}
