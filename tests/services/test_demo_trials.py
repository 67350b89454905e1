"""The invented trials: one remedy that shows something, one that shows nothing, and every tree accounted for."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.records.prove import Proof
from rootcase.report.screen.case import lines
from rootcase.report.text.cases import TreeCase
from rootcase.report.text.proof import proof_finding
from rootcase.services.case import case_file
from rootcase.services.demo import DAY
from rootcase.services.demo_trials import make_trials
from rootcase.services.planned_work import jobs_at
from rootcase.services.proof import proofs


@pytest.fixture(scope="module")
def practice(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Fieldbook]:
    path: Path = tmp_path_factory.mktemp("trials") / "demo.sqlite"
    make_trials(path)
    with open_fieldbook(path) as book:
        yield book


@pytest.fixture(scope="module")
def found(practice: Fieldbook) -> dict[str, Proof]:
    return {each.remedy: each for each in proofs(practice, [ground.id for ground in practice.properties()])}


def test_one_of_the_two_in_doubt_shows_something_and_the_other_reads_as_a_null(found: dict[str, Proof]) -> None:
    assert {remedy: (each.low > 0.0, each.high < 0.0) for remedy, each in found.items()} == {
        "air_tillage": (True, False), "extract": (False, False)}
    assert "So far we cannot tell it from nothing." in proof_finding(found["extract"])


def test_each_was_tried_at_four_grounds_over_three_seasons_and_a_pair_of_each_says_nothing(
        found: dict[str, Proof]) -> None:
    for each in found.values():
        assert ([one.seasons for one in each.properties], each.look, each.pairs) == ([3] * 4, 3, 16)
        assert sum(len(one.left_out) for one in each.properties) == 1


def test_all_of_it_is_marked_as_invented_was_drawn_before_the_work_and_leaves_none_to_do(practice: Fieldbook) -> None:
    for ground in practice.properties():
        record, (plan,) = practice.record(ground.id), practice.signed_plans(ground.id)
        assert ground.invented
        assert {one.day > plan.day for one in practice.recording.applications(ground.id)} == {True}
        assert jobs_at(practice, record, DAY, DAY, ()) == ()


def test_the_line_of_a_tree_says_what_its_trial_says_with_the_day_and_of_one_that_died_why(practice: Fieldbook) -> None:
    told = {}
    for ground in practice.properties():
        file = case_file(practice, ground)
        for tree in file.record.trees:
            case = TreeCase(tree, None, None, None)
            told[ground.name, tree.label] = lines(case, None, file.record, file.signed, None, file.proofs)[-1]
    line = told["Mill Meadow", "linden 11"]
    assert (line.state, line.day) == ("done", date(2015, 11, 12))
    assert re.match(r"Air tillage.*, 5 pairs here, this tree .*treated: the treated grew more, \+52 %", line.told)
    assert "Linden 12, a treated tree, is dead: in September 2012" in told["Chapel Walk", "linden 11"].told
    assert "not told from nothing" in told["Harrow Street", "maple 1"].told
