"""What the desk offers to insist on is what a signature would take; its findings say the trees' own reasons."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

from rootcase.casework.prescribe.against import against_advice
from rootcase.ground.errors import Missing
from rootcase.records.prescribe import TRIAL_ONLY, WISHED, Plan, RemedyVerdict
from rootcase.report.text.plan import finding, past_us, to_insist_on
from tests.casework.prescribe.test_arms import outcome, plan
from tests.report.fixtures import casework_fixture


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


def test_nothing_helps_only_where_nothing_would() -> None:
    record = casework_fixture().record
    tree_id, label = record.trees[0].id, record.trees[0].label
    past = replace(plan({"t1": "mulch"}).trees[0], tree_id=tree_id, verdict="nothing on our list helps", chosen=None,
                   reason="past_our_means")
    made = replace(plan({"t1": "mulch"}), items=(), trees=(past,), fits=True)
    assert finding(made, record) == f"Nothing on our list helps {label}."
    for reason in ("too_dear", "wishes_bar"):
        other = replace(made, trees=(replace(past, reason=reason),))
        assert past_us(other, {tree_id: label}) == "", "something would help"
        assert finding(other, record).startswith(f"Nothing is proposed for {label}: what would help")
