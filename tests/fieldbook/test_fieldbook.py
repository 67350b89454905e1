"""The fieldbook's face: correct, take back, erase, and whose clock it is."""

from __future__ import annotations

from pathlib import Path

import pytest

from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.ground.errors import Missing, RootcaseError
from rootcase.ground.ids import made_ms
from tests.fieldbook.sheets import NOW, SHEET, open_book, write_sheet

PAGES = {**SHEET, "contacts": [["role", "name", "phone", "email"], ["owner", "A. Person", "555 0100", "a@example.org"],
                               ["payer", "B. Person", "", ""]]}


def test_a_correction_keeps_the_old_reading_and_takes_its_unit(tmp_path: Path) -> None:
    with open_book(tmp_path / "f.sqlite") as book:
        result = book.import_sheet(write_sheet(tmp_path / "in", PAGES))
        tree = book.record(result.property_id).trees[0].id
        old, = book.record(result.property_id).of(tree, kind="dbh")
        an_id = book.correct(old.id, "18", "read again")
        new, = book.record(result.property_id).of(tree, kind="dbh")
        assert (new.id, new.value, new.typed, new.supersedes) == (an_id, pytest.approx(457.2), "18 in", old.id)
        assert made_ms(an_id) == int(NOW.timestamp() * 1000)
        with pytest.raises(Missing, match=f"the newest is {an_id[-5:]}$"):
            book.correct(old.id, "20", "again")
        book.correct(an_id, "50 cm", "metric tape")
        assert book.record(result.property_id).of(tree, kind="dbh")[0].typed == "50 cm"
        book.correct(book.record(result.property_id).of(tree, kind="dbh")[0].id, "51", "looked again")
        assert book.record(result.property_id).of(tree, kind="dbh")[0].typed == "51 cm"


@pytest.mark.parametrize(("typed", "said"), [("900", "not possible"), ("10-12", "a range is not taken"),
                                             ("-", "take the reading back")])
def test_a_correction_is_held_to_the_same_limits(tmp_path: Path, typed: str, said: str) -> None:
    with open_book(tmp_path / "f.sqlite") as book:
        result = book.import_sheet(write_sheet(tmp_path / "in", PAGES))
        record = book.record(result.property_id)
        with pytest.raises(RootcaseError, match=said):
            book.correct(record.of(record.trees[0].id, kind="dbh")[0].id, typed, "slip")
        assert book.record(result.property_id) == record


def test_what_is_taken_back_leaves_the_view_and_the_same_sheet_does_not_bring_it_back(tmp_path: Path) -> None:
    with open_book(tmp_path / "f.sqlite") as book:
        result = book.import_sheet(write_sheet(tmp_path / "in", PAGES))
        record = book.record(result.property_id)
        dbh, = record.of(record.trees[0].id, kind="dbh")
        book.take_back(dbh.id, "wrong tree")
        assert book.record(result.property_id).of(record.trees[0].id, kind="dbh") == ()
        book.import_sheet(tmp_path / "in")
        assert len(book.record(result.property_id).readings) == len(record.readings) - 1
        with pytest.raises(Missing, match="this reading has been taken back"):
            book.take_back(dbh.id, "again")


def test_an_erased_contact_is_gone_and_every_reading_stays(tmp_path: Path) -> None:
    with open_book(tmp_path / "f.sqlite") as book:
        result = book.import_sheet(write_sheet(tmp_path / "in", PAGES))
        record = book.record(result.property_id)
        owner, payer = book.contacts(result.property_id)
        assert (owner.role, owner.name, owner.phone, owner.email) == ("owner", "A. Person", "555 0100", "a@example.org")
        book.erase_contact(owner.id)
        assert book.contacts(result.property_id) == (payer,)
        assert book.record(result.property_id) == record
    assert not any(b"A. Person" in file.read_bytes() for file in tmp_path.iterdir() if file.is_file())


def test_what_is_not_there_is_named(tmp_path: Path) -> None:
    with open_book(tmp_path / "f.sqlite") as book:
        assert book.properties() == ()
        with pytest.raises(Missing, match="no such property"):
            book.record("x")
        with pytest.raises(Missing, match="no such reading"):
            book.take_back("x", "why")


def test_a_fieldbook_is_still_there_when_it_is_opened_again(tmp_path: Path) -> None:
    with open_fieldbook(tmp_path / "deep" / "f.sqlite") as book:
        result = book.import_sheet(write_sheet(tmp_path / "in", PAGES))
        record = book.record(result.property_id)
    with open_book(tmp_path / "deep" / "f.sqlite") as book:
        assert [p.name for p in book.properties()] == ["Alder Bank"]
        assert book.record(result.property_id) == record


def test_a_reading_is_found_by_the_end_of_its_id_as_the_report_prints_it(tmp_path: Path) -> None:
    with open_book(tmp_path / "f.sqlite") as book:
        result = book.import_sheet(write_sheet(tmp_path / "in", PAGES))
        record = book.record(result.property_id)
        dbh, = record.of(record.trees[0].id, kind="dbh")
        with pytest.raises(Missing, match="its last five signs are enough"):
            book.correct(dbh.id[-4:], "18", "slip")
        newer = book.correct(dbh.id[-5:], "18", "slip")
        with pytest.raises(Missing, match=f"the newest is {newer[-5:]}$"):
            book.correct(dbh.id[-5:], "19", "slip")


def test_an_end_that_two_readings_share_is_asked_about(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("rootcase.fieldbook.fieldbook.SIGNS", 0)
    with open_book(tmp_path / "f.sqlite") as book:
        book.import_sheet(write_sheet(tmp_path / "in", PAGES))
        with pytest.raises(Missing, match="several readings end so; give more of the id"):
            book.take_back("", "why")
