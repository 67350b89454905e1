"""The workbook: newest readings side by side in the person's units, and no cell that a spreadsheet would run."""

from __future__ import annotations

import io
import zipfile
from dataclasses import replace

import openpyxl
import pytest

from rootcase.fieldbook.events import Event, PlaceOpened, TreeOpened
from rootcase.fieldbook.export.workbook import shown_unit, workbook_bytes
from rootcase.fieldbook.view import view
from rootcase.ground.units import convert, unit_label
from rootcase.tables.readings import ReadingKind, kinds
from tests.fieldbook.export.books import HOSTILE
from tests.fieldbook.sheets import FACTS, event, reading, whole_property

RUNNING = ("=1+1", "=cmd|' /C calc'!A0", "+1", "-1", "@SUM(1)", "\t=1", "https://a.example", "mailto:a@b.example",
           "internal:Sheet1!A1", "1e5", "1,250", "TRUE", "#REF!")


def sheets(events: list[Event]) -> dict[str, list[list[openpyxl.cell.Cell]]]:
    data, _ = workbook_bytes([view(events)])
    book = openpyxl.load_workbook(io.BytesIO(data))
    return {sheet.title: [list(row) for row in sheet.iter_rows()] for sheet in book}


def of_tree(rows: list[list[openpyxl.cell.Cell]], label: str) -> dict[str, object]:
    header = [cell.value for cell in rows[0]]
    line, = (row for row in rows[1:] if row[1].value == label)
    return dict(zip(header, (cell.value for cell in line), strict=True))


@pytest.mark.parametrize(("system", "head", "value"), [("us", "Trunk diameter (DBH) [in]", 12.5),
                                                       ("metric", "Trunk diameter (DBH) [cm]", 31.75)])
def test_values_stand_in_the_propertys_own_units(system: str, head: str, value: float) -> None:
    facts = replace(FACTS, system="us" if system == "us" else "metric")
    events = [event("01", facts), *whole_property()[1:], event("x", replace(reading("y", 317.5), of="t3"))]
    found = sheets(events)
    assert list(found) == ["trees", "places", "pits", "samples", "drawn", "readings"]
    assert of_tree(found["trees"], "oak 3")[head] == value
    assert of_tree(found["trees"], "oak 1")[head] == f"{convert(280, 'mm', head[-3:-1]):g} (mean of 2, doubtful)"
    assert of_tree(found["trees"], "oak 1")["compare with"] == "wood oaks"


def test_no_text_is_a_formula_a_number_or_a_link_whatever_it_begins_with() -> None:
    texts = [*HOSTILE, *RUNNING]
    events = [event(f"t{n}", TreeOpened(slot=f"t{n}", tree=f"t{n}", label=text, place="l"))
              for n, text in enumerate(texts)]
    events += [event(f"r{n}", replace(reading(f"r{n}", 1.0), kind="tree_tag", value=None, choice=text, source=text,
                                      of=f"t{n}", visit="v1")) for n, text in enumerate(texts)]
    data, _ = workbook_bytes([view([*whole_property(), *events])])
    found = openpyxl.load_workbook(io.BytesIO(data))
    shown = set()
    for sheet in found:
        for row in sheet.iter_rows():
            for cell in row:
                assert cell.data_type in ("s", "n", "d")
                assert cell.hyperlink is None
                if isinstance(cell.value, str):
                    assert cell.data_type == "s"
                    if cell.row > 1:
                        assert cell.quotePrefix, cell.coordinate
                    shown.add(cell.value)
    assert {text for text in RUNNING if text not in shown} == set()
    with zipfile.ZipFile(io.BytesIO(data)) as parts:
        assert not [name for name in parts.namelist() if b"<f>" in parts.read(name) or "external" in name.lower()]


def test_what_no_cell_can_hold_is_cut_and_told() -> None:
    events = [*whole_property(), event("x", PlaceOpened(slot="x", place="x", name="x" * 40_000, place_kind="lawn"))]
    data, told = workbook_bytes([view(events)])
    assert [line for line in told if line.startswith("places, place, ")]
    cells = [cell.value for row in openpyxl.load_workbook(io.BytesIO(data))["places"].iter_rows() for cell in row]
    assert "x" * 32_767 in cells


def test_the_same_record_is_the_same_bytes() -> None:
    assert workbook_bytes([view(whole_property())]) == workbook_bytes([view(whole_property())])


@pytest.mark.parametrize("kind", [kind for kind in kinds().values() if kind.si_unit], ids=lambda kind: kind.kind)
def test_every_kind_has_a_column_in_both_systems(kind: ReadingKind) -> None:
    for unit in (shown_unit(kind, "us"), shown_unit(kind, "metric")):
        assert isinstance(unit_label(unit), str)
        assert isinstance(convert(1.0, kind.si_unit, unit), float)
