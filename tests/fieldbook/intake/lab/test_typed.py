"""Laboratory values typed into the field sheet: the template offers the columns, and the record has them."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

from rootcase.fieldbook.export.template import write_template
from rootcase.fieldbook.intake.lab.words import analyte
from rootcase.records.observe import System
from rootcase.tables.readings import kinds
from tests.fieldbook.sheets import SHEET, open_book, write_sheet


@pytest.mark.parametrize("system", ["us", "metric"])
def test_the_template_shows_every_laboratory_column_and_its_method(tmp_path: Path, system: System) -> None:
    write_template(tmp_path / "sheet.xlsx", system, 2015)
    page = openpyxl.load_workbook(tmp_path / "sheet.xlsx")["samples"]
    headers = [cell.value for cell in page[1]]
    for kind in kinds().values():
        if kind.of == "sample" and kind.stage == "observe" and kind.value_type != "choice":
            assert {kind.label, *(f"{kind.label}, {name}" for name in kind.required)} <= set(headers)
    assert [letter for letter, column in page.column_dimensions.items() if column.hidden] == []


def test_soil_and_leaf_typed_into_the_field_sheet(tmp_path: Path) -> None:
    samples = [
        ["sample", "tree", "visit", "sample_matrix", "sample_depth_top", "sample_depth_bottom", "soil_ph",
         "soil_ph.method", "phosphorus", "phosphorus.extractant", "zinc", "zinc.extractant", "ammonium_n", "leaf_n",
         "leaf_zn", "leaf_al", "leaf_al.washed"],
        ["soil 4", "oak 4", "autumn", "soil", "0", "6", "7.4", "cacl2", "<4", "olsen", "1.2 mg/kg", "dtpa", "3"],
        ["leaf 4", "oak 4", "autumn", "leaf", "", "", "", "", "", "", "", "", "", "1.9", "18", "90", "yes"]]
    width = len(samples[0])
    pages = {**SHEET, "samples": [row + [""] * (width - len(row)) for row in samples]}
    with open_book(tmp_path / "f.sqlite") as book:
        result = book.import_sheet(write_sheet(tmp_path / "in", pages))
        assert [fault.line for fault in result.faults] == []
        found = {each.kind: each for each in book.record(result.property_id).readings}
    assert {kind: (found[kind].value, found[kind].sign, dict(found[kind].attributes)) for kind in (
        "soil_ph", "phosphorus", "zinc", "ammonium_n", "leaf_n", "leaf_zn", "leaf_al")} == {
        "soil_ph": (7.4, "=", {"method": "cacl2"}), "phosphorus": (4, "<", {"extractant": "olsen"}),
        "zinc": (1.2, "=", {"extractant": "dtpa"}), "ammonium_n": (3, "=", {}), "leaf_n": (0.019, "=", {}),
        "leaf_zn": (18, "=", {}), "leaf_al": (90, "=", {"washed": "yes"})}


@pytest.mark.parametrize(("header", "unit", "printed"), [
    ("P lb/A (0-6 in)", "", "lb/A"), ("K", "kg/ha (0-15 cm)", "kg/ha (0-15 cm)"), ("pH", "", ""),
    ("Mg MG/KG", "", "MG/KG")])
def test_the_unit_stays_as_it_is_printed(header: str, unit: str, printed: str) -> None:
    found = analyte(header, unit)
    assert found is not None
    assert (found.printed_unit, found.asks) == (printed, ())
