"""Readings held against earlier and neighbouring ones: what is asked, in which words, and what is left alone."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.fieldbook.events import Body, ReadingTaken, VisitStarted
from rootcase.fieldbook.intake.doubts.history import AGAINST
from rootcase.ground.units import convert
from rootcase.tables.load import table
from rootcase.tables.readings import kinds
from tests.fieldbook.intake.doubts.made import asked, asking, taken

old_14_in = [taken("dbh", "14 in", visit="old")]


def many(kind: str, typed: str, count: int, of: str = "oak 14", visit: str = "new") -> list[Body]:
    return [taken(kind, typed, of, visit, str(n)) for n in range(count)]


ASKED: dict[str, tuple[list[Body], list[Body], str]] = {
    "last year": ([taken("dbh", "14 cm")], old_14_in, (
        "Trunk diameter (DBH) of oak 14: 14 cm. On 4 June 2015 it was 14 in (35.6 cm). "
        "Was it read in inches? 14 in would be 35.6 cm.")),
    "girth": ([taken("dbh", "44 in")], old_14_in, (
        "Trunk diameter (DBH) of oak 14: 44 in. On 4 June 2015 it was 14 in. "
        "Was it the girth face of the tape? 44 in round would be 14 in through.")),
    "height": ([taken("tree_height", "12 ft")], [taken("tree_height", "12 m", visit="old")], (
        "Height of oak 14: 12 ft. On 4 June 2015 it was 12 m (39.4 ft). "
        "Was it read in metres? 12 m would be 39.4 ft.")),
    "girth by height": ([taken("dbh", "44 in"), taken("tree_height", "30 ft")], [], (
        "Trunk diameter (DBH) of oak 14: 44 in. A tree 30 ft high is mostly about 8.76 in through. "
        "Was it the girth face of the tape? 44 in round would be 14 in through.")),
    "leaves": (many("leaf_length", "10.4 mm", 20), many("leaf_length", "102 mm", 20, visit="old"), (
        "Leaf blade length of oak 14: 10.4 mm in the middle of 20. On 4 June 2015 it was 102 mm in the middle of 20. "
        "Was it read in centimetres? 10.4 cm would be 104 mm.")),
    "mulch": ([taken("mulch_depth", "8 in", "pit 1")],
              [taken("applied_solid_volume", "1 yd3"), taken("applied_area", "9.4 m2")], (
        "Mulch of pit 1: 8 in. 1 yd3 on 9.4 m2 lie 3.2 in deep. Was it read in centimetres? 8 cm would be 3.15 in.")),
    "pushes": (many("probe_depth", "9 in", 3, "pit 1"), many("probe_depth", "9 cm", 3, "pit 2", "old"), (
        "Probe depth to refusal of pit 1: 9 in in the middle of 3. The other pushes there go to about 3.54 in. "
        "Was it read in centimetres? 9 cm would be 3.54 in.")),
    "shoots": (many("shoot_length_last", "18 in", 3), many("shoot_length_last", "12 cm", 3, visit="old"), (
        "Last full year's shoot of oak 14: 18 in in the middle of 3. "
        "On 4 June 2015 it was 4.72 in in the middle of 3. Was it read in centimetres? 18 cm would be 7.09 in.")),
    "yardstick": (many("shoot_length_last", "90 in", 3), many("shoot_length_last", "7 in", 3, "oak 1", "old"), (
        "Last full year's shoot of oak 14: 90 in in the middle of 3. The yardstick has about 7 in. "
        "Was it read in centimetres? 90 cm would be 35.4 in.")),
}


@pytest.mark.parametrize("case", ASKED)
def test_what_was_read_on_another_scale_is_asked_about(case: str) -> None:
    now, before, words = ASKED[case]
    doubts = asked(now, before)
    about = {body.slot for body in now if body.slot.startswith(now[0].slot.split(" ")[0])}
    assert set(doubts) == about
    assert {len(each) for each in doubts.values()} == {1}
    assert next(iter(doubts.values())) == (words,)


@pytest.mark.parametrize(("now", "before"), [
    ([taken("dbh", "14 1/4 in")], old_14_in),
    ([taken("dbh", "36 cm")], old_14_in),
    ([taken("dbh", ">14 cm")], old_14_in),
    ([taken("tree_height", "43 ft")], [taken("tree_height", "12 m", visit="old")]),
    ([taken("dbh", "6 cm")], [taken("dbh", "4 cm", visit="old")]),  # a sapling may grow by half in a year
    ([taken("dbh", "30 cm"), taken("tree_height", "12 m")], []),
    (many("shoot_length_last", "2.5 in", 3), many("shoot_length_last", "18 in", 3, "oak 1", "old")),  # it lags
    (many("probe_depth", "9 in", 3, "pit 1"),
     [*many("probe_depth", "9 cm", 3, "pit 2", "old"),
      *(taken("probe_stop", "stone", "pit 2", "old", str(n)) for n in range(3))]),
], ids=["grown", "other unit", "over", "height", "sapling", "by height", "lagging", "stones"])
def test_what_is_likely_right_is_left_alone(now: list[Body], before: list[Body]) -> None:
    assert "scale" not in asking(now, before)


def test_only_the_new_reading_is_asked_about_and_only_once() -> None:
    before = [*old_14_in, taken("tree_height", "40 ft", visit="old")]
    assert asking([taken("dbh", "14 cm")], before) == {"scale"}  # though the trunk shrank, and is thin for its height
    assert asking(old_14_in, before) == set()  # the same sheet again


def test_a_sheet_that_comes_late_is_held_against_what_stood_before_it() -> None:
    doubts = asked([taken("dbh", "14 cm", visit="old")], [taken("dbh", "14 1/2 in")])
    assert "On 9 June 2016 it was 14 1/2 in (36.8 cm)" in next(iter(doubts.values()))[0]
    both = asked([taken("dbh", "14 cm", visit="old"), taken("dbh", "14 1/2 in")])
    assert list(both) == ["dbh oak 14 new 1  "]  # of two new ones the later is asked about


def test_over_twenty_years_a_trunk_may_have_grown_much_or_little() -> None:
    long_ago = VisitStarted(slot="long ago", visit="long ago", label="long ago", day=date(1996, 6, 4))
    before = [long_ago, replace(taken("dbh", "20 cm", visit="old"), visit="long ago")]
    assert asking([taken("dbh", "70 cm")], before) == set()
    assert asking([taken("dbh", "188 cm")], before) == {"scale"}  # 60 cm, by the girth face


def test_over_two_thousand_years_nobody_can_tell_and_of_next_to_nothing_neither() -> None:
    long_ago = VisitStarted(slot="long ago", visit="long ago", label="long ago", day=date(1, 1, 1))
    assert "scale" not in asking([replace(taken("dbh", "6 mm"), visit="long ago"), long_ago], [taken("dbh", "14 cm")])
    assert asking(many("probe_depth", "9 in", 3, "pit 1"), many("probe_depth", "1e-30 in", 3, "pit 2")) == set()
    assert asking(many("probe_depth", "1e-30 in", 3, "pit 1"), many("probe_depth", "9 in", 3, "pit 2")) == set()


def test_few_leaves_say_little_where_leaves_differ() -> None:
    assert asking(many("leaf_length", "7.2 in", 20), many("leaf_length", "4 in", 20, visit="old")) >= {"scale"}
    assert asking([taken("leaf_length", "7.2 in")], [taken("leaf_length", "4 in", visit="old")]) == set()


def test_stems_that_cannot_be_matched_are_not_compared() -> None:
    assert asking([taken("dbh", "14 cm"), taken("dbh", "12 cm", series="2")], old_14_in) == set()


def test_far_from_every_slip_none_is_named() -> None:
    assert asking([taken("dbh", "90 in")], [taken("dbh", "3 in", visit="old")]) == {"trunk"}


def test_every_net_of_the_table_has_its_rule_but_the_one_that_waits() -> None:
    rows = table("observe/slip_nets").rows
    assert {row["against"] for row in rows} - AGAINST.keys() == {"plan"}
    for row in rows:
        for kind in row["kinds"].split("|"):
            for unit in set(row["slips"].split("|")) - {"girth"}:
                assert convert(1, unit, kinds()[kind].si_unit) > 0


@pytest.mark.property
@given(st.floats(60, 900), st.sampled_from(["in", "cm"]), st.floats(-0.06, 0.06))
def test_a_trunk_on_the_other_scale_is_always_asked_about_and_a_right_one_never(mm: float, unit: str,
                                                                                change: float) -> None:
    other = "cm" if unit == "in" else "in"
    before = [taken("dbh", f"{convert(mm, 'mm', unit):.1f} {unit}", visit="old")]
    now = 12.5 + mm * math.exp(change)
    right = taken("dbh", f"{convert(now, 'mm', other):.1f} {other}")
    wrong = taken("dbh", f"{convert(now, 'mm', other):.1f} {unit}")
    assert "scale" not in asking([right], before)
    assert "scale" in asking([wrong], before)


def girth(typed: str, visit: str = "new") -> ReadingTaken:
    """A trunk taped round, as lists have it."""
    found = taken("dbh", typed, visit=visit, attributes={"measured": "girth"})
    return replace(found, value=(found.value or 0.0) / math.pi)


def test_a_girth_is_told_as_the_diameter_it_was_worked_out_to() -> None:
    now = [girth("138 cm"), taken("tree_height", "4 m")]
    (words,) = asked(now)[now[0].slot]
    assert words.startswith("these do not go together: Height 4 m, Trunk diameter (DBH) 43.9 cm (typed 138 cm); ")
    (words,) = asked([girth("43 cm")], [girth("138 cm", "old")])[now[0].slot]
    assert "13.7 cm (typed 43 cm). On 4 June 2015 it was 43.9 cm (typed 138 cm)." in words


def test_a_girth_is_not_asked_whether_it_is_one() -> None:
    assert "scale" not in asking([girth("138 cm"), taken("tree_height", "4 m")])
    assert "scale" in asking([taken("dbh", "44 cm"), taken("tree_height", "4 m")])
