"""A second sheet is held against what the first one brought."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.fieldbook.events import ReadingTaken
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.doubts.adding import add_doubts
from rootcase.fieldbook.intake.doubts.companions import COMPANIONS
from rootcase.tables.load import table
from rootcase.tables.readings import kinds
from tests.fieldbook.intake.doubts.made import standing
from tests.fieldbook.sheets import SHEET, changed, open_book, write_sheet

QUESTION = ("Trunk diameter (DBH) of oak 4: 12.5 cm. On 5 November 2015 it was 12 1/2 in (31.8 cm). "
            "Was it read in inches? 12.5 in would be 31.8 cm.")
WINTER = {**SHEET, "visits": [*SHEET["visits"], ["winter", "2016-01-10", "reader 2"]],
          "trees": [["tree", "place", "visit", "dbh"], ["oak 4", "lawn", "winter", "12.5 cm"]], "pits": [["pit"]]}


CAST = {kind for name in ("slip_nets", "agreements") for row in table(f"observe/{name}").rows
        for kind in row["kinds"].split("|")} | {kind for wanted, _ in COMPANIONS.values() for kind in wanted}
CAST |= {"latitude", "longitude", "species", "probe_stop", "soil_moisture_feel"}
PLACES = ["oak 14", "pit 1", "new", "nowhere", ""]


@st.composite
def readings(draw: st.DrawFn) -> ReadingTaken:
    """Any number inside its hard limits, or any choice or date, of anything at any visit, known or not."""
    of, visit, series = draw(st.sampled_from(PLACES)), draw(st.sampled_from(["old", "new", "", "lost"])), draw(
        st.sampled_from(["1", "2", ""]))
    depth = draw(st.sampled_from([None, 0.0, 0.15]))
    kind = kinds()[draw(st.sampled_from([*sorted(CAST) * 10, *kinds()]))]
    value, choice = None, None
    if kind.lower_hard is not None and kind.upper_hard is not None:
        value = draw(st.floats(kind.lower_hard, kind.upper_hard) | st.just(max(kind.lower_hard, 1e-300)))
    elif kind.value_type == "date":
        choice = draw(st.sampled_from(["2016-06-09", "0001-01-01", "9999-12-31"]))
    else:
        choice = draw(st.sampled_from([*kind.choices, "Tilia"])) or None
    nothing = draw(st.sampled_from([None, None, None, "not read"]))
    typed = draw(st.sampled_from(["14 in", "14 cm", "0.3", "9,5", "?", "1/2/3", "12 mm", "3 m", "9 ft"]))
    return ReadingTaken(
        slot=f"{kind.kind} {of} {visit} {series} {depth}", kind=kind.kind, of=of, visit=visit, typed=typed,
        series=series, value=None if nothing else value, choice=None if nothing else choice, nothing=nothing,
        depth_from_m=depth, sign=draw(st.sampled_from(["=", "<", ">", "~"])),
        growth_year=draw(st.sampled_from([None, 2015, 2016])))


@pytest.mark.property
@given(st.lists(readings(), max_size=40), st.lists(readings(), max_size=20), st.booleans())
def test_whatever_stands_beside_whatever_it_is_asked_about_in_one_line_or_left_alone(
        now: list[ReadingTaken], before: list[ReadingTaken], opened: bool) -> None:
    new = {body.slot: body for body in now}
    standing_there = standing(before) if opened else {}
    told = add_doubts(new, standing_there)  # type: ignore[arg-type]
    lines = [*told, *(doubt for body in new.values() for doubt in body.doubts)]
    assert not any("\n" in line or "{" in line or "nan" in line for line in lines)
    untouched = {slot: replace(body, doubts=()) for slot, body in new.items()}
    assert untouched == {body.slot: body for body in now}


@pytest.fixture
def book(tmp_path: Path) -> Fieldbook:
    return open_book(tmp_path / "fieldbook.sqlite")


def test_a_slip_of_the_second_visit_is_asked_about_and_kept_as_typed(book: Fieldbook, tmp_path: Path) -> None:
    first = book.import_sheet(write_sheet(tmp_path / "autumn", dict(SHEET)))
    assert first.told == ()
    result = book.import_sheet(write_sheet(tmp_path / "winter", WINTER))
    assert (result.faults, result.told) == ((), (f"trees.csv, row 2: {QUESTION}",))
    doubts = {r.typed: r.doubts for r in book.record(result.property_id).readings if r.kind == "dbh"}
    assert doubts == {"17 in": (), "12 1/2 in": (), "12.5 cm": (QUESTION,)}
    assert book.import_sheet(tmp_path / "winter").told == ()


def test_what_was_put_right_by_hand_is_what_the_next_sheet_is_held_against(book: Fieldbook, tmp_path: Path) -> None:
    result = book.import_sheet(write_sheet(tmp_path / "autumn", changed("trees", 3, "dbh", "12 1/2 cm")))
    slip = next(r for r in book.record(result.property_id).readings if r.typed == "12 1/2 cm")
    book.correct(slip.id, "12 1/2 in", "read in inches")
    assert book.import_sheet(write_sheet(tmp_path / "winter", WINTER)).told == (f"trees.csv, row 2: {QUESTION}",)


def test_a_sheet_on_another_scale_throughout_is_told_in_ten_lines_and_kept_whole(book: Fieldbook,
                                                                                 tmp_path: Path) -> None:
    head, tens = ["tree", "place", "visit", "dbh"], range(10, 26)
    inches = {**SHEET, "trees": [head, *([f"oak {n}", "lawn", "autumn", f"{n}.5 in"] for n in tens)], "pits": [["pit"]]}
    slips = {**WINTER, "trees": [head, *([f"oak {n}", "lawn", "winter", f"{n}.5 cm"] for n in tens)]}
    book.import_sheet(write_sheet(tmp_path / "autumn", inches))
    result = book.import_sheet(write_sheet(tmp_path / "winter", slips))
    assert len(result.told) == 11
    assert result.told[-1] == "Trunk diameter (DBH): 6 more are asked about (rootcase observe list)"
    assert sum(bool(r.doubts) for r in book.record(result.property_id).readings) == len(tens)


def test_a_sheet_whose_cell_was_mended_is_not_asked_again(book: Fieldbook, tmp_path: Path) -> None:
    book.import_sheet(write_sheet(tmp_path / "autumn", dict(SHEET)))
    book.import_sheet(write_sheet(tmp_path / "winter", WINTER))
    mended = {**WINTER, "trees": [WINTER["trees"][0], ["oak 4", "lawn", "winter", "12.5 in"]]}
    result = book.import_sheet(write_sheet(tmp_path / "mended", mended))
    assert (result.corrected, result.told) == (1, ())
    assert {r.doubts for r in book.record(result.property_id).readings} == {()}
