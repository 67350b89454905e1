"""Another tree's readings: its trunk, its kind, where it stands; and numbers typed on."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.fieldbook.events import Body, TreeOpened
from rootcase.fieldbook.intake.doubts.positions import apart_m
from tests.fieldbook.intake.doubts.made import FACTS, asked, asking, taken

TREES = ("oak 14", "oak 1", "oak 2", "linden 9")


def question(now: list[Body], before: list[Body]) -> str:
    found = {doubt for doubts in asked(now, before).values() for doubt in doubts}
    return found.pop() if len(found) == 1 else str(found)


@pytest.mark.parametrize(("now", "net"), [
    ("12 in", "trunk"), ("13.9 in", None), ("15 in", None), ("15.3 in", "trunk"), ("60 in", "trunk"),
    (">10 in", None)])
def test_a_trunk_neither_shrinks_nor_leaps(now: str, net: str | None) -> None:
    assert asking([taken("dbh", now)], [taken("dbh", "14 in", visit="old")]) == ({net} if net else set())


def test_the_question_names_both_readings() -> None:
    assert question([taken("dbh", "20 cm")], [taken("dbh", "14 in", visit="old")]) == (
        "Trunk diameter (DBH) of oak 14: 20 cm. On 4 June 2015 it was 14 in. "
        "A trunk grows −0.2 to 1.18 in (−5 to 30 mm) a year. Another tree?")
    assert question([taken("species", "Tilia cordata")], [taken("species", "Quercus rubra", visit="old")]) == (
        "Species of oak 14: Tilia cordata. On 4 June 2015 it was Quercus rubra. Another tree?")


@pytest.mark.parametrize(("old", "now"), [
    ("Quercus rubra", "Quercus rubra"), ("Quercus sp.", "Quercus rubra"), ("Quercus rubra", "Quercus spp."),
    ("Quercus rubra", "QUERCUS RUBRA L."), ("red oak", "Quercus rubra"), ("Quercus rubra", "some tree"),
    ("?", "Tilia")])
def test_two_names_of_one_kind_are_not_two_trees(old: str, now: str) -> None:
    assert asking([taken("species", now)], [taken("species", old, visit="old")]) == set()


def test_the_later_one_is_asked_about_unless_only_the_earlier_is_new() -> None:
    old, now = taken("species", "Quercus rubra", visit="old"), taken("species", "Tilia cordata")
    assert set(asked([old, now])) == {now.slot}
    assert set(asked([old], [now])) == {old.slot}


def placed(latitude: float, longitude: float, tree: str, visit: str = "new") -> list[Body]:
    return [taken("latitude", f"{latitude} deg", tree, visit), taken("longitude", f"{longitude} deg", tree, visit)]


HERE = [body for n, tree in enumerate(TREES[1:]) for body in placed(47.45 + n * 1e-4, -122.31, tree, "old")]


@pytest.mark.parametrize(("latitude", "longitude", "back"), [
    (-122.31, 47.45, "swapped? Then"), (47.45, 122.31, "the minus of the longitude missing"),
    (-47.45, -122.31, "the minus of the latitude missing"), (48.9, -121.0, "Is that its place?")])
def test_a_tree_far_off_is_asked_about_with_what_would_bring_it_back(latitude: float, longitude: float,
                                                                     back: str) -> None:
    now: list[Body] = (placed(latitude, longitude, "oak 14") if abs(latitude) <= 90 else [
        taken("latitude", f"{latitude} deg"), taken("longitude", f"{longitude} deg")])
    assert asking(now, HERE) == {"position"}
    assert back in question(now, HERE)
    assert question(now, HERE).startswith("oak 14 would stand ")


def test_a_tree_nearby_or_another_corner_of_the_property_is_not() -> None:
    assert asking(placed(47.4512, -122.31, "oak 14"), HERE) == set()
    trees: list[Body] = [TreeOpened(slot=f"t{n}", tree=f"t{n}", label=f"t{n}", place="lawn") for n in range(30)]
    two = [body for n in range(30) for body in placed(47.45 + (n % 2) * 0.02 + n * 1e-5, -122.31, f"t{n}")]
    assert asking([*trees, *two]) == set()
    three = [body for n in range(30) for body in placed(*((-122.31, 47.45) if n < 3 else (47.45, -122.31)), f"t{n}")]
    assert len(asked([*trees, *three])) == 3  # they stand together, and are still wrong


@pytest.mark.parametrize(("latitude", "longitude", "back"), [
    (47.45, -122.31, None), (47.45, 122.31, "longitude missing"), (48.9, -121.0, None)])
def test_few_trees_or_all_of_them_are_held_against_where_the_property_is(latitude: float, longitude: float,
                                                                         back: str | None) -> None:
    for trees in (TREES[:1], TREES):
        now = [body for n, tree in enumerate(trees) for body in placed(latitude + n * 1e-4, longitude, tree)]
        assert asking(now) == ({"position"} if back else set())
        assert len(asked(now)) == (len(trees) if back else 0)  # each tree once, not for both its figures
        assert back is None or back in question(now[:2], [])


def test_all_trees_far_from_the_property_by_one_slip_are_one_question_about_both() -> None:
    now = [body for n, tree in enumerate(TREES) for body in placed(47.45 + n * 1e-4, 122.31, tree)]
    words = {word for doubts in asked(now).values() for word in doubts}
    assert len(words) == 1
    assert "stand 4,800 mi" in next(iter(words))
    assert "the property's own position" in next(iter(words))


def test_next_to_greenwich_a_sign_moves_a_tree_by_little() -> None:
    assert asking([replace(FACTS, latitude_deg=51.48, longitude_deg=-0.001), *placed(51.48, 0.001, "oak 14")]) == set()


@pytest.mark.property
@given(st.tuples(st.floats(-90, 90), st.floats(-180, 180)), st.tuples(st.floats(-90, 90), st.floats(-180, 180)))
def test_distances_are_the_same_both_ways_and_no_longer_than_half_way_round(one: tuple[float, float],
                                                                            other: tuple[float, float]) -> None:
    assert 0 <= apart_m(one, other) <= 20_015_200
    assert apart_m(one, other) == pytest.approx(apart_m(other, one))
    assert apart_m(one, one) == 0


@pytest.mark.published
def test_paris_to_new_york() -> None:
    """5 837 km between the two towers' towns on a sphere (memory: great-circle distances of general atlases)."""
    assert apart_m((48.8566, 2.3522), (40.7128, -74.0060)) == pytest.approx(5_837_000, rel=0.002)


def shoots(*typed: str) -> list[Body]:
    return [taken("shoot_length_last", each, series=str(n)) for n, each in enumerate(typed)]


@pytest.mark.parametrize(("typed", "said"), [
    (("7.5 in", "7.5 in", "7.5 in"), True), (("3 in", "7.5 in", "7.5 in", "7.5 in", "2 in"), True),
    (("7.5 in", "7.5 in", "8 in", "7.5 in"), False), (("7 in", "7 in", "7 in", "7 in"), False)])
def test_three_equal_decimals_in_a_row_are_said_once(typed: tuple[str, ...], said: bool) -> None:
    doubts = asked(shoots(*typed))
    assert len(doubts) == said
    if said:
        assert "3 of exactly 7.5 in. Were they read one by one?" in str(doubts)


def test_what_does_not_stray_may_be_equal() -> None:
    assert asking([taken("soil_ph", "6.5", "s", series=str(n)) for n in range(4)]) == set()
