"""Daily weather: units by header or by row, days in order, gaps named and never filled."""

from __future__ import annotations

import math
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.grid import read_csv
from rootcase.fieldbook.intake.weather import gaps, read_weather, series
from rootcase.fieldbook.store.weather import WeatherDay
from rootcase.ground.errors import FileError
from tests.fieldbook.sheets import SHEET, open_book, write_sheet


def write(path: Path, *lines: str) -> Path:
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def test_units_come_from_the_header_or_the_row_and_a_bare_column_is_metric(tmp_path: Path) -> None:
    days, faults = read_weather(read_csv(write(
        tmp_path / "w.csv", "Date,Tmin (F),Max temp,Rain,Wind [mph],ET0,note", "units,,F,in,,,",
        "2015-05-01,41,59,0.5,10,3.2,windy", "2015-05-02,-,n/a,,,,")), "our own gauge")
    assert faults == ()
    first, second = days
    assert (first.t_min_c, first.t_max_c, first.rain_mm, first.et0_mm) == (5.0, 15.0, 12.7, 3.2)
    assert first.wind_m_s == pytest.approx(4.4704)
    assert second == WeatherDay(date(2015, 5, 2), source="our own gauge")


@pytest.mark.parametrize(("lines", "message"), [
    (["2015-05-02,1,9,0", "2015-05-01,1,9,0"], "w, row 3: the day does not come after 2 May 2015"),
    (["2015-05-02,1,9,0", "2015-05-02,1,9,0"], "w, row 3: the day does not come after 2 May 2015"),
    (["5/2/2015,1,9,0"], "w, row 2, date: this date can be"), (["42125,1,9,0"], "turned a date into a number"),
    ([], "there is no day in it")])
def test_days_that_cannot_be_told_are_refused_with_their_row(tmp_path: Path, lines: list[str], message: str) -> None:
    with pytest.raises(FileError, match=message):
        read_weather(read_csv(write(tmp_path / "w.csv", "date,tmin,tmax,rain", *lines)))


def test_a_file_without_the_columns_is_refused(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="date, tmin, tmax and rain"):
        read_weather(read_csv(write(tmp_path / "w.csv", "date,tmin,rain", "2015-05-01,1,0")))


def test_a_figure_that_cannot_be_is_named_and_stays_unknown(tmp_path: Path) -> None:
    days, faults = read_weather(read_csv(write(tmp_path / "w.csv", "date,tmin,tmax,rain", "2015-05-01,12,9,0",
                                               "2015-05-02,1,9,-9999", "2015-05-03,1,wet,0", "2015-05-04,1,9,0.1")))
    assert [(f.row, f.column) for f in faults] == [(2, ""), (3, "rain"), (4, "tmax")]
    assert "the minimum is above the maximum (got 12 °C, 9 °C)" in faults[0].line
    assert [(d.t_min_c, d.t_max_c, d.rain_mm) for d in days] == [(None, None, 0.0), (1.0, 9.0, None), (1.0, None, 0.0),
                                                                 (1.0, 9.0, 0.1)]


def test_gaps_are_named_by_month_and_the_end_is_said(tmp_path: Path) -> None:
    with open_book(tmp_path / "f.sqlite") as book:
        path = write(tmp_path / "w.csv", "date,tmin,tmax,rain", "2014-06-01,1,9,0", "2014-06-05,1,9,0",
                     "2014-06-06,1,,0", "2014-07-01,1,9,0")
        result = book.import_weather(path, "Seattle", source="a gauge")
        assert result.gaps == ("27 days missing in June 2014", "highest temperature missing on 1 day in June 2014",
                               "weather ends 1 July 2014")
        assert (result.new, result.replaced, result.same) == (4, 0, 0)
        again = book.import_weather(write(path, "date,tmin,tmax,rain", "2014-06-05,1,9,0", "2014-07-01,2,9,0",
                                          "2014-07-02,1,9,0"), "Seattle", source="a gauge")
        assert (again.new, again.replaced, again.same, again.ends) == (1, 1, 1, date(2014, 7, 2))


def test_a_property_has_the_weather_of_its_station(tmp_path: Path) -> None:
    book: Fieldbook
    with open_book(tmp_path / "f.sqlite") as book:
        ground = book.import_sheet(write_sheet(tmp_path / "in", {
            **SHEET, "weather": [["date", "tmin", "tmax", "rain"], ["2015-05-01", "1", "9", "0"],
                                 ["2015-05-03", "2", "9", "4.5"]]}))
        assert (ground.weather_days, ground.faults) == (2, ())
        weather = book.weather(ground.property_id)
        assert (weather.station, weather.ends, weather.source) == ("Seattle", date(2015, 5, 3), "weather.csv")
        assert math.isnan(weather.rain_mm[1])
        assert (weather.rain_mm[0], weather.rain_mm[2]) == (0.0, 4.5)


def test_weather_out_of_order_does_not_stop_the_sheet_it_came_with(tmp_path: Path) -> None:
    with open_book(tmp_path / "f.sqlite") as book:
        result = book.import_sheet(write_sheet(tmp_path / "in", {
            **SHEET, "weather": [["date", "tmin", "tmax", "rain"], ["2015-05-02", "1", "9", "0"],
                                 ["2015-05-01", "2", "9", "4.5"]]}))
        assert [(f.sheet, f.row) for f in result.faults] == [("weather", 3)]
        assert len(book.record(result.property_id).trees) == 2
        assert book.weather(result.property_id).days == ()


@pytest.mark.property
@given(st.sets(st.integers(0, 400), min_size=1, max_size=40))
def test_a_series_has_every_day_once_and_counts_what_is_missing(numbers: set[int]) -> None:
    days = [WeatherDay(date(2014, 1, 1) + timedelta(days=n), 1.0, 9.0, 0.0) for n in sorted(numbers)]
    held = series("X", days)
    assert all(later - earlier == timedelta(days=1) for earlier, later in zip(held.days, held.days[1:], strict=False))
    missing = sum(int(line.split()[0]) for line in gaps(held)[:-1])
    assert missing == len(held.days) - len(days) == sum(math.isnan(rain) for rain in held.rain_mm)


@pytest.mark.parametrize(("first", "second", "day"), [
    ("4/12/2015", "4/13/2015", date(2015, 4, 12)), ("12/4/2015", "13/4/2015", date(2015, 4, 12))])
def test_one_day_that_can_only_be_read_one_way_tells_how_a_file_writes_all(tmp_path: Path, first: str, second: str,
                                                                           day: date) -> None:
    days, faults = read_weather(read_csv(write(tmp_path / "w.csv", "date,tmin,tmax,rain", f"{first},1,9,0",
                                               f"{second},1,9,0")))
    assert ([each.day for each in days], faults) == ([day, day + timedelta(days=1)], ())


def test_a_file_whose_days_contradict_each_other_is_refused(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="w, row 2, date: this date can be"):
        read_weather(read_csv(write(tmp_path / "w.csv", "date,tmin,tmax,rain", "4/5/2015,1,9,0", "4/13/2015,1,9,0",
                                    "14/4/2015,1,9,0")))


def test_what_weather_services_write_is_understood(tmp_path: Path) -> None:
    days, faults = read_weather(read_csv(write(
        tmp_path / "w.csv", "DATE,TMAX (F),TMIN (F),PRCP (in),AWND", "2015-05-01,59,41,T,2", "2015-05-02,M,41,M,NaN")))
    assert faults == ()
    assert [(d.t_max_c, d.rain_mm, d.wind_m_s) for d in days] == [(15.0, 0.0, 2.0), (None, None, None)]


def test_a_trace_is_of_rain_alone_and_the_way_out_is_the_weather_s_own(tmp_path: Path) -> None:
    _, faults = read_weather(read_csv(write(tmp_path / "w.csv", "date,tmin,tmax,rain", "2015-05-01,T,9,wet")))
    assert [(f.column, f.right) for f in faults] == [
        (name, "write a number, T for a trace of rain, or leave the cell empty") for name in ("tmin", "rain")]
