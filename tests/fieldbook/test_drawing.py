"""Drawing on a map: every stroke an event, the newest in its place, nothing lost; sheets speak of the same things."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import pytest

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.ground.errors import ImpossibleValue, Missing
from rootcase.records.observe import Aerial, BuriedLine, KeepOff, Place
from tests.fieldbook.sheets import SHEET, changed, open_book, write_sheet

SQUARE = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
HALF = ((0.0, 0.0), (5.0, 0.0), (5.0, 10.0), (0.0, 10.0))


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Fieldbook]:
    with open_book(tmp_path / "f.sqlite") as opened:
        opened.import_sheet(write_sheet(tmp_path / "in", dict(SHEET)))
        yield opened


@pytest.fixture
def ground(book: Fieldbook) -> str:
    return book.properties()[0].id


def drawn(kind: str, name: str = "", an_id: str = "", outline: tuple[tuple[float, float], ...] = SQUARE) -> Place:
    return Place(an_id, "", name, kind, outline)


def test_a_place_that_was_read_gets_its_corners(book: Fieldbook, ground: str) -> None:
    lawn = book.record(ground).places[0]
    book.drawing.outline(ground, drawn("", an_id=lawn.id))
    book.drawing.outline(ground, drawn("", an_id=lawn.id, outline=HALF))
    after = book.record(ground).places[0]
    assert (after.id, after.name, after.kind, after.outline_m) == (lawn.id, "lawn", "lawn", HALF)
    book.drawing.take_back(ground, lawn.id, "wrong lawn")
    assert book.record(ground).places[0].outline_m == ()


def test_new_ground_is_a_place_and_what_is_built_is_an_outline(book: Fieldbook, ground: str) -> None:
    book.drawing.outline(ground, drawn("bed", "rose bed"))
    book.drawing.outline(ground, drawn("building", "school"))
    record = book.record(ground)
    assert [(each.name, each.kind) for each in record.places] == [
        ("lawn", "lawn"), ("rose bed", "bed"), ("wood", "woodland")]
    assert [(each.name, each.kind, each.outline_m) for each in record.outlines] == [("school", "building", SQUARE)]
    for each in (*record.outlines, record.places[1]):
        book.drawing.take_back(ground, each.id, "not there")
    after = book.record(ground)
    assert (len(after.places), after.outlines) == (2, ())


def test_ground_that_something_stands_on_stays_when_its_corners_go(book: Fieldbook, ground: str) -> None:
    book.drawing.outline(ground, drawn("bed", "rose bed"))
    bed = book.record(ground).places[1]
    book.drawing.new_tree(ground, "plum 1", bed.id, 3.0, 4.0)
    plum = book.record(ground).trees[-1]
    assert (plum.label, plum.place_id, plum.east_m, plum.north_m) == ("plum 1", bed.id, 3.0, 4.0)
    book.drawing.take_back(ground, bed.id, "slip")
    assert book.record(ground).place_of(plum).outline_m == ()
    book.drawing.take_back(ground, plum.id, "slip")
    assert plum.id not in {tree.id for tree in book.record(ground).trees}


def test_a_tree_that_was_read_is_moved_and_loses_its_position_alone(book: Fieldbook, ground: str) -> None:
    oak = book.record(ground).trees[1]
    book.drawing.move_tree(ground, oak.id, 7.5, 2.25)
    moved = book.record(ground).trees[1]
    assert (moved.label, moved.place_id, moved.east_m, moved.north_m) == ("oak 4", oak.place_id, 7.5, 2.25)
    book.drawing.take_back(ground, oak.id, "felled")
    after = book.record(ground).trees[1]
    assert (after.id, after.east_m, after.north_m) == (oak.id, None, None)
    assert book.record(ground).of(oak.id, kind="dbh")


def test_what_a_sheet_brought_stays_in_the_lists_even_if_nothing_was_read_of_it(
        book: Fieldbook, ground: str, tmp_path: Path) -> None:
    sheet = {"places": [["place", "place_kind"], ["verge", "verge"]],
             "trees": [["tree", "place", "east", "north"], ["elm 9", "verge", "3", "4"]]}
    book.import_sheet(write_sheet(tmp_path / "bare", sheet), property_id=ground)
    elm = book.record(ground).trees[0]
    assert (elm.label, elm.east_m is not None) == ("elm 9", True)
    book.drawing.take_back(ground, elm.id, "not there")
    after = next(tree for tree in book.record(ground).trees if tree.id == elm.id)
    assert (after.label, after.east_m) == ("elm 9", None)


def test_the_same_sheet_again_does_not_undo_what_was_drawn(book: Fieldbook, ground: str, tmp_path: Path) -> None:
    oak = book.record(ground).trees[1]
    book.drawing.move_tree(ground, oak.id, 7.5, 2.25)
    assert book.import_sheet(tmp_path / "in").new == 0
    assert book.record(ground).trees[1].east_m == 7.5
    book.import_sheet(write_sheet(tmp_path / "b", changed("trees", 3, "east", "200")))
    assert book.record(ground).trees[1].east_m == pytest.approx(60.96)
    with pytest.raises(Missing, match="something later rests on it"):
        book.undo_import(ground, "wrong") and book.undo_import(ground, "wrong")


def test_lines_and_areas_are_drawn_anew_under_their_id(book: Fieldbook, ground: str) -> None:
    book.drawing.line(ground, BuriedLine("", "", "gas to the house", "gas", SQUARE[:2]))
    book.drawing.keep_off(ground, KeepOff("", "", "well", "drinking water", SQUARE, 30.0))
    line, = book.record(ground).lines
    area, = book.record(ground).keep_off
    assert (line.kind, line.points_m, area.reason, area.distance_m) == ("gas", SQUARE[:2], "drinking water", 30.0)
    book.drawing.line(ground, BuriedLine(line.id, "", "main", "power", SQUARE[1:]))
    book.drawing.keep_off(ground, KeepOff(area.id, "", "well", "drinking water", HALF, 15.0))
    record = book.record(ground)
    assert [(each.id, each.name, each.kind, each.points_m) for each in record.lines] == [
        (line.id, "main", "power", SQUARE[1:])]
    assert [(each.id, each.outline_m, each.distance_m) for each in record.keep_off] == [(area.id, HALF, 15.0)]
    book.drawing.take_back(ground, line.id, "dug up")
    book.drawing.take_back(ground, area.id, "capped")
    assert (book.record(ground).lines, book.record(ground).keep_off) == ((), ())
    book.drawing.keep_off(ground, KeepOff("", "", "well", "again", SQUARE, 0.0))
    assert book.record(ground).keep_off[0].reason == "again"


def test_two_things_of_one_name_are_refused(book: Fieldbook, ground: str) -> None:
    for draw in (lambda: book.drawing.outline(ground, drawn("building", "Lawn")),
                 lambda: book.drawing.line(ground, BuriedLine("", "", "LAWN ", "gas", SQUARE[:2]))):
        with pytest.raises(ImpossibleValue, match="has this name already"):
            draw()
    with pytest.raises(ImpossibleValue, match=r"a tree .* has this name already \(got \"Oak 4\"\)"):
        book.drawing.new_tree(ground, "Oak 4", book.record(ground).places[0].id, 0.0, 0.0)
    with pytest.raises(Missing, match="draw the place first"):
        book.drawing.new_tree(ground, "oak 5", "none", 0.0, 0.0)


def test_what_is_not_there_cannot_be_drawn_anew_or_taken_back(book: Fieldbook, ground: str) -> None:
    for draw in (lambda: book.drawing.take_back(ground, "x", ""), lambda: book.drawing.move_tree(ground, "x", 0.0, 0.0),
                     lambda: book.drawing.outline(ground, drawn("", an_id="x")),
                 lambda: book.drawing.line(ground, BuriedLine("x", "", "main", "gas", SQUARE[:2])),
                 lambda: book.drawing.keep_off(ground, KeepOff("x", "", "well", "water", SQUARE, 0.0))):
        with pytest.raises(Missing, match="nothing of this id"):
            draw()
    with pytest.raises(Missing, match="no such property"):
        book.drawing.take_back("x", "x", "")


def test_the_same_stroke_twice_is_one_event(book: Fieldbook, ground: str) -> None:
    lawn = book.record(ground).places[0]
    book.drawing.outline(ground, drawn("", an_id=lawn.id))
    before = book.state_hash()
    book.drawing.outline(ground, drawn("", an_id=lawn.id))
    assert book.state_hash() == before


def test_a_picture_whose_own_size_nobody_kept_counts_as_it_is() -> None:
    kept = Aerial("", "0" * 64, 1200, 900, 0.05, 0.0, 0.0, 0.0)
    assert kept.counted_px == (1200, 900)
    assert replace(kept, own_width_px=3000, own_height_px=2250).counted_px == (3000, 2250)


def test_a_picture_from_above_is_laid_changed_taken_back_and_goes_out_whole(
        book: Fieldbook, ground: str, tmp_path: Path) -> None:
    mark = book.drawing.keep_photo(BytesIO(b"\xff\xd8\xff a picture"))
    laid = Aerial("", mark, 1200, 900, 0.05, -3.5, -2.0, 40.0, 3000, 2250)
    book.drawing.lay_aerial(ground, laid)
    there = book.drawing.aerial(ground)
    assert there is not None
    assert there == Aerial(there.id, mark, 1200, 900, 0.05, -3.5, -2.0, 40.0, 3000, 2250)
    assert book.drawing.photo(mark) is not None
    archive = tmp_path / "a.zip"
    assert book.export(archive).photos == 1
    book.drawing.take_back(ground, there.id, "old")
    assert book.drawing.aerial(ground) is None
