"""The page of the practice: what is told, what is refused, and that the newest word stands."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.records.observe import Paper, Practice
from tests.fieldbook.sheets import PROPERTY, open_book, write_sheet

TOLD = [["key", "value", "ends"], ["name", "The practice", ""], ["tax rate", "8.5 %", ""],
        ["tax_name", "sales tax", ""],
        ["valid days", "2 weeks", ""], ["laboratory_days", "10", ""], ["terms", "terms.txt", ""],
        ["licence", "applicator 12", "2016-06-30"], ["calibration", "oxygen meter", "1 Mar 2016"]]


@pytest.fixture
def book(tmp_path: Path) -> Fieldbook:
    return open_book(tmp_path / "f.sqlite")


def take(book: Fieldbook, folder: Path, rows: list[list[str]], terms: bytes = b"Pay within 30 days.\n") -> list[str]:
    visits = [["visit", "date"], [folder.name, "2015-11-05"]]
    path = write_sheet(folder, {"property": PROPERTY, "visits": visits, "practice": rows})
    (folder / "terms.txt").write_bytes(terms)
    return [fault.line for fault in book.import_sheet(path).faults]


def test_what_the_practice_tells_is_kept_and_belongs_to_no_property(book: Fieldbook, tmp_path: Path) -> None:
    assert book.practice() == Practice()
    assert take(book, tmp_path / "in", TOLD) == []
    assert book.practice() == Practice(
        "The practice", "", "", "sales tax", 8.5, 14, 10, "Pay within 30 days.",
        (Paper("calibration", "oxygen meter", date(2016, 3, 1)), Paper("licence", "applicator 12", date(2016, 6, 30))))


def test_the_newest_word_stands_and_none_takes_it_back(book: Fieldbook, tmp_path: Path) -> None:
    take(book, tmp_path / "in", TOLD)
    assert take(book, tmp_path / "two", [TOLD[0], ["tax_rate", "none", ""], ["name", "Another", ""],
                                         ["licence", "Applicator 12", "2017-06-30"],
                                         ["calibration", "oxygen meter", "none"]]) == []
    now = book.practice()
    assert (now.name, now.tax_pct, now.valid_days) == ("Another", None, 14)
    assert [(paper.what, paper.ends) for paper in now.papers] == [("Applicator 12", date(2017, 6, 30))]
    book.undo_import(book.properties()[0].id, "wrong file")
    assert book.practice().tax_pct == 8.5


@pytest.mark.parametrize(("row", "says"), [
    (["fax", "1", ""], 'none of its choices .*"fax".*; one of: name, '),
    (["tax_rate", "0.085", ""], r'no rate of tax.*"0\.085".*8\.5 %'), (["tax_rate", "-3 %", ""], "no rate of tax"),
    (["tax_rate", "eight", ""], "no rate of tax"), (["tax_rate", "101", ""], "no rate of tax"),
    (["valid_days", "0", ""], "no number of days"), (["valid_days", "1.5", ""], "no number of days"),
    (["valid_days", "3 ft", ""], "no number of days"), (["licence", "applicator", ""], "ends"),
    (["name", "", ""], "value"), (["terms", "../terms.txt", ""], "no such text beside the sheet"),
    (["terms", "gone.txt", ""], "no such text beside the sheet")])
def test_what_cannot_be_taken_is_said_in_its_row(row: list[str], says: str, book: Fieldbook, tmp_path: Path) -> None:
    fault, = take(book, tmp_path / "in", [TOLD[0], row, ["name", "The practice", ""]])
    assert re.search(says, fault), fault
    assert book.practice().name == "The practice"


@pytest.mark.parametrize(("terms", "says"), [(b"\xff\xfe\x00", "no such text"), (b"x" * 20_001, "longer than 20,000")])
def test_terms_that_are_no_text_or_too_long_are_refused(terms: bytes, says: str, book: Fieldbook,
                                                        tmp_path: Path) -> None:
    fault, = take(book, tmp_path / "in", [TOLD[0], ["terms", "terms.txt", ""]], terms)
    assert says in fault


def test_a_link_is_no_text_beside_the_sheet(book: Fieldbook, tmp_path: Path) -> None:
    (tmp_path / "in").mkdir()
    (tmp_path / "secret").write_text("not theirs", encoding="utf-8")
    (tmp_path / "in" / "link.txt").symlink_to(tmp_path / "secret")
    fault, = take(book, tmp_path / "in", [TOLD[0], ["terms", "link.txt", ""]])
    assert "no such text beside the sheet" in fault


def test_terms_may_stand_in_the_cell(book: Fieldbook, tmp_path: Path) -> None:
    assert take(book, tmp_path / "in", [TOLD[0], ["terms", "Pay at once. 5 % off.", ""]]) == []
    assert book.practice().terms == "Pay at once. 5 % off."
