"""The waterfall's steps are the numbers of the explanation, laid end to end."""

from dataclasses import replace
from itertools import pairwise

import pytest

from rootcase.ground.words import say
from rootcase.records.explain import LIMITS, Explanation, LimitShare
from rootcase.records.report import Casework
from rootcase.report.pictures import draw_waterfall
from rootcase.report.pictures.waterfall.steps import steps_of
from rootcase.report.text.cases import tree_cases
from rootcase.report.text.causes import main_cause
from rootcase.report.text.figures import sentence
from rootcase.report.text.naming import limit_name
from rootcase.report.text.one_tree import headline
from rootcase.report.text.takes import finding
from tests.report.cases import CASES, Case
from tests.report.fixtures import casework_fixture, casework_of
from tests.report.pictures.marks import ET, group, mark, marks, number, root_of, texts

CLOSE = pytest.approx


@pytest.fixture(scope="module")
def casework() -> Casework:
    return casework_fixture()


def drawn(casework: Casework, tree: int, layout: str = "wide", explanation: Explanation | None = None) -> ET.Element:
    comparison = casework.comparison.trees[tree]
    given = explanation or casework.explanations[tree]
    return root_of(draw_waterfall(casework.record, comparison.tree_id, comparison, given, layout).bare)  # type: ignore[arg-type]


def named(casework: Casework, tree: int, limit: str) -> LimitShare:
    return next(x for x in casework.explanations[tree].limits if x.limit == limit)


def test_the_steps_close_from_the_yardstick_to_the_tree(casework: Casework) -> None:
    for tree in range(7):
        steps = steps_of(casework.record, casework.comparison.trees[tree], casework.explanations[tree])
        for before, after in pairwise(steps[:7]):
            assert after.start == CLOSE(before.end)
        assert steps[6].end == CLOSE(steps[7].end), "six limits end where the soil alone predicts"
        assert steps[8].end == CLOSE(steps[9].end), "the remainder ends at what was measured"
        for step in steps:
            if step.parts:
                assert step.parts[-1].end == CLOSE(step.end), "the parts of water are its step once more"


def test_a_loss_is_as_tall_as_it_is_large(casework: Casework) -> None:
    explanation = casework.explanations[0]
    twice = tuple(replace(x, points=replace(x.points, mean=2 * x.points.mean)) if x.limit == "air" else x
                  for x in explanation.limits)
    before, after = drawn(casework, 0), drawn(casework, 0, explanation=replace(explanation, limits=twice))
    scale = number(group(before, "steps"), "data-px-per-point")
    tall = [number(mark(group(root, "step air"), "loss"), "height") for root in (before, after)]
    mean = named(casework, 0, "air").points.mean
    assert tall == CLOSE([scale * mean, 2 * scale * mean], abs=0.02)
    row = mark(group(drawn(casework, 0, "phone"), "step air"), "loss")
    assert number(row, "width") / mean == CLOSE(number(group(drawn(casework, 0, "phone"), "steps"),
                                                       "data-px-per-point"), rel=0.01)


def test_the_span_stands_where_the_loss_would_end(casework: Casework) -> None:
    root = drawn(casework, 0)
    scale = number(group(root, "steps"), "data-px-per-point")
    zero = number(mark(group(root, "step yardstick"), "whole"), "y")
    step = group(root, "step strength")
    points = named(casework, 0, "strength").points
    ring = number(mark(step, "best"), "cy")
    assert ring == CLOSE(zero + scale * points.mean, abs=0.02)
    ends = mark(step, "nine-in-ten").attrib["d"]
    assert [float(p.split(" ")[1]) for p in ends[1:].split("L")] == CLOSE(
        [zero + scale * points.low, zero + scale * points.high], abs=0.02)


def test_losses_come_by_size_then_the_same_then_the_gains(casework: Casework) -> None:
    steps = steps_of(casework.record, casework.comparison.trees[1], casework.explanations[1])
    kinds = [step.kind for step in steps]
    assert kinds == ["yardstick", "loss", "loss", "loss", "same", "same", "gain", "predicted", "remainder", "measured"]
    losses = [step.start - step.end for step in steps if step.kind == "loss"]
    assert losses == sorted(losses, reverse=True)
    root = drawn(casework, 1)
    assert len(marks(group(root, "step water"), "gain")) == 1
    assert len(marks(group(root, "part turf"), "loss")) == 1
    assert len(marks(group(root, "part rest"), "gain")) == 1


def test_losses_are_printed_with_their_sign_smaller_end_first(casework: Casework) -> None:
    points = named(casework, 0, "strength").points
    words = texts(drawn(casework, 0))
    assert f"−{points.mean:.0f}" in words
    assert f"−{points.high:.0f} to −{points.low:.0f}" in words
    assert f"+{-named(casework, 1, 'water').points.mean:.0f}" in texts(drawn(casework, 1))
    assert not any(word.startswith("-") for word in words), "minus is not a hyphen"


def test_what_is_the_same_as_there_is_a_bare_line(casework: Casework) -> None:
    step = group(drawn(casework, 0), "step establishment")
    assert len(marks(step, "same")) == 1
    assert marks(step, "loss") == []
    assert "same as there" in texts(drawn(casework, 0))


def test_a_tree_without_shoots_keeps_its_places_dotted(casework: Casework) -> None:
    for layout in ("wide", "column", "phone"):
        root = drawn(casework, 7, layout)
        for name in ("step remainder", "step measured"):
            assert len(marks(group(root, name), "unknown")) == 1
        assert texts(root).count("not known") == 2


FINDINGS = (
    (CASES[0], "Hard soil takes about a third of the growth, thirst about a fifth."),
    (CASES[1], "Oak 2 grows like its kind: water gives back what the rest takes."),
    (CASES[4], "The soil explains little of this: about two fifths of the growth is lost to something else."),
    (replace(CASES[0], losses={"strength": 0.02}, share=0.95), "The soil takes next to nothing from the growth."),
    (replace(CASES[0], losses={"air": 0.24}, share=0.75),
     "Too little air takes about a quarter of the growth, between a tenth and half."),
    (replace(CASES[0], losses={"water": -0.9}, share=1.8),
     "Oak 1 grows more than its kind: water gives more than the rest takes."),
    (replace(CASES[0], share=1.02), "Oak 1 grows like its kind, as far as we can tell."),
    (replace(CASES[0], share=None), "How Oak 1 grows was not read; its soil alone would leave it between"),
)


@pytest.mark.parametrize(("case", "finding"), FINDINGS)
def test_the_finding_says_the_one_point(case: Case, finding: str) -> None:
    assert " ".join(texts(drawn(casework_of((case,)), 0))).startswith(finding)


def test_a_loss_that_rests_on_no_reading_is_not_said_to_take_anything(casework: Casework) -> None:
    explanation = casework.explanations[0]
    guessed = tuple(replace(x, rests_on=()) for x in explanation.limits)
    words = " ".join(texts(drawn(casework, 0, explanation=replace(explanation, limits=guessed))))
    assert words.startswith("What takes most we do not know. The model puts most on hard soil, of which nothing was")


def test_a_loss_whose_interval_nearly_reaches_nothing_only_may_take(casework: Casework) -> None:
    explanation = casework.explanations[0]
    near = tuple(replace(x, points=replace(x.points, low=4.0)) if x.limit == "strength" else x
                 for x in explanation.limits)
    words = " ".join(texts(drawn(casework, 0, explanation=replace(explanation, limits=near))))
    assert words.startswith("Hard soil may take up to three fifths of the growth, or next to nothing.")


@pytest.mark.parametrize("share", [0.29, 0.6, 0.8, 0.95, 1.3])
def test_the_picture_names_the_cause_that_the_finding_about_the_tree_names(share: float) -> None:
    for losses in (CASES[0].losses, {"water": 0.3, "strength": 0.28}, {"air": 0.1}):
        casework = casework_of((replace(CASES[0], share=share, losses=losses),))
        case, = tree_cases(casework)
        assert case.explanation is not None
        cause, said = main_cause(case.explanation), finding(case)
        if not case.behind:
            assert "of the growth" not in said
        elif cause.word == "not known":
            assert say("report.cause.not_known") in headline(case)
            assert "do not know" in said
        elif cause.name != "other":
            assert said.startswith(sentence(limit_name(cause.name)))


def test_all_six_limits_stand_in_every_picture(casework: Casework) -> None:
    for tree in range(8):
        for layout in ("wide", "column", "phone"):
            root = drawn(casework, tree, layout)
            for limit in LIMITS:
                group(root, f"step {limit}")
