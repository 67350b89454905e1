"""Positions as people write them: in one cell or two, with letters or signs, and what cannot be told apart."""

from __future__ import annotations

import pytest

from rootcase.ground.position import place_in, place_of


@pytest.mark.parametrize(("text", "position"), [
    ("47.45,-122.31", (47.45, -122.31)), ("47.45, -122.31", (47.45, -122.31)), ("(47.45 -122.31)", (47.45, -122.31)),
    ("47.45;-122.31", (47.45, -122.31)), ("47,45; -122,31", (47.45, -122.31)), ("47,45, -122,31", (47.45, -122.31)),
    ("36.07° N, 79.79° W", (36.07, -79.79)), ("36.07N,79.79W", (36.07, -79.79)), ("N36.07 W79.79", (36.07, -79.79)),
    ("79.79 W 36.07 N", (36.07, -79.79)), ("W 79.79, N 36.07", (36.07, -79.79)), ("S33.9 e18.4", (-33.9, 18.4)),
    ("48,1 N 11,5 E", (48.1, 11.5)), ("36°04'21\"N 79°47'24\"W", (36.0725, -79.79)),
    ("42°20'N, 83°3'W", (42.3333333, -83.05)), ("42 20 N 83 3 W", (42.3333333, -83.05)),
    ("36 79", (36.0, 79.0)), ("", None), ("n/a", None)])
def test_one_cell_with_both_figures(text: str, position: tuple[float, float] | None) -> None:
    assert place_in(text.strip("() ")) == position


@pytest.mark.parametrize("text", [
    "47,45", "47,122", "47,45,122,31", "48,1 N 11,5 O", "36.07 N 79.79 N", "79.79 W 36.07", "by the gate", "47.45",
    "1.2.3 4.5", "N36.07,79.79"])
def test_what_can_be_read_two_ways_or_none_is_no_position(text: str) -> None:
    assert place_in(text.strip("() ")) is None


@pytest.mark.parametrize(("texts", "position"), [
    (("36.07", "-79.79"), (36.07, -79.79)), (("36,07° N", "79,79 W"), (36.07, -79.79)),
    (("79.79 W", "36.07 N"), (36.07, -79.79)), (("36.07 E", "79.79"), None), (("36.07", "79.79 O"), None)])
def test_two_cells_with_one_each(texts: tuple[str, str], position: tuple[float, float] | None) -> None:
    assert place_of(*texts) == position
