"""Files at hand are as fresh as the fieldbook, and read anew only where something of the property was written."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.services import case
from rootcase.services.case import CaseFiles, case_file
from tests.fieldbook.sheets import PROPERTY, SHEET, open_book, write_sheet

DAY = date(2016, 1, 15)


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Fieldbook]:
    with open_book(tmp_path / "book.sqlite") as book:
        book.import_sheet(write_sheet(tmp_path / "one", SHEET))
        other = [*PROPERTY[:1], ["name", "Other"], *PROPERTY[2:]]
        book.import_sheet(write_sheet(tmp_path / "two", {**SHEET, "property": other}))
        yield book


def test_a_file_is_read_anew_where_its_property_was_written_and_only_there(
        book: Fieldbook, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    read = []
    monkeypatch.setattr(case, "case_file", lambda fieldbook, ground: read.append(ground.name) or case_file(
        fieldbook, ground))
    files, (one, other) = CaseFiles(), book.properties()
    first = files.file(book, one)
    assert files.file(book, one) is first
    tree = next(tree for tree in book.record(other.id).trees)
    book.wanting.want(other.id, tree.id, "dbh", by="rs", day=DAY)
    assert files.file(book, one) is first
    assert read == [one.name]
    with open_fieldbook(tmp_path / "book.sqlite") as elsewhere:  # as another process would
        elsewhere.wanting.want(one.id, elsewhere.record(one.id).trees[0].id, "dbh", by="rs", day=DAY)
    assert [each.kind for each in files.file(book, one).wanted] == ["dbh"]
    assert read == [one.name, one.name]


def test_a_correction_is_in_the_file_at_once(book: Fieldbook) -> None:
    files, ground = CaseFiles(), book.properties()[0]
    reading = next(each for each in files.file(book, ground).record.readings if each.kind == "dbh")
    book.correct(reading.id, "13 in", "slip")
    assert "13 in" in [each.typed for each in files.file(book, ground).record.readings if each.kind == "dbh"]


def test_only_the_plan_that_stands_is_signed(book: Fieldbook) -> None:
    assert case_file(book, book.properties()[0]).signed is None
