"""Words on laboratory sheets: every kind has its two sentences, and a verdict names its list."""

from __future__ import annotations

import pytest

from rootcase.casework.compare.laboratory import laboratory
from rootcase.ground.words import catalogue
from rootcase.records.compare import Comparison
from rootcase.report.terminal import comparison_text
from rootcase.report.text.laboratory import SENTENCES, means, sheets
from rootcase.tables.readings import kinds
from tests.casework.property import DAY, WOOD, read, record, tree_readings

LABORATORY = [code for code, kind in kinds().items() if kind.tools == "lab" and kind.stage == "observe"]
SAMPLE = "s-t-field"


def told(*readings):  # type: ignore[no-untyped-def]
    found = record([*tree_readings("t-field"), *WOOD, *readings])
    return found, Comparison("prop", (), 1, 1, DAY, laboratory(found))


def words(*readings):  # type: ignore[no-untyped-def]
    (sheet,) = sheets(*told(*readings))
    return sheet


@pytest.mark.parametrize("kind", LABORATORY)
def test_every_kind_says_what_it_means_and_what_it_does_not(kind: str) -> None:
    assert means(kind).count(".") >= 2


def test_no_sentence_stands_without_a_kind() -> None:
    used = {SENTENCES.get(kind, kind) for kind in LABORATORY}
    for part in ("means", "not"):
        assert {key.rsplit(".", 1)[1] for key in catalogue("en") if key.startswith(f"laboratory.{part}.")} == used


def test_every_method_of_the_catalogue_has_a_name() -> None:
    listed = {each for kind in LABORATORY for name, allowed in kinds()[kind].required.items()
              if name in ("method", "extractant", "extract") for each in allowed}
    assert {each for each in listed if f"laboratory.by.{each}" not in catalogue("en")} == set()


def test_a_sample_whose_top_nobody_told_is_not_said_to_begin_at_the_surface() -> None:
    ph = read("soil_ph", SAMPLE, 6.0, attributes={"method": "water_1_1"})
    bottom = read("sample_depth_bottom", SAMPLE, 152.4)
    assert "down to 6 in (15 cm), from where is not told" in words(ph, bottom).title
    assert "0 to 6 in (15 cm) deep" in words(ph, bottom, read("sample_depth_top", SAMPLE, 0.0)).title


def test_a_verdict_names_its_list_its_plants_and_its_doubt() -> None:
    (row,) = words(read("phosphorus", SAMPLE, 30.0, attributes={"extractant": "mehlich_3"})).rows
    assert row.name == "Phosphorus, extractable (Mehlich 3)"
    assert row.here == "30 ppm (23 to 38)"
    (verdict,) = row.ranges
    assert verdict == ("Below the range of Rutgers Soil Testing Laboratory: 35.5 to 68.5 ppm, high, any crop. Called "
                       "medium there. Its error reaches past the end.")


def test_another_method_is_named_and_not_compared() -> None:
    (row,) = words(read("iron", SAMPLE, 30.0, attributes={"extractant": "ammonium_acetate"})).rows
    assert row.ranges == (
        "No range for this method. Not comparable: read by ammonium acetate, ranges by Morgan, Mehlich 3 and DTPA.",)
    (silent,) = words(read("iron", SAMPLE, 30.0)).rows
    assert silent.ranges == (
        "No range: how it was read was not told, and the ranges are by Morgan, Mehlich 3 and DTPA.",)


def test_a_limit_is_told_as_a_limit() -> None:
    (row,) = words(read("phosphorus", SAMPLE, 5.0, sign="<", attributes={"extractant": "mehlich_3"})).rows
    assert row.here == "under 5 ppm"
    assert row.ranges[0].startswith("Below the range of Rutgers")


def test_nothing_is_said_of_ratios_but_that_nothing_is() -> None:
    both = words(read("calcium", SAMPLE, 900.0, attributes={"extractant": "mehlich_3"}),
                 read("magnesium", SAMPLE, 300.0, attributes={"extractant": "mehlich_3"}))
    assert "Kopittke and Menzies 2007" in both.remarks[0]
    assert words(read("calcium", SAMPLE, 900.0, attributes={"extractant": "mehlich_3"})).remarks == ()


def test_the_section_stands_only_where_a_laboratory_told_something() -> None:
    assert "Laboratory" not in comparison_text(*told())
    assert "Laboratory" in comparison_text(*told(read("nitrate_n", SAMPLE, 12.0)))
    assert "Nothing is diagnosed from one date" in " ".join(
        comparison_text(*told(read("nitrate_n", SAMPLE, 12.0))).split())
