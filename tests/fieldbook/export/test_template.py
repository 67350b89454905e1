"""The template: it imports cleanly, in both systems, and is the same bytes each time."""

from __future__ import annotations

from pathlib import Path
from typing import BinaryIO

import openpyxl
import pytest

from rootcase.fieldbook import whole_file
from rootcase.fieldbook.export.template import write_template
from rootcase.fieldbook.intake.grid import read_pages
from rootcase.fieldbook.intake.layout import PAGES, columns_of, layout_of
from rootcase.fieldbook.intake.values import box_unit
from rootcase.ground.errors import FileError
from rootcase.ground.units import unit_name
from rootcase.ground.words import say
from rootcase.records.observe import System
from rootcase.tables.readings import kinds
from tests.fieldbook.sheets import PROPERTY, SHEET, open_book, write_sheet


@pytest.fixture(params=["us", "metric"])
def system(request: pytest.FixtureRequest) -> System:
    return request.param  # type: ignore[no-any-return]


def test_an_empty_template_imports_cleanly(tmp_path: Path, system: System) -> None:
    write_template(tmp_path / "sheet.xlsx", system, 2015)
    with open_book(tmp_path / "f.sqlite") as book:
        with pytest.raises(FileError, match="name, latitude, longitude"):
            book.import_sheet(tmp_path / "sheet.xlsx")
        before = book.import_sheet(write_sheet(tmp_path / "in", dict(SHEET)))
        result = book.import_sheet(tmp_path / "sheet.xlsx", property_id=before.property_id)
        assert (result.new, result.corrected, result.faults) == (0, 0, ())
        assert (result.unknown_columns, result.unknown_pages) == ((), ())


def test_its_examples_are_right_once_they_are_meant(tmp_path: Path, system: System) -> None:
    write_template(tmp_path / "sheet.xlsx", system, 2015)
    book = openpyxl.load_workbook(tmp_path / "sheet.xlsx")
    for key, value in book["property"].iter_rows(min_row=2, max_col=2):
        value.value = dict(PROPERTY).get(key.value) if key.value != "system" else system
    for name in PAGES:
        if name in book.sheetnames and name != "property":
            for line in book[name].iter_rows(min_row=3, max_row=3):
                for cell in line:
                    if isinstance(cell.value, str):
                        cell.value = cell.value.removeprefix("example ")
            if name == "rules":
                book[name].cell(3, 1, "closed")
            if name == "prices":
                book[name].cell(3, 1, "mulch")
    for number, (east, north) in enumerate(((20, 20), (20, 30)), 2):
        book["outlines"].append(["lawn", "lawn", str(number), f"{east} m", f"{north} m"])
    book.save(tmp_path / "meant.xlsx")
    with open_book(tmp_path / "f.sqlite") as fieldbook:
        result = fieldbook.import_sheet(tmp_path / "meant.xlsx")
        assert [fault.line for fault in result.faults] == []
        record = fieldbook.record(result.property_id)
        assert [len(x) for x in (record.places, record.visits, record.trees, record.pits, record.samples)] == [1] * 5
        assert {"dbh", "shoot_length_by_year", "cover_share_by_ring", "probe_depth", "probe_stop", "soil_ph",
                "leaf_length"} <= {r.kind for r in record.readings}
        dbh, = record.of(record.trees[0].id, kind="dbh")
        assert dbh.value == pytest.approx(14.5 * 25.4)
        assert [price.item for price in fieldbook.price_book("USD").prices] == ["mulch"]
        assert [(rule.topic, rule.closed_from, rule.closed_to) for rule in record.rules] == [
            ("closed", "12-01", "04-01")]


def test_every_column_is_known_and_has_its_systems_unit(tmp_path: Path, system: System) -> None:
    write_template(tmp_path / "sheet.xlsx", system, 2015)
    found: dict[str, list[str]] = {}
    for page in read_pages(tmp_path / "sheet.xlsx"):
        layout = layout_of(page)
        if layout is None or page.name == say("template.choices_page"):
            continue
        for column in columns_of(page, layout)[1:]:
            assert column.role not in ("own", "blank") or page.name == "property", column
            if column.role == "kind":
                found.setdefault(page.name, []).append(column.name)
                if column.unit:
                    assert unit_name(column.unit) == box_unit(kinds()[column.name], system)
    assert all(len(set(names)) == len(names) for names in found.values())
    quick = {kind.kind for kind in kinds().values() if kind.quick}
    assert quick <= {name for names in found.values() for name in names}


def test_the_same_call_gives_the_same_bytes(tmp_path: Path, system: System, monkeypatch: pytest.MonkeyPatch) -> None:
    write_template(tmp_path / "a.xlsx", system, 2015)
    monkeypatch.setenv("TZ", "Asia/Tokyo")
    (tmp_path / "other").mkdir()
    write_template(tmp_path / "other" / "b.xlsx", system, 2015)
    assert (tmp_path / "a.xlsx").read_bytes() == (tmp_path / "other" / "b.xlsx").read_bytes()


def test_choices_can_be_picked_and_cells_are_text(tmp_path: Path, system: System) -> None:
    write_template(tmp_path / "sheet.xlsx", system, 2015)
    book = openpyxl.load_workbook(tmp_path / "sheet.xlsx")
    header = {cell.value: cell.column_letter for cell in book["trees"][1]}
    label = kinds()["ground_under_crown"].label
    rule = next(r for r in book["trees"].data_validations.dataValidation if f"{header[label]}10" in r.sqref)
    page, _, cells = rule.formula1.lstrip("=").partition("!")
    offered = [cell.value for line in book[page][cells.replace("$", "")] for cell in line]
    assert offered == list(kinds()["ground_under_crown"].choices)
    assert rule.errorStyle == "warning"
    assert {cell.number_format for cell in book["trees"][3]} == {"@"}
    assert book[say("template.choices_page")].sheet_state == "hidden"
    assert book.properties.created.year == 2000  # no clock, so the same bytes on another day


def test_the_years_of_the_shoots_are_those_asked_for(tmp_path: Path, system: System) -> None:
    write_template(tmp_path / "sheet.xlsx", system, 2031)
    page = openpyxl.load_workbook(tmp_path / "sheet.xlsx")["shoots"]
    assert [cell.value for cell in page[1]][4:] == ["2031", "2030", "2029", "2028"]
    assert [cell.value for cell in page[3]][4:] == ["not read", "6 1/2 in", "9 in", "8 in"]


def test_a_template_that_cannot_be_finished_leaves_the_old_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "sheet.xlsx").write_bytes(b"filled in")

    def full(part: Path) -> BinaryIO:
        part.write_bytes(b"half a sh")
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(whole_file, "_fresh", full)
    with pytest.raises(OSError, match=r"No space left.*sheet\.xlsx"):
        write_template(tmp_path / "sheet.xlsx", "us", 2015)
    assert [file.name for file in tmp_path.iterdir()] == ["sheet.xlsx"]
    assert (tmp_path / "sheet.xlsx").read_bytes() == b"filled in"
