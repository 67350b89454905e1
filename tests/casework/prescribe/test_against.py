"""Against the advice: what may be chosen, what may not, and what it costs."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rootcase.casework.prescribe.against import against_advice
from rootcase.ground.errors import Missing
from rootcase.records.offer import AgainstAdvice
from rootcase.records.prescribe import Plan
from tests.casework.prescribe.test_arms import outcome, plan

LABELS = {"t1": "oak 1", "t2": "oak 2"}
NOTHING = replace(outcome("nothing"), cost=0.0, dose=None)


def offered(*outcomes: object) -> Plan:
    made = plan({"t1": "mulch"})
    return replace(made, trees=(replace(made.trees[0], remedies=(NOTHING, outcome("mulch"), *outcomes)),))


def test_another_choice_is_priced_and_nothing_may_be_chosen_too() -> None:
    given = offered(outcome("water"))
    assert against_advice(given, {"t1": "water"}, LABELS) == (AgainstAdvice("t1", "mulch", "water", 200.0),)
    assert against_advice(given, {"t1": "nothing"}, LABELS) == (AgainstAdvice("t1", "mulch", "nothing", 0.0),)


@pytest.mark.parametrize("verdict", ["gain too small", "costs more than it gives"])
def test_the_client_s_own_money_may_be_spent_on_little(verdict: str) -> None:
    assert against_advice(offered(outcome("water", verdict)), {"t1": "water"}, LABELS)[0].taken == "water"


def test_the_client_s_own_wishes_do_not_stand_against_the_client_s_choice() -> None:
    barred = replace(outcome("water", "not allowed"), reason="lawn_stays")
    assert against_advice(offered(barred), {"t1": "water"}, LABELS)[0].taken == "water"


@pytest.mark.parametrize(("given", "forced", "says"), [
    (offered(), {"t2": "mulch"}, "oak 2: nothing was advised for this tree"),
    (offered(), {"t1": "mulch"}, r"oak 1: this is what is advised \(got mulch\)"),
    (offered(), {"t1": "tea"}, r"oak 1: this is not on the tree's list \(got tea\); one of: nothing, mulch"),
    (offered(replace(outcome("water", "not allowed"), reason="structural_concern")), {"t1": "water"},
     r"may not be done here \(got water\); something that could fail was seen"),
    (offered(replace(outcome("water", "not allowed"), reason="")), {"t1": "water"}, "the plan says why"),
    (offered(replace(outcome("water", "no use here"), reason="no_sodium")), {"t1": "water"},
     r"oak 1: the ground has no need of this, .* \(got water\); offered from a sodium adsorption ratio of 13"),
    (offered(replace(outcome("water", "test first"), reason="feed_not_tested")), {"t1": "water"},
     r"nothing read so far says that this is needed, .* a leaf test would tell"),
    (offered(outcome("extract")), {"t1": "extract"},
     "only as a trial with untreated trees beside .*as a trial of extract"),
    (offered(replace(outcome("water"), cost=None)), {"t1": "water"}, "has no price"),
    (offered(replace(outcome("water", "test first"), reason="dose_not_known")), {"t1": "water"},
     r"oak 1: nobody knows how much of this to give \(got water\); .* a laboratory has to tell"),
    (offered(replace(outcome("water"), gain_points=None)), {"t1": "water"}, "has no price, or no dose"),
])
def test_what_may_not_be_chosen_is_told_in_one_line(given: Plan, forced: dict[str, str], says: str) -> None:
    with pytest.raises(Missing, match=says):
        against_advice(given, forced, LABELS)
