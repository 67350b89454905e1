"""Loggers' files: preambles, units, clocks put forward and back, and rows that nobody can read."""

from __future__ import annotations

from contextlib import suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
import xlsxwriter
from hypothesis import given
from hypothesis import strategies as st

from rootcase.fieldbook.intake.grid import Cell, Grid
from rootcase.fieldbook.intake.heat_file import Asked, HeatFile, HeatFileSaid, _of_place, _Table, _table, read_heat_file
from rootcase.ground.errors import FileError, RootcaseError

NEW_YORK = ZoneInfo("America/New_York")
CELSIUS = HeatFileSaid(unit="C")


def read(tmp_path: Path, text: str, said: HeatFileSaid = CELSIUS) -> HeatFile:
    path = tmp_path / "log.csv"
    path.write_text(text, encoding="utf-8")
    return read_heat_file(path, NEW_YORK, said)


def hours(found: HeatFile) -> list[str]:
    return [f"{each:%d %H:%M}" for each in found.probes[0].at]


def test_a_preamble_units_in_the_header_and_columns_of_something_else(tmp_path: Path) -> None:
    found = read(tmp_path, 'Logger 5,heap 4\n"#","Date Time, GMT-04:00","Temp 1, °F","Temp 2 (°C)",'
                           '"Air °F","Battery, V"\n'
                           "1,05/13/15 10:30:00 AM,140,55.5,60,3.6\n2,05/13/15 11:30:00 PM,131,3276.7,60,3.6\n",
                 HeatFileSaid())
    first, second = found.probes
    assert first.temperature_c == pytest.approx((60.0, 55.0))
    assert first.at == (datetime(2015, 5, 13, 14, 30, tzinfo=UTC), datetime(2015, 5, 14, 3, 30, tzinfo=UTC))
    assert second.temperature_c == (55.5,)
    assert found.left == ("#", "Air °F", "Battery, V")
    assert "3276.7" in found.faults[0].line
    assert "row 4" in found.faults[0].line


@pytest.mark.parametrize(("said", "cell"), [(HeatFileSaid(), "unit"), (HeatFileSaid(unit="C", clock="noon"), "clock")])
def test_what_the_file_does_not_tell_is_asked(tmp_path: Path, said: HeatFileSaid, cell: str) -> None:
    with pytest.raises(Asked, match="; ") as asked:
        read(tmp_path, "time,probe\n2015-05-13 10:00,60\n", said)
    assert asked.value.cell == cell


def test_a_day_that_can_be_two_is_asked_and_one_row_can_settle_it(tmp_path: Path) -> None:
    both = "time,probe\n05/04/2015 10:00,60\n"
    with pytest.raises(Asked, match="can be two days"):
        read(tmp_path, both)
    assert hours(read(tmp_path, both, HeatFileSaid(unit="C", order="day_first"))) == ["05 14:00"]
    assert hours(read(tmp_path, both + "05/13/2015 10:00,60\n")) == ["04 14:00", "13 14:00"]


@pytest.mark.parametrize("newest_first", [False, True])
def test_the_hour_that_comes_twice_is_told_by_the_order_of_rows(tmp_path: Path, newest_first: bool) -> None:
    rows = [f"2015-11-01 {time},60\n" for time in ("00:30", "01:00", "01:30", "01:00", "01:30", "02:00")]
    found = read(tmp_path, "time,probe\n" + "".join(rows[::-1] if newest_first else rows))
    assert hours(found) == ["01 04:30", "01 05:00", "01 05:30", "01 06:00", "01 06:30", "01 07:00"]


def test_a_row_never_comes_before_the_one_above_it(tmp_path: Path) -> None:
    times = ("01:20", "01:25", "01:30", "01:25", "01:30", "01:35")
    found = read(tmp_path, "time,probe\n" + "".join(f"2015-11-01 {time},60\n" for time in times))
    assert hours(found) == ["01 05:20", "01 05:25", "01 05:30", "01 06:25", "01 06:30", "01 06:35"]


def test_the_usual_step_tells_which_of_two_hours_a_lone_row_is(tmp_path: Path) -> None:
    rows = ["2015-10-31 20:00,60\n", "2015-10-31 23:00,60\n", "2015-11-01 01:00,60\n", "2015-11-01 04:00,60\n"]
    assert hours(read(tmp_path, "time,probe\n" + "".join(rows))) == ["01 00:00", "01 03:00", "01 06:00", "01 09:00"]


def test_an_hour_that_never_was_is_refused_with_both_neighbors(tmp_path: Path) -> None:
    text = "time,probe\n2015-03-08 01:30,60\n2015-03-08 02:30,60\n2015-03-08 03:30,60\n"
    with pytest.raises(Asked, match=r"row 3, 2015-03-08 02:30, never was.*from 02:00 at once to 03:00") as asked:
        read(tmp_path, text)
    assert asked.value.cell == "clock"
    assert hours(read(tmp_path, text, HeatFileSaid(unit="C", clock="UTC-5"))) == ["08 06:30", "08 07:30", "08 08:30"]


def test_of_rows_of_which_some_say_their_clock_the_others_clock_is_asked(tmp_path: Path) -> None:
    text = "time,probe\n2015-05-13T10:00:00Z,60\n2015-05-13T11:00:00,60\n2015-05-13T12:00:00Z,60\n"
    with pytest.raises(Asked, match=r"row 3, 2015-05-13T11:00:00, says no offset") as asked:
        read(tmp_path, text)
    assert asked.value.cell == "clock"
    assert hours(read(tmp_path, text, HeatFileSaid(unit="C", clock="UTC+0"))) == ["13 10:00", "13 11:00", "13 12:00"]
    assert hours(read(tmp_path, text, HeatFileSaid(unit="C", clock="UTC-1"))) == ["13 10:00", "13 12:00", "13 12:00"]
    whole = text.replace("11:00:00,", "11:00:00Z,")
    assert hours(read(tmp_path, whole)) == ["13 10:00", "13 11:00", "13 12:00"]
    assert hours(read(tmp_path, whole, HeatFileSaid(unit="C", clock="UTC-1"))) == ["13 11:00", "13 12:00", "13 13:00"]


@given(hour=st.integers(0, 72), step=st.sampled_from([5, 10, 15, 30, 60]))
def test_any_unbroken_log_across_the_change_keeps_its_moments(hour: int, step: int) -> None:
    first = datetime(2015, 10, 30, tzinfo=UTC) + timedelta(hours=hour)
    moments = [first + at * timedelta(minutes=step) for at in range(400)]
    local = [each.astimezone(NEW_YORK).replace(tzinfo=None) for each in moments]
    table = _Table(Grid("log", "log.csv", ()), (), 0, 0, None)
    assert _of_place(table, [(0, [])] * len(local), local, NEW_YORK) == moments


def test_a_workbook_with_day_and_time_apart(tmp_path: Path) -> None:
    path = tmp_path / "log.xlsx"
    with xlsxwriter.Workbook(path) as book:
        page = book.add_worksheet("log")
        rows = [["Day", "Time", "Probe °C"], ["2015-05-13", "10:00", 60.5], ["2015-05-13", "11:00", 61]]
        for at, row in enumerate(rows):
            page.write_row(at, 0, row)
    assert hours(read_heat_file(path, NEW_YORK, HeatFileSaid())) == ["13 14:00", "13 15:00"]


@pytest.mark.parametrize("text", ["", "a,b\n1,2\n", "time,name\n2015-05-13 10:00,oak\n", "\0\0\0"])
def test_what_is_no_log_is_refused_in_one_line(tmp_path: Path, text: str) -> None:
    with pytest.raises(FileError, match="; ") as refused:
        read(tmp_path, text)
    assert "\n" not in str(refused.value)


def test_what_cannot_be_read_is_left_out_each_by_its_row_and_the_rest_is_taken(tmp_path: Path) -> None:
    rows = ["2015-05-13 10:00,60", "2015-99-99 10:00,60", "2015-05-13 25:00,60", "soon,61", ",62", ",",
            "2015-05-13 11:00,hot", "2015-05-13 12:00,61", *(f"2015-05-14 {at:02d}:99,60" for at in range(19))]
    found = read(tmp_path, "time,probe\n" + "\n".join(rows) + "\n2015-05-13 13:00,60\n" * 30)
    assert [f"{each:%H}" for each in found.probes[0].at[:3]] == ["14", "16", "17"]
    assert [each.row for each in found.faults[:6]] == [3, 4, 5, 6, 8, 10]
    assert (len(found.faults), found.more_faults) == (20, 4)
    assert '"2015-99-99 10:00"' in found.faults[0].line


def test_a_unit_said_against_the_files_own_is_asked(tmp_path: Path) -> None:
    text = "time,probe °F\n2015-05-13 10:00,140\n"
    with pytest.raises(Asked, match="the file says otherwise of probe °F, and you said °C") as asked:
        read(tmp_path, text, CELSIUS)
    assert asked.value.cell == "unit"
    assert read(tmp_path, text, HeatFileSaid(unit="F")).probes[0].temperature_c == pytest.approx((60.0,))


def test_how_a_lone_row_of_the_hour_that_came_twice_was_read_is_said(tmp_path: Path) -> None:
    rows = [f"2015-11-01 {time},60\n" for time in ("00:00", "01:00", "02:00", "03:00")]
    note, = read(tmp_path, "time,probe\n" + "".join(rows)).notes
    assert "On 1 November 2015 an hour came twice" in note
    assert "row 3 (01:00) was read as the first" in note
    late = [f"2015-11-01 {time},60\n" for time in ("00:00", "01:00", "01:00", "02:00")]
    assert read(tmp_path, "time,probe\n" + "".join(late)).notes == ()
    assert read(tmp_path, "time,probe\n" + "".join(rows), HeatFileSaid(unit="C", clock="UTC-5")).notes == ()
    every = [f"2015-11-01 01:{minute:02d},60\n" for minute in range(0, 60, 5)]
    assert "and 6 rows more" in read(tmp_path, "time,probe\n" + "".join(every)).notes[0]


@given(st.lists(st.text(max_size=40), min_size=1, max_size=3))
def test_any_cells_are_a_log_or_a_line(cells: list[str]) -> None:
    with suppress(RootcaseError):
        _table([Grid("log", "log.csv", (tuple(map(Cell, cells)),))], "log.csv")
