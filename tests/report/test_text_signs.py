"""What is said of causes outside the soil: how sure, what was seen, what would tell; and never that all is fine."""

from dataclasses import replace

import pytest

from rootcase.records.signs import OutsideCause, SignRead, Signs, SplittingLook
from rootcase.report.casework_json import stage_json
from rootcase.report.terminal.stages import explanation_text, plan_text
from rootcase.report.text import one_tree
from rootcase.report.text.cases import tree_cases
from rootcase.report.text.signs import look_for, not_a_soil_case, not_looked_for, signs_readings, signs_told
from tests.report.fixtures import casework_fixture

LOOK = SplittingLook("encircling_share", "roots_encircle", ("girdling_roots", "buried_flare"), 0.4, 20.0, 0.02,
                     "hand tools or air tool", "soil_unfrozen")


def cause(code, chance, there=None, seen=(), against=(), follow=()):
    return OutsideCause(code, chance, chance if there is None else there,
                        tuple(SignRead(sign, (f"r-{sign}",)) for sign in seen),
                        tuple(SignRead(sign, (f"r-{sign}",)) for sign in against), "encircling_share", tuple(follow))


def signs(*causes, looked=("root_flare_state",), left=("wood_stain", "canker_share"), look=LOOK):
    return Signs(causes, 0.2, 0.5, 0.9, 0.89, 200, look, looked, left)


GIRDLED = signs(cause("girdling_roots", 0.78, 0.9, ("flare_hidden", "flat_side"), ("one_side",), ("buried_flare",)),
                cause("buried_flare", 0.2, 0.95, ("flare_hidden",)), cause("borers", 0.01))
UNKNOWN = signs(cause("girdling_roots", 0.12), cause("borers", 0.01))
NOTHING = signs(cause("borers", 0.01), cause("canker", 0.01))
NOBODY = signs(cause("borers", 0.1), looked=())
BORED = signs(cause("borers", 0.7, follow=("root_loss", "soil")), cause("root_loss", 0.1, 0.2))
BOTH = signs(cause("borers", 0.7, follow=("root_loss", "soil")), cause("root_loss", 0.4, 0.5))


@pytest.fixture(scope="module")
def casework():
    return casework_fixture()


@pytest.fixture(scope="module")
def cases(casework):
    return [case for case in tree_cases(casework) if case.explanation and case.explanation.conditioned]


@pytest.fixture(scope="module")
def case(cases):
    """A tree whose soil explains its growth."""
    return next(case for case in cases if not not_a_soil_case(case.explanation))


def having(case, found, outside=False):
    explanation = replace(case.explanation, signs=found)
    if outside:
        explanation = replace(explanation, conditioned=replace(explanation.conditioned, chance_largest=(0.01,) * 6))
    return replace(case, explanation=explanation)


def told(case, found, outside=False):
    return " ".join(statement.text for statement in signs_told(having(case, found, outside)))


def test_a_case_that_is_not_the_soils_names_its_best_causes_and_how_sure(case):
    text = told(case, GIRDLED, outside=True)
    assert text.startswith("The soil explains little of this. Likely not a soil case. Look for: girdling roots "
                           "(likely, 8 in 10); a buried flare (there, but need not take growth: 2 in 10 that it "
                           "does); or a wrong yardstick.")
    assert "Seen: the trunk goes into the ground like a post; a flat or sunken side at the base." in text
    assert "Looked for and not there: thin or dead on one side." in text
    assert "A buried flare: likely there, but need not take growth." in text
    assert "Girdling roots may have followed a buried flare: both can be true." in text
    assert "stay first in 9 of 10 tries with our guesses halved or doubled" in text
    for share, tenths in ((0.96, 9), (1.0, 10)):
        assert f"stay first in {tenths} of 10 tries" in told(case, replace(GIRDLED, first_stays=share), outside=True)
    assert ("The one look that would best tell whether girdling roots or a buried flare takes the growth: open the "
            "collar, and see how much of the trunk's girth roots squeeze (hand tools or air tool; about 20 minutes; "
            "when the soil is not frozen; buried lines located first).") in text
    assert "borers" not in text


def test_not_known_is_a_full_answer(case):
    assert told(case, NOTHING, outside=True).startswith(
        "The soil explains little of this. Likely not a soil case. Look for another cause: root flare, roots, trunk,")
    assert told(case, UNKNOWN, outside=True).startswith(
        "The soil explains little of this. Likely not a soil case. Look for: girdling roots (not known, 1 in 10)")


def test_where_the_soil_explains_it_nothing_odd_is_named(case):
    assert told(case, NOTHING) == "Outside the soil: nothing that was looked at points to a cause."
    assert told(case, NOBODY) == "Outside the soil: nobody looked for signs, so nothing is said."
    assert "no cause stands out. Most weight so far: girdling roots (1 in 10)" in told(case, signs(
        cause("girdling_roots", 0.1, seen=("flat_side",))))
    assert signs_told(replace(case, explanation=None)) == []
    for found in (NOTHING, NOBODY):
        assert "fine" not in told(case, found)


def test_a_follower_stands_beside_its_first_cause(case):
    assert "Borers may have followed roots lost to digging: both can be true." in told(case, BOTH)
    assert "Borers may have followed a weak root zone: both can be true." in told(case, BORED)


def test_where_no_look_would_tell_more_that_is_said(case):
    for look in (None, replace(LOOK, bits=0.01)):
        assert "No single look left would tell much more." in told(case, replace(GIRDLED, look=look))


def test_what_nobody_looked_for_is_named_where_the_soil_does_not_explain_it(case):
    assert not_looked_for(having(case, GIRDLED)) == ""
    assert not_looked_for(having(case, GIRDLED, outside=True)) == (
        "Signs nobody looked for: stained rings in a cut twig; girth with canker.")


def test_the_verdict_and_the_change_of_mind_name_the_cause(case):
    outside = having(case, GIRDLED, outside=True)
    assert look_for(outside.explanation) == (
        "Look for: girdling roots (likely, 8 in 10); a buried flare (there, but need not take growth: 2 in 10 that it "
        "does); or a wrong yardstick.")
    left = replace(outside, prescription=replace(case.prescription, verdict="leave it alone", chosen=None,
                                                 reason="not_the_soil"))
    assert look_for(outside.explanation) in one_tree.verdict(left).text
    assert "Look for" not in " ".join(statement.text for statement in signs_told(left))
    if outside.behind:
        assert "no root across the trunk" in one_tree.change_of_mind(outside)


def test_screen_and_json_hold_the_signs(case, casework):
    explanation = having(case, GIRDLED, outside=True).explanation
    screen = " ".join(explanation_text(casework.record, [explanation]).split())
    assert "Look for: girdling roots (likely, 8 in 10)" in screen
    assert "Signs nobody looked for" in screen
    plan = replace(casework.plan, trees=tuple(
        replace(each, reason="not_the_soil", chosen=None, verdict="leave it alone") for each in casework.plan.trees
        if each.tree_id == case.tree.id))
    planned = " ".join(plan_text(replace(casework, plan=plan, explanations=(explanation,))).split())
    assert "Look for: girdling roots (likely, 8 in 10)" in planned
    assert b'"first_stays": 0.89' in stage_json(explanation)
    assert signs_readings(GIRDLED) == ("r-flare_hidden", "r-flat_side", "r-one_side")
