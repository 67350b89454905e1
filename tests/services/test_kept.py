"""Kept casework: shown as it was made, told what came since, never another practice's or another fieldbook's."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.records.observe import Property
from rootcase.records.report import Casework
from rootcase.services import kept, results
from rootcase.services.kept import Arrived, Shelf, kept_casework, make_casework
from rootcase.services.run import Run
from tests.fieldbook.sheets import NOW, SHEET, open_book, write_sheet
from tests.report.fixtures import casework_fixture

DAY = date(2016, 1, 15)
CAME = min(NOW.astimezone().date(), DAY)
"""One clock: what is written down later than the day of the run counts as of that day."""
INVENTED = casework_fixture()


@pytest.fixture(autouse=True)
def thinking(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Nothing is thought; what stands for it names the property, and each time it is asked for is told."""
    told: list[str] = []

    def invented(fieldbook: Fieldbook, ground: Property, run: Run) -> Casework:
        told.append(ground.id)
        return replace(INVENTED, record=fieldbook.record(ground.id), made_on=run.today)

    monkeypatch.setattr(kept, "prescribe_property", invented)
    monkeypatch.setattr(results, "sources_digest", lambda package: "these")
    monkeypatch.setattr(results, "_sources_met", lambda: "these")
    return told


@pytest.fixture
def run(tmp_path: Path) -> Run:
    return Run(DAY, results=tmp_path / "results")


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Fieldbook]:
    with open_book(tmp_path / "book.sqlite") as fieldbook:
        fieldbook.import_sheet(write_sheet(tmp_path / "sheet", SHEET))
        yield fieldbook


def ground_of(book: Fieldbook) -> Property:
    ground, = book.properties()
    return ground


def dbh_of(book: Fieldbook) -> str:
    return next(each.id for each in book.record(ground_of(book).id).readings if each.kind == "dbh")


def test_nothing_is_kept_before_it_is_made(book: Fieldbook, run: Run) -> None:
    found = kept_casework(book, ground_of(book), run)
    assert (found.casework, found.current, found.made_on, found.because) == (None, False, None, ())


def test_what_was_made_is_shown_again_without_thinking(book: Fieldbook, run: Run, thinking: list[str]) -> None:
    made = make_casework(book, ground_of(book), run)
    for found in (kept_casework(book, ground_of(book), run), Shelf().casework(book, ground_of(book), run)):
        assert found.casework is not None
        assert results.fingerprint(found.casework) == results.fingerprint(made)
        assert (found.current, found.made_on, found.because) == (True, DAY, ())
    assert len(thinking) == 1


def test_another_day_is_told_and_nothing_is_made_of_it(book: Fieldbook, run: Run) -> None:
    make_casework(book, ground_of(book), run)
    found = kept_casework(book, ground_of(book), replace(run, today=DAY + timedelta(1)))
    assert (found.current, found.made_on, found.because) == (False, DAY, ())


def laboratory(book: Fieldbook, folder: Path) -> None:
    samples = [["sample", "tree", "visit", "ph"], ["units", "", "", ""], ["s 1", "oak 4", "autumn", "6.1"],
               ["s 2", "oak 4", "autumn", "6.4"]]
    book.import_sheet(write_sheet(folder / "laboratory", {**SHEET, "samples": samples}))


def laboratory_undone(book: Fieldbook, folder: Path) -> None:
    laboratory(book, folder)
    book.undo_import(ground_of(book).id, "wrong sheet")


def corrected_thrice(book: Fieldbook, folder: Path) -> None:
    reading = dbh_of(book)
    for inches in (16, 17, 18):
        reading = book.correct(reading, f"{inches} in", "read again")


def prices(book: Fieldbook, folder: Path) -> None:
    lines = [["item", "unit", "amount", "currency"], ["mulch", "per_m2", "3.90", "USD"]]
    book.import_sheet(write_sheet(folder / "prices", {"property": SHEET["property"], "prices": lines}))


def more_rain(book: Fieldbook, folder: Path) -> None:
    (folder / "weather.csv").write_text("date,tmin,tmax,rain\n2014-06-01,9,19,0.1\n")
    book.import_weather(folder / "weather.csv", "Seattle")


@pytest.mark.parametrize(("change", "told"), [
    (lambda book, folder: book.correct(dbh_of(book), "16 in", "read again"), Arrived("correction", 1, CAME)),
    (lambda book, folder: book.take_back(dbh_of(book), "no"), Arrived("taken_back", 1, CAME)),
    (corrected_thrice, Arrived("correction", 1, CAME)),
    (laboratory, Arrived("laboratory", 2, CAME)),
    (prices, Arrived("price", 1, CAME)),
    (more_rain, Arrived("weather", 1, None)),
    (laboratory_undone, Arrived("undone", 1, CAME)),
], ids=["correction", "taken back", "corrected thrice", "laboratory", "prices", "weather", "undone"])
def test_what_comes_later_is_told(book: Fieldbook, run: Run, tmp_path: Path, change, told) -> None:  # type: ignore[no-untyped-def]
    ground, shelf = ground_of(book), Shelf()
    make_casework(book, ground, run)
    assert shelf.casework(book, ground, run).current
    change(book, tmp_path)
    for found in (kept_casework(book, ground, run), shelf.casework(book, ground, run)):
        assert not found.current
        assert found.because == (told,)
    make_casework(book, ground, run)
    assert shelf.casework(book, ground, run).because == ()


def test_the_shelf_hears_what_another_program_writes(book: Fieldbook, run: Run, tmp_path: Path) -> None:
    ground, shelf = ground_of(book), Shelf()
    make_casework(book, ground, run)
    assert shelf.casework(book, ground, run).current
    with open_book(tmp_path / "book.sqlite") as another:
        another.correct(dbh_of(another), "16 in", "read again")
    assert not shelf.casework(book, ground, run).current
    with open_book(tmp_path / "book.sqlite") as another:
        make_casework(another, ground, run)
    assert shelf.casework(book, ground, run).current


def test_a_shelf_reads_the_file_once(book: Fieldbook, run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    ground, shelf = ground_of(book), Shelf()
    make_casework(book, ground, run)
    first = shelf.casework(book, ground, run)
    monkeypatch.delattr(kept, "read_result")
    monkeypatch.delattr(kept, "with_signature")
    assert shelf.casework(book, ground, run) is first


def test_what_was_made_of_a_casework_is_made_once(book: Fieldbook, run: Run) -> None:
    ground, shelf, made = ground_of(book), Shelf(), list[Casework]()

    def name_of(casework: Casework) -> str:
        made.append(casework)
        return casework.record.property.name

    make_casework(book, ground, run)
    for _ in range(2):
        assert shelf.casework(book, ground, run).form("name", name_of) == "Alder Bank"
    book.correct(dbh_of(book), "16 in", "read again")  # outdated, and still the same casework
    shelf.casework(book, ground, run).form("name", name_of)
    assert len(made) == 1
    make_casework(book, ground, run)
    shelf.casework(book, ground, run).form("name", name_of)
    assert len(made) == 2


def test_no_practice_sees_another_s_casework(book: Fieldbook, run: Run, tmp_path: Path) -> None:
    ground, shelf = ground_of(book), Shelf()
    make_casework(book, ground, run)
    assert shelf.casework(book, ground, run).current
    with (open_fieldbook(tmp_path / "book.sqlite", practice_id="other", now=lambda: NOW) as other,
          open_book(tmp_path / "elsewhere.sqlite") as elsewhere):
        elsewhere.import_sheet(write_sheet(tmp_path / "sheet", SHEET))
        assert ground_of(elsewhere).id == ground.id  # made from the same sheet
        for book_of_another in (other, elsewhere):
            assert kept_casework(book_of_another, ground, run).casework is None
            assert shelf.casework(book_of_another, ground, run).casework is None


def test_a_broken_file_is_as_none(book: Fieldbook, run: Run) -> None:
    make_casework(book, ground_of(book), run)
    assert run.results is not None
    for file in run.results.iterdir():
        file.write_bytes(file.read_bytes()[:-20])
    assert kept_casework(book, ground_of(book), run).casework is None
    assert kept_casework(book, ground_of(book), replace(run, results=None)).casework is None
