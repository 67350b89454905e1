"""Ten invented laboratories' sheets of unlike form, every value followed to what it means; nobody's real samples."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rootcase.fieldbook.intake.grid import Cell, Grid
from rootcase.fieldbook.intake.lab.cells import lab_cell
from rootcase.fieldbook.intake.lab.sample import depths_mm, identity, matrix_of
from rootcase.fieldbook.intake.lab.turned import turned
from rootcase.fieldbook.intake.lab.words import Matrix, analyte
from rootcase.fieldbook.intake.values import read_value
from rootcase.tables.readings import kinds

MANY = settings(max_examples=5 * settings.default.max_examples)
"""10,000 in the long run: what a laboratory prints is a stranger's as much as its file is."""

DAY = datetime.date(2024, 5, 3)
Found = dict[tuple[str, str], tuple[Any, ...]]


def grid(text: str) -> Grid:
    """A sheet drawn with bars between its cells."""
    rows = [[cell.strip() for cell in line.split("|")] for line in text.strip("\n").split("\n")]
    width = max(map(len, rows))
    return Grid("sheet", "sheet.csv", tuple(tuple(map(Cell, row + [""] * (width - len(row)))) for row in rows))


@dataclass(frozen=True)
class Sheet:
    """A sheet as it is read: what it says of samples, what was measured, what waits and what is kept as text."""

    facts: dict[tuple[str, str], str]
    values: Found
    waiting: set[str]
    text: set[str]
    told: tuple[str, ...]


def read(sheet: Grid, matrix: Matrix = "soil", header: int = 0, units: int | None = None) -> Sheet:
    """The samples of a sheet whose samples stand down the rows."""
    facts, values, waiting, text = {}, {}, set(), set()
    heads = [cell.text for cell in sheet.rows[header]]
    for row in sheet.rows[(header if units is None else units) + 1:]:
        said = {identity(head): cell.text for head, cell in zip(heads, row, strict=True) if identity(head)}
        sample = said.get("sample", "")
        facts |= {(sample, str(fact)): what for fact, what in said.items() if what and fact != "sample"}
        depth = depths_mm(said.get("depth", ""))
        layer = (depth[1] - depth[0]) / 1000 if depth else None
        own = matrix_of(said.get("sample_matrix", "")) or matrix
        for at, (head, cell) in enumerate(zip(heads, row, strict=True)):
            if identity(head) or not cell.text:
                continue
            unit = sheet.rows[units][at].text if units is not None else ""
            found = analyte(head, unit, own, layer)
            if found is None:
                text.add(head)
            elif found.asks:
                waiting.add(head)
            else:
                parted = lab_cell(cell.text)
                if parted.asked:
                    waiting.add(f"{sample}, {head}")
                    continue
                value = read_value(kinds()[found.kind], Cell(parted.text), found.unit, "metric", DAY, found.factor)
                assert value is not None
                assert value.value is not None
                kept = dict(found.attributes) | ({"rating": parted.rating} if parted.rating else {})
                values[sample, found.kind] = (round(value.value, 9), value.sign, kept)
    return Sheet(facts, values, waiting, text, sheet.told)


def read_turned(text: str, matrix: Matrix = "soil") -> Sheet:
    sheet = turned(grid(text))
    assert sheet is not None
    return read(sheet, matrix)


def test_a_form_of_one_soil_sample_with_ratings() -> None:
    sheet = read_turned("""
Invented Soil Laboratory, report 17
Date received: | 3 May 2024
Sample ID: | Oak 14 north | Lab No. | 4471
Depth | 0-6 in

Analyte | Result | Unit | Method | Rating
pH | 6.2 | | 1:1 water | Optimum
Buffer pH | 6.8 | | SMP
Phosphorus | 12 | ppm | Mehlich 3 | L
Potassium | 140 | ppm | Mehlich 3 ICP | H
Micronutrients
Zinc | <0.4 | ppm | DTPA
Organic Matter | 3.4 | % | LOI
CEC | 14.2 | meq/100g | Sum of cations
Lime requirement | 0 | t/ha
K base saturation | 2.5 | %
""")
    oak = "Oak 14 north"
    assert sheet.facts == {(oak, "lab_and_number"): "4471", (oak, "depth"): "0-6 in", (oak, "received"): "3 May 2024"}
    assert sheet.values == {
        (oak, "soil_ph"): (6.2, "=", {"method": "water_1_1", "rating": "Optimum"}),
        (oak, "buffer_ph"): (6.8, "=", {"buffer": "SMP"}),
        (oak, "phosphorus"): (12, "=", {"extractant": "mehlich_3", "rating": "L"}),
        (oak, "potassium"): (140, "=", {"extractant": "mehlich_3", "method_as_printed": "ICP", "rating": "H"}),
        (oak, "zinc"): (0.4, "<", {"extractant": "dtpa"}),
        (oak, "organic_matter"): (0.034, "=", {"method": "loss_on_ignition"}),
        (oak, "cec"): (14.2, "=", {"method": "summation"}),
    }
    assert sheet.text == {"Lime requirement [t/ha]", "K base saturation [%]"}
    assert 'row 1 "Invented Soil Laboratory, report 17"; row 11 "Micronutrients"' in sheet.told[-1]
    assert "row 2 is column B, rows 7 to 16" in sheet.told[0]


def test_milligrams_in_a_litre_of_soil_beside_an_index() -> None:
    text = """
Reference | pH | P mg/l (Olsen) | P index | K mg/l (ammonium nitrate){kg} | Mg mg/l
Avenue 1 | 7.4 | 14 (1) | 1 | 182 (2-) | 51
"""
    asked = read(grid(text.format(kg="")))
    assert asked.waiting == {"P mg/l (Olsen)", "K mg/l (ammonium nitrate)", "Mg mg/l"}
    assert asked.text == {"Reference", "P index"}
    told = read(grid(text.format(kg=" (1.2 kg/l)")))
    assert told.values["", "potassium"] == (round(182 / 1.2, 9), "=", {
        "extractant": "other", "extractant_as_printed": "ammonium nitrate", "rating": "2-"})


def test_samples_side_by_side_in_a_turned_sheet_with_decimal_commas() -> None:
    sheet = read_turned("""
Parameter | Units | Linde 3 | Linde 4
Lab No. | | 88 | 89
pH (CaCl2) |  | 6,9 | 7,4
P2O5 (CAL) | mg/100 g | 8,5 | <1
Clay | g/kg | 182,5 | 240
Corg x 1,724 | % | 2,1 | 1,05
Exch. Mg | cmol/kg | 1,5 | 2
Depth | | 0-15 cm | 15-30 cm
""")
    assert sheet.facts == {("Linde 3", "depth"): "0-15 cm", ("Linde 4", "depth"): "15-30 cm",
                           ("Linde 3", "lab_and_number"): "88", ("Linde 4", "lab_and_number"): "89"}
    p = {"extractant": "other", "extractant_as_printed": "CAL"}
    factor = 2 * 30.974 / (2 * 30.974 + 5 * 15.999)
    assert sheet.values == {
        ("Linde 3", "soil_ph"): (6.9, "=", {"method": "cacl2"}),
        ("Linde 4", "soil_ph"): (7.4, "=", {"method": "cacl2"}),
        ("Linde 3", "phosphorus"): (round(85 * factor, 9), "=", p),
        ("Linde 4", "phosphorus"): (round(10 * factor, 9), "<", p),
        ("Linde 3", "clay"): (0.1825, "=", {}), ("Linde 4", "clay"): (0.24, "=", {}),
        ("Linde 3", "organic_matter"): (round(0.021 * 1.724, 9), "=", {"method": "carbon_x_1.724"}),
        ("Linde 4", "organic_matter"): (round(0.0105 * 1.724, 9), "=", {"method": "carbon_x_1.724"}),
        ("Linde 3", "magnesium"): (182.2875, "=", {}), ("Linde 4", "magnesium"): (243.05, "=", {}),
    }


def test_a_leaf_sheet_with_a_row_of_units() -> None:
    sheet = read(grid("""
Sample | Plant part | N | P | K | Ca | Mg | S | Fe (washed) | Mn | Zn | Cu | B | Na | Cl
 | | % | % | % | g/kg | % | % DM | ppm | ppm | ppm | mg/kg | ppm | ppm | %
Oak 14 | leaves | 1.9 | 0.16 | 0.8 L | 9.1 | 0.2 | 0.14 | 62 | 1210 VH | 18 | <2 | 31 | 150 | 0.02
"""), units=1)
    expected = {"leaf_n": 0.019, "leaf_p": 0.0016, "leaf_k": 0.008, "leaf_ca": 0.0091, "leaf_mg": 0.002,
                "leaf_s": 0.0014, "leaf_fe": 62, "leaf_mn": 1210, "leaf_zn": 18, "leaf_cu": 2, "leaf_b": 31,
                "leaf_na": 150, "leaf_cl": 0.0002}
    assert {kind: value for (_, kind), (value, _, _) in sheet.values.items()} == pytest.approx(expected)
    assert sheet.values["Oak 14", "leaf_cu"][1] == "<"
    assert sheet.values["Oak 14", "leaf_k"][2] == {"rating": "L"}
    assert sheet.values["Oak 14", "leaf_mn"][2] == {"rating": "VH"}
    assert sheet.values["Oak 14", "leaf_fe"][2] == {"washed": "yes"}
    assert sheet.facts == {("Oak 14", "sample_matrix"): "leaves"}


def test_two_leaf_samples_across() -> None:
    sheet = read_turned("""
 | Sample 1 | Sample 2 | Sufficiency range
Sample ID | Oak 14 | Oak 15 good |
Nitrogen (N) % | 1.6 | 2.2 | 1.8-2.6
Manganese (Mn) ppm | 14 | 210 | 30-800
Iron (Fe) ppm, unwashed | 48 | 70 | 50-200
Aluminum ppm | 90 | ND |
""", "leaf")
    assert {key: value[:2] for key, value in sheet.values.items()} == {
        ("Oak 14", "leaf_n"): (0.016, "="), ("Oak 15 good", "leaf_n"): (0.022, "="),
        ("Oak 14", "leaf_mn"): (14, "="), ("Oak 15 good", "leaf_mn"): (210, "="),
        ("Oak 14", "leaf_fe"): (48, "="), ("Oak 15 good", "leaf_fe"): (70, "="), ("Oak 14", "leaf_al"): (90, "=")}
    assert 'row 1 "Sample 1 Sample 2"' in sheet.told[-1]
    assert "Nitrogen (N) %: Sufficiency range" in sheet.text
    assert sheet.waiting == {"Oak 15 good, Aluminum ppm"}


def test_pounds_an_acre_with_the_depth_beside_them() -> None:
    text = """
Sample ID | Depth | Bray P1 lb/A | K lb/ac (NH4OAc) | OM % | NO3-N lb/acre
Field edge | 0-6 in | 44 M | 310 H | 2.9 | <4
Deep | {deep} | 20 | 100 | 1.0 | 12
"""
    sheet = read(grid(text.format(deep="0-24 in")))
    bray, acetate = {"extractant": "bray_p1"}, {"extractant": "ammonium_acetate"}
    thick = 24 * 3 / 20  # of furrow slices
    assert sheet.values == {
        ("Field edge", "phosphorus"): (22, "=", bray | {"rating": "M"}),
        ("Field edge", "potassium"): (155, "=", acetate | {"rating": "H"}),
        ("Field edge", "organic_matter"): (0.029, "=", {}), ("Field edge", "nitrate_n"): (2, "<", {}),
        ("Deep", "phosphorus"): (pytest.approx(10 / thick), "=", bray),
        ("Deep", "potassium"): (pytest.approx(50 / thick), "=", acetate),
        ("Deep", "organic_matter"): (0.01, "=", {}), ("Deep", "nitrate_n"): (pytest.approx(6 / thick), "=", {})}
    assert read(grid(text.format(deep="?"))).waiting == {"Bray P1 lb/A", "K lb/ac (NH4OAc)", "NO3-N lb/acre"}


def test_a_salinity_panel() -> None:
    sheet = read(grid("""
Salinity panel (invented)
Sample No. | ECe (sat. paste) mmhos/cm | EC 1:5 µS/cm | SAR | ESP % | Na meq/100g | Cl (1:5) mg/L | CaCO3 % | EC
Kerb side | 6.4 | 910 | 14.5 | 17 | 2.1 | 120 | <0.5 | 3
"""), header=1)
    assert sheet.waiting == {"EC"}
    assert sheet.values == {
        ("Kerb side", "ece"): (0.91, "=", {"extract": "1_5"}),  # the second column of its kind, each with its extract
        ("Kerb side", "sar"): (14.5, "=", {}), ("Kerb side", "esp"): (0.17, "=", {}),
        ("Kerb side", "sodium"): (round(2.1 * 229.9, 9), "=", {}),
        ("Kerb side", "chloride"): (600, "=", {"extract": "1_5"}), ("Kerb side", "carbonate"): (0.005, "<", {})}


def test_one_line_for_each_result_with_detection_limits() -> None:
    sheet = read_turned("""
Sample | Sample type | Test | Result | Units | Detection limit
A1 | Soil | Nitrate-N | BDL | mg/kg | 0.5
A1 | Soil | Chloride (1:5) | 30 | mg/kg | 5
A1 | Soil | Total N | 0.12 | % | 0.01
A2 | Leaf | Total N | 2.1 | % | 0.01
A2 | Leaf | Sulphur | 0.15 | % | <0.01
A2 | Leaf | Sulphur | 0.17 | % | <0.01
A2 | Leaf | Boron | ND | mg/kg | 1
""")
    assert sheet.values == {
        ("A1", "nitrate_n"): (0.5, "<", {}), ("A1", "chloride"): (30, "=", {"extract": "1_5"}),
        ("A1", "total_nitrogen"): (0.0012, "=", {}), ("A2", "leaf_n"): (0.021, "=", {}),
        ("A2", "leaf_s"): (0.0017, "=", {}), ("A2", "leaf_b"): (1, "<", {})}
    assert "BDL taken as <0.5, the limit that is printed" in " ".join(sheet.told)


def test_a_second_figure_of_one_analyte_is_a_row_of_its_own() -> None:
    sheet = turned(grid("""
Sample | Test | Result
A | pH | 6.1
A | SAR | 2
A | pH | 6.3
"""))
    assert sheet is not None
    assert [[cell.text for cell in row] for row in sheet.rows] == [
        ["Sample", "pH", "SAR"], ["A", "6.1", "2"], ["A", "6.3", ""]]


def test_a_column_named_by_its_one_sample() -> None:
    sheet = read_turned("""
Element | Unit | Oak 14
K | g/kg | 8
Mg | g/kg | 2
Al | ppm | 50
""", "leaf")
    assert {key: value[0] for key, value in sheet.values.items()} == {
        ("Oak 14", "leaf_k"): 0.008, ("Oak 14", "leaf_mg"): 0.002, ("Oak 14", "leaf_al"): 50}


def test_a_block_for_each_sample_borrows_nothing_from_the_one_before() -> None:
    sheet = read_turned("""
Sampled on | 2 May 2024
Sample ID: A
Depth: 0-6 in
Test | Result | Unit
pH | 6 |
OM | 3 | %
P (Bray 1) | 10 | ppm

Sample ID: B
Test | Result | Unit
pH | 6.5 |
OM | 3.5 | %
P (Bray 1) | 11 | ppm
""")
    assert sheet.facts == {("A", "sampled"): "2 May 2024", ("B", "sampled"): "2 May 2024", ("A", "depth"): "0-6 in"}
    assert {key: value[0] for key, value in sheet.values.items()} == {
        ("A", "soil_ph"): 6, ("A", "organic_matter"): 0.03, ("A", "phosphorus"): 10,
        ("B", "soil_ph"): 6.5, ("B", "organic_matter"): 0.035, ("B", "phosphorus"): 11}


@pytest.mark.parametrize("text", [
    "tree | species | DBH (in) | side\n1 | oak | 12 | N\n2 | oak | 12 | S\n3 | oak | 12 | E\n4 | lime | 9 | W",
    "Sample | pH | P ppm | K ppm\n1 | 6 | 12 | 100\n2 | 7 | 12 | 80",
    "Sample | pH | P ppm | K ppm | short of\n1 | 6 | 12 | 100 | P\n2 | 7 | 12 | 80 | Mg\n3 | 7 | 9 | 80 | K",
    "place | what\nlawn | clay\nbed | sand\npit | silt loam", "", "a"])
def test_other_sheets_stay_as_they_stand(text: str) -> None:
    assert turned(grid(text)) is None


WORDS = st.sampled_from(["pH", "P", "K (M3)", "OM", "Result", "Unit", "Analyte", "Method", "Rating", "ppm", "6.2", "<1",
                         "ND", "Sample ID", "Sample ID: A", "Depth", "0-6 in", "", "", "L", "Sand %", "Total", "x"])


@MANY
@given(st.integers(1, 5).flatmap(lambda width: st.lists(
    st.lists(st.one_of(WORDS, WORDS, st.text(max_size=6)), min_size=width, max_size=width), max_size=12)))
def test_turning_loses_no_result_and_breaks_on_nothing(rows: list[list[str]]) -> None:
    sheet = Grid("s", "s.csv", tuple(tuple(map(Cell, row)) for row in rows))
    found = turned(sheet)
    if found is None:
        return
    assert len({len(row) for row in found.rows}) == 1
    seen = " ".join([*(cell.text for row in found.rows for cell in row), *found.told])
    for figure in ("6.2", "<1"):
        assert figure not in {text for row in rows for text in row} or figure in seen


@pytest.mark.parametrize(("typed", "limit", "text", "rating"), [
    ("6.2", "", "6.2", ""), ("6.2 H", "", "6.2", "H"), ("6.2H", "", "6.2", "H"), ("VL 6.2", "", "6.2", "VL"),
    ("< 0.5 L", "", "< 0.5", "L"), ("12,5 (Low)", "", "12,5", "Low"), ("32 ppm (H)", "", "32 ppm", "H"),
    ("32 (2)", "", "32", "2"), ("32 (ppm)", "", "32 ppm", ""), ("45 % VH", "", "45 %", "VH"), ("45*", "", "45", "*"),
    ("Optimum", "", "", "Optimum"), ("ND", "0.5 ppm", "<0.5 ppm", ""), ("trace", "<0.1", "<0.1", ""),
    ("< DL", "2", "<2", ""), ("BDL", "", "BDL", ""), ("n/a", "1", "n/a", ""), ("1 1/2", "", "1 1/2", ""),
    ("10-15", "", "10-15", ""), ("12 oak", "", "12 oak", ""), ("5.1 strongly acid", "", "5.1", "strongly acid")])
def test_a_cell_is_parted_into_value_and_rating(typed: str, limit: str, text: str, rating: str) -> None:
    found = lab_cell(typed, limit)
    assert (found.text, found.rating) == (text, rating)
    assert bool(found.asked) == (typed == "BDL")
    assert bool(found.said) == text.startswith("<") if limit and typed != "n/a" else not found.said


@MANY
@given(st.text(max_size=20), st.text(max_size=8))
def test_no_letter_of_a_cell_is_lost(typed: str, limit: str) -> None:
    found = lab_cell(typed, limit)
    if not found.said:
        signs = {sign for sign in typed if not sign.isspace()} - set("()[]")
        assert signs <= set(found.text + found.rating)


@pytest.mark.parametrize(("text", "unit", "expected"), [
    ("0-6 in", "", (0, 152.4)), ("0 to 15 cm", "", (0, 150)), ('0"-6"', "", (0, 152.4)), ("15–30", "cm", (150, 300)),
    ("0-6", "", None), ("6 in", "", None), ("6-0 in", "", None), ("surface", "in", None), ("0-6 ppm", "", None)])
def test_depths_as_printed(text: str, unit: str, expected: tuple[float, float] | None) -> None:
    found = depths_mm(text, unit)
    assert found == (None if expected is None else pytest.approx(expected))


def test_a_text_longer_than_any_figure_is_not_parted() -> None:
    assert lab_cell("6" * 190 + " H").rating == "H"
    assert lab_cell("6" * 200 + " H").text == "6" * 200 + " H"
