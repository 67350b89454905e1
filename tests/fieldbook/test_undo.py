"""Undoing an import: one step while nothing rests on it, and the same file may come in again."""

from __future__ import annotations

from pathlib import Path

import pytest

from rootcase.fieldbook.events import Event, ReadingTaken
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.ground.errors import Missing
from tests.fieldbook.sheets import PROPERTY, SHEET, changed, open_book, write_sheet


@pytest.fixture
def book(tmp_path: Path) -> Fieldbook:
    return open_book(tmp_path / "f.sqlite")


def test_one_step_undoes_everything_an_import_brought(book: Fieldbook, tmp_path: Path) -> None:
    sheet = write_sheet(tmp_path / "in", dict(SHEET))
    first = book.import_sheet(sheet)
    before = book.record(first.property_id)
    prices = book.price_book(before.property.currency)
    undone = book.undo_import(first.property_id, "wrong file")
    assert (undone.events, undone.file) == (first.new, "in")
    assert book.properties() == ()
    assert book.price_book(before.property.currency).prices == ()

    again = book.import_sheet(sheet)
    assert (again.new, again.same) == (first.new, 0)
    after = book.record(first.property_id)
    assert {(r.kind, r.of, r.typed) for r in after.readings} == {(r.kind, r.of, r.typed) for r in before.readings}
    assert book.price_book(before.property.currency) == prices
    assert book.undo_import(first.property_id, "").events == first.new
    assert book.import_sheet(sheet).new == first.new


def test_what_an_import_corrected_stands_again_once_it_is_undone(book: Fieldbook, tmp_path: Path) -> None:
    first = book.import_sheet(write_sheet(tmp_path / "in", dict(SHEET)))
    before = book.record(first.property_id)
    second = book.import_sheet(write_sheet(tmp_path / "two", changed("trees", 3, "dbh", "19")))
    assert (second.new, second.corrected) == (0, 1)
    assert book.undo_import(first.property_id, "").file == "two"
    assert book.record(first.property_id) == before


def test_an_import_stays_while_something_rests_on_it(book: Fieldbook, tmp_path: Path) -> None:
    sheet = write_sheet(tmp_path / "in", dict(SHEET))
    first = book.import_sheet(sheet)
    reading = next(r for r in book.record(first.property_id).readings if r.kind == "dbh")
    book.correct(reading.id, "19 in", "looked again")
    with pytest.raises(Missing, match=r"something later rests on it \(1 in all\) \(got Trunk diameter \(DBH\) 19 in\)"):
        book.undo_import(first.property_id, "wrong file")
    assert len(book.properties()) == 1


def test_imports_are_undone_newest_first(book: Fieldbook, tmp_path: Path) -> None:
    first = book.import_sheet(write_sheet(tmp_path / "in", dict(SHEET)))
    pushes = [["pit", "tree", "visit", "probe_depth"], ["pit 9", "oak 4", "autumn", "5 in"]]
    more = book.import_sheet(write_sheet(tmp_path / "more", {"pits": pushes}), property_id=first.property_id)
    book.import_sheet(write_sheet(tmp_path / "in", changed("trees", 3, "dbh", "19")))
    assert book.undo_import(first.property_id, "").events == 1
    assert book.undo_import(first.property_id, "").events == more.new == 2
    assert book.undo_import(first.property_id, "").events == first.new
    with pytest.raises(Missing, match="no import of this property"):
        book.undo_import(first.property_id, "")


def test_a_doubted_reading_called_right_is_doubted_no_more(book: Fieldbook, tmp_path: Path) -> None:
    sheet = write_sheet(tmp_path / "in", changed("trees", 3, "dbh", "70"))
    first = book.import_sheet(sheet)
    reading = next(r for r in book.record(first.property_id).readings if r.kind == "dbh" and r.doubts)
    book.call_right(reading.id, "taped twice")
    after = next(r for r in book.record(first.property_id).readings if r.kind == "dbh" and r.of == reading.of)
    assert (after.value, after.typed, after.doubts) == (reading.value, reading.typed, ())
    with pytest.raises(Missing, match="nothing is doubted"):
        book.call_right(after.id, "again")
    assert book.import_sheet(sheet).corrected == 0


def test_prices_stay_where_another_property_s_sheet_has_come_in_since(book: Fieldbook, tmp_path: Path) -> None:
    prices = [["item", "unit", "amount", "currency", "source"], ["mulch", "m2", "9.50", "USD", "ours"]]
    first = book.import_sheet(write_sheet(tmp_path / "in", {**SHEET, "prices": prices}))
    book.undo_import(first.property_id, "")
    assert book.price_book("USD").prices == ()
    book.import_sheet(write_sheet(tmp_path / "in", {**SHEET, "prices": prices}))
    other = [[key, "Birch Row" if key == "name" else value] for key, value in PROPERTY]
    book.import_sheet(write_sheet(tmp_path / "two", {**SHEET, "property": other, "prices": prices}))
    book.undo_import(first.property_id, "")
    assert len(book.price_book("USD").prices) == 1


def test_a_reading_of_an_undone_import_is_said_to_be_one(book: Fieldbook, tmp_path: Path) -> None:
    first = book.import_sheet(write_sheet(tmp_path / "in", dict(SHEET)))
    reading = next(r for r in book.record(first.property_id).readings if r.kind == "dbh")
    book.undo_import(first.property_id, "wrong file")
    for change in (lambda: book.correct(reading.id, "19 in", "x"), lambda: book.take_back(reading.id, "x"),
                   lambda: book.call_right(reading.id, "x")):
        with pytest.raises(Missing, match="the import this reading came with was undone"):
            change()


def test_an_import_stays_while_a_phone_has_read_a_tree_that_only_it_opened(book: Fieldbook, tmp_path: Path) -> None:
    first = book.import_sheet(write_sheet(tmp_path / "in", dict(SHEET)))
    tree = book.record(first.property_id).trees[0]
    of_phone = ReadingTaken(slot="phone", kind="crown_dieback", of=tree.id, visit="", typed="30 %", value=0.3)
    with book._store.writing() as turn:
        turn.add([Event("from-a-phone", "own", first.property_id, "2016-02-01T10:00:00.000Z", "phone 1", of_phone)])
    with pytest.raises(Missing, match=r"rests on it \(1 in all\) \(got Crown dieback 30 %\)"):
        book.undo_import(first.property_id, "wrong file")


def test_a_property_that_only_an_undone_import_opened_is_none(book: Fieldbook, tmp_path: Path) -> None:
    first = book.import_sheet(write_sheet(tmp_path / "in", dict(SHEET)))
    book.undo_import(first.property_id, "wrong file")
    with pytest.raises(Missing, match="the fieldbook has no such property"):
        book.record(first.property_id)
