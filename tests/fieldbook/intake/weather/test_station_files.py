"""Each form of a station's file against public data: recognised by what is in it, its units told."""

from __future__ import annotations

import random
from collections import defaultdict
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rootcase.fieldbook.intake.faults import PageRefused
from rootcase.fieldbook.intake.weather.recognise import read_grid
from rootcase.fieldbook.intake.weather.station_file import Told
from rootcase.ground.errors import RootcaseError
from rootcase.ground.units import convert
from tests.fieldbook.intake.weather.files import epw, ghcn_long, ghcn_wide, grid_of, read, table, tmy3_lines

SEATTLE = table("weather_seattle.csv")
TMY3 = tmy3_lines()
GREENSBORO = read(TMY3)


@pytest.mark.reference
def test_a_typical_year_sums_to_the_days_that_were_made_apart() -> None:
    """tests/data/greensboro_daily_inputs.csv was summed from the same hours by another program."""
    file = GREENSBORO
    assert file.typical
    assert file.faults == ()
    assert file.told[0] == ("TMY3, GREENSBORO PIEDMONT TRIAD INT: a typical year, its months from 1980-2003. "
                            "No year that was.")
    assert (file.facts.latitude_deg, file.facts.longitude_deg, file.facts.elevation_m) == (36.1, -79.95, 273.0)
    for day, theirs in zip(file.days, table("greensboro_daily_inputs.csv"), strict=True):
        mine = (day.t_max_c, day.t_min_c, day.t_dew_c, day.humidity_max_pct, day.humidity_min_pct, day.wind_m_s,
                day.solar_mj_m2_day, day.rain_mm * 10)
        names = ("tmax", "tmin", "tdew", "rhmax", "rhmin", "u10", "rs", "lprecip_raw_tenths_mm")
        assert mine == pytest.approx([float(theirs[name]) for name in names], abs=6e-5)


@pytest.mark.published
def test_rain_in_tenths_under_a_heading_of_millimetres_is_noticed_and_said() -> None:
    file = GREENSBORO
    assert sum(day.rain_mm for day in file.days) == pytest.approx(834.5)
    assert file.told[1].startswith("Rain in tenths of mm, though the heading says mm")
    assert "8,345 mm" in file.told[1]
    as_said = read(TMY3, rain_unit="mm")
    assert sum(day.rain_mm for day in as_said.days) == pytest.approx(8345.0)
    assert as_said.told[1] == "Rain in mm, as you said."


def test_rain_whose_unit_nothing_tells_stays_unknown_and_the_person_is_told_how_to_say_it() -> None:
    rain = TMY3[1].index("Lprecip depth (mm)")
    draw = random.Random(1)
    lines = [*TMY3[:2], *([*line[:rain], str(draw.choice((0, 0, 0, 1, 2, 4))), *line[rain + 1:]] for line in TMY3[2:])]
    file = read(lines)
    assert {day.rain_mm for day in file.days} == {None}
    assert "Say which it is (--rain-unit mm|tenths)." in file.told[1]
    with_parts = [[*line[:rain], "0.3", *line[rain + 1:]] for line in TMY3[2:]]
    assert read([*TMY3[:2], *with_parts]).days[0].rain_mm == pytest.approx(7.2)
    dry = read([*TMY3[:2], *([*line[:rain], "0", *line[rain + 1:]] for line in TMY3[2:])])
    assert ({day.rain_mm for day in dry.days}, dry.told[1]) == (
        {None}, "Rain is not known: the file has none in all the year.")


def test_the_same_year_in_either_form_is_the_same_days() -> None:
    other = read(epw(TMY3))
    assert other.days == GREENSBORO.days
    assert other.told[0].startswith("EPW, GREENSBORO PIEDMONT TRIAD INT: a typical year")
    assert other.facts == GREENSBORO.facts


def test_an_epw_without_rain_says_so_and_the_rest_is_there() -> None:
    file = read(epw(TMY3, rain=False))
    assert {day.rain_mm for day in file.days} == {None}
    assert file.told[1] == "Rain is not known: the file has none in all the year."
    assert all(day.t_max_c is not None and day.solar_mj_m2_day is not None for day in file.days)


def test_an_epw_of_a_year_that_was_is_days_of_that_year() -> None:
    lines = [*TMY3[:2], *([f"{line[0][:6]}2011", *line[1:]] for line in TMY3[2:])]
    file = read(epw(lines, collection="measured"))
    assert not file.typical
    assert (file.days[0].day, file.days[-1].day) == (date(2011, 1, 1), date(2011, 12, 31))
    assert read(epw(lines, collection="TMYx")).typical
    lines[0] = [lines[0][0], "TRYON POLK COUNTY", *lines[0][2:]]
    assert not read(epw(lines, collection="measured")).typical


@pytest.mark.parametrize("form", [ghcn_long, ghcn_wide])
def test_ghcn_gives_back_the_days_it_was_made_of(form: object) -> None:
    file = read(form(SEATTLE))  # type: ignore[operator]
    assert [day.day.isoformat() for day in file.days] == [row["date"] for row in SEATTLE]
    assert [(day.rain_mm, day.t_max_c, day.t_min_c) for day in file.days] == [
        tuple(float(row[name]) for name in ("rain", "tmax", "tmin")) for row in SEATTLE]
    assert file.told == ("GHCN-Daily, station USW00024233.", "Rain in tenths of mm, temperature in tenths of °C.")
    assert not file.typical


def test_the_wide_form_says_where_the_station_stands() -> None:
    facts = read(ghcn_wide(SEATTLE[:60])).facts
    assert (facts.name, facts.latitude_deg, facts.longitude_deg, facts.elevation_m) == (
        "SEATTLE TACOMA AIRPORT, WA US", 47.4444, -122.3138, 112.5)


def test_what_failed_a_check_of_the_source_is_left_out_and_counted() -> None:
    lines = ghcn_long(SEATTLE[:30])
    lines[0][5], lines[4][4], lines[9][3] = "X", "P", "-9999"
    file = read(lines)
    assert (file.days[0].rain_mm, file.days[1].rain_mm, file.days[2].t_max_c) == (None, 10.9, None)
    assert file.told[2:] == ("1 values failed a check of the source and were left out.",
                             "1 days of rain are zero because the source presumes so.")
    wide = ghcn_wide(SEATTLE[:30])
    wide[1][9] = ",I,W"
    assert read(wide).days[0].t_max_c is None


@pytest.mark.parametrize(("values", "units", "first"), [
    (("0.12", "59", "41"), "Rain in inches, temperature in °F", (3.048, 15.0, 5.0)),
    (("3.0", "15.6", "5.0"), "Rain in mm, temperature in °C", (3.0, 15.6, 5.0)),
    (("30", "156", "50"), "Rain in tenths of mm", (3.0, 15.6, 5.0))])
def test_the_wide_form_is_also_exported_in_other_units(values: tuple[str, ...], units: str,
                                                       first: tuple[float, ...]) -> None:
    header, line, *_ = ghcn_wide(SEATTLE[:2])
    line[6], line[8], line[10] = values
    file = read([header, line])
    assert (file.days[0].rain_mm, file.days[0].t_max_c, file.days[0].t_min_c) == first
    assert file.told[1].startswith(units)


def test_where_the_figures_do_not_tell_the_unit_the_person_is_asked() -> None:
    header, line, *_ = ghcn_wide(SEATTLE[:2])
    line[6], line[8], line[10] = "0", "59", "41"
    with pytest.raises(PageRefused, match=r"tenths of mm and °C or inches and °F; say which: .*--units tenths"):
        read([header, line])
    assert read([header, line], units="us").days[0].t_max_c == 15.0
    assert read([header, line], units="tenths").days[0].t_max_c == 5.9


def test_a_day_that_stands_twice_has_the_figure_only_where_both_agree() -> None:
    lines = ghcn_long(SEATTLE[:3])
    again = [list(line) for line in lines[4:6]]
    again[1][3] = "99"
    file = read([*lines, *again])
    assert (file.days[1].rain_mm, file.days[1].t_max_c, file.days[1].t_min_c) == (10.9, None, 2.8)
    fault, = file.faults
    assert (fault.row, fault.column, fault.value) == (14, "TMAX", '2 January 2012: "106", "99"')
    assert "stands twice" in fault.what


def test_elements_that_are_none_of_ours_are_named() -> None:
    lines = ghcn_long(SEATTLE[:3])
    assert read([*lines, [*lines[0][:2], "SNWD", "0", "", "", "W", ""]]).told[-1] == "Not taken: SNWD."
    wide = [[*line, extra, ",,W" if n else "SNWD_ATTRIBUTES"] for n, (line, extra) in enumerate(
        zip(ghcn_wide(SEATTLE[:3]), ("SNWD", "0", "", ""), strict=True))]
    assert read(wide).told[-1] == "Not taken: SNWD."


def test_of_a_file_of_many_stations_one_is_named() -> None:
    lines = ghcn_long(SEATTLE[:3]) + [["USC00045721", *line[1:]] for line in ghcn_long(SEATTLE[3:6])]
    with pytest.raises(PageRefused, match=r"the file holds 2 stations \(got USC00045721, USW00024233\)"):
        read(lines)
    assert len(read(lines, station="USC00045721").days) == 3


@pytest.mark.reference
def test_hours_become_the_days_that_plain_sums_make_of_them() -> None:
    rows = [row for row in table("weather_new_york_hours.csv") if row["origin"] == "EWR"]
    file = read([[*rows[0]], *([*row.values()] for row in table("weather_new_york_hours.csv"))], station="EWR",
                units="us")
    by_day = defaultdict(list)
    for row in rows:
        by_day[date(int(row["year"]), int(row["month"]), int(row["day"]))].append(row)
    assert [day.day for day in file.days] == sorted(by_day)
    for day in file.days:
        hours = by_day[day.day]
        warm = [convert(float(row["temp"]), "degF", "degC") for row in hours]
        assert (day.t_min_c, day.t_max_c) == pytest.approx((min(warm), max(warm)))
        assert day.humidity_mean_pct == pytest.approx(sum(float(row["humid"]) for row in hours) / len(hours))
        if len(hours) == 24:
            assert day.rain_mm == pytest.approx(25.4 * sum(float(row["precip"]) for row in hours))
        else:
            assert day.rain_mm is None
    assert {len(hours) for hours in by_day.values()} == {23, 24}
    assert file.told[1:3] == (
        "Its hours run from 0 to 23: each is taken as the time at which the hour begins.",
        "Without a unit, and so taken as: temp °F, dewp °F, humid %, wind_speed mph, precip in.")


def test_degrees_fahrenheit_that_nobody_said_are_asked_about() -> None:
    rows = table("weather_clemson_f.csv")
    lines = [[*rows[0]], *([*row.values()] for row in rows)]
    with pytest.raises(PageRefused, match=r"row 185, tmax: this is too warm for degrees Celsius.*--units us"):
        read(lines)
    days = read(lines, units="us").days
    assert (len(days), days[0].t_max_c) == (366, pytest.approx(convert(float(rows[0]["tmax"]), "degF", "degC")))
    assert {day.rain_mm for day in days} == {None}


@pytest.mark.parametrize(("header", "value", "name", "expected"), [
    ("solar (MJ/m2/d)", "20", "solar_mj_m2_day", 20.0), ("Solar (W/m²)", "250", "solar_mj_m2_day", 21.6),
    ("ghi [Wh/m2]", "5000", "solar_mj_m2_day", 18.0), ("radiation (ly/day)", "500", "solar_mj_m2_day", 20.92),
    ("srad (MJ m-2 d-1)", "20", "solar_mj_m2_day", 20.0), ("wind (kt)", "10", "wind_m_s", 5.144444444),
    ("wind_10m (mph)", "10", "wind_m_s", 4.4704), ("u2", "3", "wind_m_s", 3.0), ("rh max (%)", "95",
                                                                                "humidity_max_pct", 95.0),
    ("RHmin", "40", "humidity_min_pct", 40.0), ("dewpoint_f", "50", "t_dew_c", 10.0), ("Wind (m/s at 2 m)", "3",
                                                                                      "wind_m_s", 3.0)])
def test_a_column_says_its_unit_in_its_heading(header: str, value: str, name: str, expected: float) -> None:
    day, = read([["date", "tmin", "tmax", "rain", header], ["2015-05-01", "1", "9", "0", value]]).days
    assert getattr(day, name) == pytest.approx(expected)
    height = {"wind_10m (mph)": 10.0, "u2": 2.0, "Wind (m/s at 2 m)": 2.0}.get(header)
    assert day.wind_height_m == height


@pytest.mark.parametrize(("lines", "message"), [
    ([["date", "tmin", "tmax", "rain (psi)"], ["2015-05-01", "1", "9", "0"]], r"row 1, rain \(psi\)"),
    ([["date", "tmin", "tmax", "rain", "rainfall"], ["2015-05-01", "1", "9", "0", "0"]], "two columns are the same"),
    ([["date", "hour", "temp", "rain"], ["2015-05-01", "25", "9", "0"]], "this is not an hour of a day"),
    ([["time stamp", "temp", "rain"], ["2015-05-01T01:00Z", "9", "0"]], "date, tmin, tmax and rain"),
    ([["timestamp", "temp", "rain"], ["2015-05-01T01:00Z", "9", "0"]], "another zone than the station's own"),
    ([["date", "hour", "wind"], ["2015-05-01", "1", "9"]], "columns of hourly weather are not all here"),
    ([["timestamp", "temp", "rain"], *([f"2015-05-01 {h:02d}:{m:02d}", "9", "0"] for h in range(24)
                                       for m in (0, 30))], "hours that stand more than once")])
def test_what_cannot_be_read_is_refused_in_one_line(lines: list[list[str]], message: str) -> None:
    with pytest.raises(PageRefused, match=message):
        read(lines)


def test_a_day_wants_all_its_hours_for_a_sum_and_twenty_for_an_extreme() -> None:
    def of(hours: int) -> tuple[float | None, float | None]:
        day, = read([["date", "hour", "temp", "rain"],
                     *(["2015-05-01", str(hour), str(hour), "0.5"] for hour in range(24 - hours, 24))]).days
        return day.t_max_c, day.rain_mm

    assert [of(hours) for hours in (24, 23, 20, 19)] == [(23.0, 12.0), (23.0, None), (23.0, None), (None, None)]


MADE = {"tmy3": TMY3[:60], "epw": epw(TMY3[:60]), "long": ghcn_long(SEATTLE[:12]), "wide": ghcn_wide(SEATTLE[:12]),
        "hours": [["date", "hour", "temp (F)", "rain (in)", "wind_10m (mph)"], *(
            ["2015-05-01", str(hour), "50", "0.1", "4"] for hour in range(24))],
        "daily": [["date", "tmin", "tmax", "rain", "solar (W/m2)"], *(
            [f"2015-05-{n:02d}", "1", "9", "0", "200"] for n in range(1, 20))]}
ODD = st.one_of(st.text(max_size=12), st.sampled_from([
    "", "-9999", "nan", "inf", "1e999", "-1", "24:00", "99999999999999999999", "2015-02-30", "13/13/2015", "T", "M",
    "٣", "1,5", "5'6\"", "01/01/0000", "LOCATION", "PRCP", "STATION", "9" * 5000]))


def read_or_refused(lines: list[list[str]]) -> str:
    """Our line of refusal, or nothing; any other error goes on."""
    try:
        read_grid(grid_of(lines), Told())
    except RootcaseError as error:
        return str(error)
    return ""


@pytest.mark.parametrize("text", ["<0.5", "~3", "10-15", "> 2"])
def test_a_limit_a_guess_or_a_span_is_no_figure_of_weather(text: str) -> None:
    file = read([["date", "tmin", "tmax", "rain", "sunshine hours"], ["2015-05-01", "1", "9", text, "4"]])
    assert (file.days[0].rain_mm, file.days[0].t_max_c) == (None, 9.0)
    assert f'w, row 2, rain: this is not one figure (got "{text}")' in file.faults[0].line
    assert file.told[-1] == "Not taken: sunshine hours."


def test_what_no_formula_could_take_is_named_at_the_door() -> None:
    header = ["date", "tmin", "tmax", "rain", "rh min", "rh max"]
    file = read([header, ["2015-05-01", "-75", "5", "0", "80", "40"]])
    assert (file.days[0].t_min_c, file.days[0].humidity_min_pct, file.days[0].humidity_max_pct) == (None, None, None)
    assert [(fault.column, fault.value) for fault in file.faults] == [("tmin", '"-75"'), ("", "80 %, 40 %")]
    gale = read([["date", "tmin", "tmax", "rain", "wind_0.5m"], ["2015-05-01", "1", "9", "0", "41"]])  # 60 at 2 m
    assert (gale.days[0].wind_m_s, [fault.column for fault in gale.faults]) == (None, ["wind_0.5m"])
    with pytest.raises(PageRefused, match=r"wind is not measured at this height \(got 0.1 m\); a height from 0.5 m"):
        read([["date", "tmin", "tmax", "rain", "wind_0.1m"], ["2015-05-01", "1", "9", "0", "3"]])


def test_an_unknown_elevation_is_none() -> None:
    lines = ghcn_wide(SEATTLE[:60])
    for line in lines[1:]:
        line[4] = "-999.9"
    facts = read(lines).facts
    assert (facts.latitude_deg, facts.elevation_m) == (47.4444, None)
    first = [*TMY3[0][:6], "-999.9"]
    with pytest.raises(PageRefused, match="not where a station can stand"):
        read([first, *TMY3[1:30]])


@pytest.mark.property
@pytest.mark.parametrize("form", MADE)
def test_no_file_makes_anything_but_a_line(form: str, long: bool) -> None:
    """A few cells changed, lines lost, doubled or cut: read, or refused in our own words."""
    @settings(max_examples=10_000 if long else 60)
    @given(st.lists(st.tuples(st.integers(0, 60), st.integers(0, 40), ODD), max_size=6), st.integers(0, 70),
           st.lists(st.integers(0, 60), max_size=4))
    def holds(changes: list[tuple[int, int, str]], length: int, doubled: list[int]) -> None:
        lines = [list(line) for line in MADE[form]]
        for row, column, text in changes:
            if row < len(lines):
                lines[row][min(column, len(lines[row]) - 1)] = text
        lines = [*lines, *(list(lines[row]) for row in doubled if row < len(lines))][:length or 1]
        assert "\n" not in read_or_refused(lines)

    holds()


@pytest.mark.property
def test_no_cells_make_anything_but_a_line(long: bool) -> None:
    @settings(max_examples=10_000 if long else 100)
    @given(st.lists(st.lists(ODD, min_size=1, max_size=8), min_size=1, max_size=12))
    def holds(lines: list[list[str]]) -> None:
        assert "\n" not in read_or_refused(lines)

    holds()
