"""Weather through the whole door: a file in, what a property's case is reckoned with out, and what is said of it."""

from __future__ import annotations

import gzip
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from rootcase.casework.explain.weather import shoots_weather
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.weather import Fill, Told, WeatherResult, recognise
from rootcase.ground.errors import FileError, Missing, OutOfRange
from rootcase.records.observe import Weather
from rootcase.services.compare import compare_property
from rootcase.services.explain import explain_property
from rootcase.services.observe import find_property
from rootcase.services.run import Run
from rootcase.services.weather import WeatherSaid, take_weather, weather_for
from tests.fieldbook.intake.weather.files import DATA, ghcn_wide, table, tmy3_lines, write
from tests.fieldbook.sheets import PROPERTY, SHEET, open_book, write_sheet
from tests.greensboro import columns

SEATTLE = table("weather_seattle.csv")
HEADER = ["date", "tmin", "tmax", "rain"]
RUN = Run(date(2016, 1, 1))


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Fieldbook]:
    """Alder Bank, whose station is Seattle."""
    with open_book(tmp_path / "f.sqlite") as found:
        found.import_sheet(write_sheet(tmp_path / "in", SHEET))
        yield found


@pytest.fixture
def greensboro(tmp_path: Path) -> Iterator[Fieldbook]:
    """A property where the typical year of Greensboro NC was measured."""
    facts = {"latitude": "36.1", "longitude": "-79.95", "elevation": "273 m", "weather_station": "Piedmont Triad"}
    page = [[key, facts.get(key, value)] for key, value in PROPERTY]
    with open_book(tmp_path / "g.sqlite") as found:
        found.import_sheet(write_sheet(tmp_path / "in", {**SHEET, "property": page}))
        yield found


def days(first: date, count: int, rain: str = "1.0") -> list[list[str]]:
    return [HEADER, *([(first + timedelta(n)).isoformat(), "1", "9", rain] for n in range(count))]


def known(book: Fieldbook, run: Run = RUN) -> Weather:
    return weather_for(book, find_property(book, None), run)


def typical_file(folder: Path) -> Path:
    path = folder / "723170TYA.CSV"
    path.write_bytes(gzip.decompress((DATA / "tmy3_greensboro.csv.gz").read_bytes()))
    return path


@pytest.fixture(scope="module", autouse=True)
def typical_cells_are_read_once(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """What is made of them is made each time."""
    typical, read = typical_file(tmp_path_factory.mktemp("typical")), recognise.read_grids
    cells = read(typical)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(recognise, "read_grids", lambda path: cells if path.name == typical.name else read(path))
        yield


@pytest.mark.reference
def test_a_typical_year_through_the_door_evaporates_what_another_program_says(greensboro: Fieldbook,
                                                                              tmp_path: Path) -> None:
    """refet 0.5.0 from the same hours: 1125.136 mm a year; the bar is 0.02 % of it, and 0.001 mm on a day."""
    told = take_weather(greensboro, typical_file(tmp_path), WeatherSaid(station="Piedmont Triad", stand_in=True))
    assert (told.new, told.faults, told.first) == (365, (), None)
    weather = known(greensboro)
    of_2015 = [at for at, day in enumerate(weather.days) if day.year == 2015]
    et0 = np.array(weather.et0_mm)[of_2015]
    assert et0.sum() == pytest.approx(1125.136, rel=2e-4)
    assert np.max(np.abs(et0 - columns("et0_greensboro.csv")["refet asce tdew"])) < 1e-3
    assert sum(np.array(weather.rain_mm)[of_2015]) == pytest.approx(834.5)
    assert set(weather.et0_method) == {"penman_monteith"}
    assert weather.told == (
        "Typical weather of GREENSBORO PIEDMONT TRIAD INT, not the weather of 2013 to 2016.",
        "The station GREENSBORO PIEDMONT TRIAD INT stands 0.0 km away and 0 m higher.",
        "Reference evapotranspiration by Penman-Monteith (1,095 days).", "Humidity from the dew point.")


def test_a_typical_year_stands_in_only_when_somebody_says_so(greensboro: Fieldbook, tmp_path: Path) -> None:
    result = greensboro.import_weather(typical_file(tmp_path), "Piedmont Triad")
    assert result.told[-1].startswith("It is kept apart and stands in for nothing")
    with pytest.raises(FileError, match=r"nothing of a file of this form \(got --units us\)"):
        greensboro.import_weather(typical_file(tmp_path), "Piedmont Triad", told=Told(units="us"))
    with pytest.raises(Missing, match=r"only a typical year; bring its days, or import .*--stand-in"):
        known(greensboro)
    greensboro.import_weather(typical_file(tmp_path), "Piedmont Triad", stands_in=True)
    assert known(greensboro).typical
    assert greensboro.import_weather(typical_file(tmp_path), "Piedmont Triad").told[-1].startswith("It stands in where")
    greensboro.import_weather(write(tmp_path / "w.csv", days(date(2015, 1, 1), 30)), "Piedmont Triad")
    assert (known(greensboro).typical, len(known(greensboro).days)) == (False, 30)


def test_a_typical_year_is_run_from_the_end_of_its_own_winter(greensboro: Fieldbook, tmp_path: Path) -> None:
    greensboro.import_weather(typical_file(tmp_path), "Piedmont Triad", stands_in=True)
    weather = known(greensboro, Run(date(2017, 3, 1)))  # over 29 February 2016
    assert [weather.t_max_c[weather.days.index(date(2016, 2, day))] for day in (28, 29)] == [weather.t_max_c[
        weather.days.index(date(2015, 2, 28))]] * 2
    (run,), (season,) = shoots_weather(weather, [], 36.1, 45)
    assert (season, run.dates[0]) == (2016, np.datetime64("2015-01-01"))
    first, second = run.rain_mm[:365], run.rain_mm[365:]
    np.testing.assert_array_equal(np.delete(second, 59)[:300], first[:300])


@pytest.mark.property
def test_files_of_a_year_each_explain_what_one_file_of_both_does(tmp_path: Path) -> None:
    """Nothing is refilled on 1 January: the soil's water goes over the winter with the days."""
    rows = [[row["date"], row["tmin"], row["tmax"], row["rain"]] for row in SEATTLE]
    years = ("2012", "2013", "2014", "2015")
    files = {"one": [rows], "many": [[row for row in rows if row[0].startswith(year)] for year in years]}
    explained = []
    for name, parts in files.items():
        with open_book(tmp_path / f"{name}.sqlite") as book:
            book.import_sheet(write_sheet(tmp_path / "in", SHEET))
            for part in parts:
                book.import_weather(write(tmp_path / "w.csv", [HEADER, *part]), "Seattle", source="NOAA")
            record, weather = book.record(find_property(book, None).id), known(book)
            explained.append(explain_property(record, compare_property(record, RUN), weather, replace(RUN, draws=4)))
    one, many = explained
    assert [each.predicted_share for each in one] == [each.predicted_share for each in many]
    assert one[0].weather_told == many[0].weather_told


def test_a_property_s_own_gauge_wins_day_by_day_and_is_marked(book: Fieldbook, tmp_path: Path) -> None:
    book.import_weather(write(tmp_path / "w.csv", days(date(2015, 5, 1), 4)), "Seattle")
    gauge = [["date", "rain (in)"], ["2015-05-02", "0.5"], ["2015-05-03", ""], ["2015-05-09", "1"]]
    result = take_weather(book, write(tmp_path / "g.csv", gauge), WeatherSaid(gauge="alder bank"))
    assert result.station == "Rain gauge of Alder Bank"
    assert result.gaps == ("6 days missing in May 2015", "weather ends 9 May 2015")  # no word of temperatures
    weather = known(book)
    assert weather.rain_mm == (1.0, 12.7, 1.0, 1.0)
    assert weather.marks == ("", "rain: this property's own gauge", "", "")
    assert weather.told[-1] == "rain: this property's own gauge: 1 day."
    with pytest.raises(Missing, match=r"nobody.*name one .--gauge.: Alder Bank"):
        take_weather(book, tmp_path / "g.csv", WeatherSaid(gauge="nobody"))


def test_short_gaps_are_filled_only_when_asked_and_marked(book: Fieldbook, tmp_path: Path) -> None:
    lines = days(date(2015, 5, 1), 9)
    lines[3:4], lines[5][1] = [], ""
    lines[4][2] = "19"
    path = write(tmp_path / "w.csv", lines)
    assert book.import_weather(path, "Seattle").gaps[:2] == (
        "1 day missing in May 2015", "lowest temperature missing on 1 day in May 2015")
    result = book.import_weather(path, "Seattle", fill=Fill(1))
    assert result.told[-1].startswith("Temperatures filled on 2 days, as you asked, and marked. Rain is never made up")
    assert result.gaps[0] == "rain missing on 1 day in May 2015"
    weather = known(book)
    assert (weather.t_max_c[2], weather.t_min_c[5]) == (9.0, 1.0)
    assert weather.marks[2] == "lowest temperature, highest temperature: filled between the days beside it"
    assert np.isnan(weather.rain_mm[2])
    assert "lowest temperature: filled between the days beside it: 1 day." in weather.told
    lines.insert(3, ["2015-05-03", "2", "8", "0"])
    book.import_weather(write(path, lines), "Seattle")
    assert known(book).marks == ()
    assert known(book).rain_mm[2] == 0.0


def test_another_station_fills_rain_by_its_ratio(book: Fieldbook, tmp_path: Path) -> None:
    there, here = days(date(2014, 1, 1), 400, "2.0"), days(date(2014, 1, 1), 400)
    for line in there[1:]:
        line[1], line[2] = "0", "8"
    del here[200]
    book.import_weather(write(tmp_path / "t.csv", there), "Tacoma")
    take_weather(book, write(tmp_path / "w.csv", here), WeatherSaid(station="Seattle", fill=2, fill_from="Tacoma"))
    weather = known(book)
    assert (weather.rain_mm[199], weather.t_min_c[199], weather.t_max_c[199]) == (1.0, 1.0, 9.0)
    assert weather.marks[199].endswith("filled after Tacoma (rain times 0.50, 399 common days)")
    with pytest.raises(Missing, match="no daily weather of the station Olympia"):
        book.import_weather(tmp_path / "w.csv", "Seattle", fill=Fill(2, "Olympia"))
    book.import_weather(write(tmp_path / "o.csv", days(date(2014, 1, 1), 50)), "Olympia")
    with pytest.raises(OutOfRange, match="the two stations cannot be compared"):
        book.import_weather(tmp_path / "w.csv", "Seattle", fill=Fill(2, "Olympia"))


def test_what_was_filled_tells_nothing_of_how_two_stations_differ(book: Fieldbook, tmp_path: Path) -> None:
    year = days(date(2014, 1, 1), 365)
    book.import_weather(write(tmp_path / "t.csv", days(date(2014, 1, 1), 400, "2.0")), "Tacoma")
    lines = [*year[:200], *year[201:], *days(date(2015, 1, 1), 20)[1:]]
    book.import_weather(write(tmp_path / "w.csv", lines), "Seattle", fill=Fill(2, "Tacoma"))
    assert len([mark for mark in known(book).marks if mark]) == 1
    with pytest.raises(OutOfRange, match="364 days on which both are whole"):
        book.import_weather(write(tmp_path / "o.csv", year), "Olympia", fill=Fill(2, "Seattle"))


def test_rain_of_one_file_stands_beside_the_temperatures_of_another(book: Fieldbook, tmp_path: Path) -> None:
    lines = days(date(2015, 5, 1), 5)
    warm = write(tmp_path / "warm.csv", [line[:3] for line in lines])
    wet = write(tmp_path / "wet.csv", [[line[0], line[3]] for line in lines])
    book.import_weather(warm, "Seattle")
    result = book.import_weather(wet, "Seattle")
    assert (result.replaced, result.gaps) == (5, ("weather ends 5 May 2015",))
    weather = known(book)
    assert (weather.t_min_c, weather.t_max_c, weather.rain_mm) == ((1.0,) * 5, (9.0,) * 5, (1.0,) * 5)
    assert weather.source == "warm.csv; wet.csv"
    assert book.import_weather(wet, "Seattle").same == 5
    assert book.import_weather(warm, "Seattle").same == 5


def test_a_figure_that_a_newer_file_leaves_out_is_known_no_more(book: Fieldbook, tmp_path: Path) -> None:
    lines = days(date(2015, 5, 1), 5)
    book.import_weather(write(tmp_path / "w.csv", lines), "Seattle")
    lines[2][3] = ""
    book.import_weather(write(tmp_path / "w.csv", lines), "Seattle")
    assert np.isnan(known(book).rain_mm[1])


@pytest.mark.parametrize(("said", "value"), [({"stands_in": True}, "--stand-in"), ({"fill": Fill(2)}, "--fill")])
def test_an_option_that_a_file_has_no_use_for_is_refused(greensboro: Fieldbook, tmp_path: Path, said: dict[str, Any],
                                                         value: str) -> None:
    daily = write(tmp_path / "w.csv", days(date(2015, 5, 1), 5))
    path = typical_file(tmp_path) if "fill" in said else daily
    with pytest.raises(FileError, match=rf"nothing of a file of this form \(got {value}\)"):
        greensboro.import_weather(path, "Piedmont Triad", **said)


def test_a_typical_year_that_stood_in_can_be_told_not_to(greensboro: Fieldbook, tmp_path: Path) -> None:
    path = typical_file(tmp_path)
    for said, stands in ((None, False), (True, True), (None, True), (False, False)):
        take_weather(greensboro, path, WeatherSaid(station="Piedmont Triad", stand_in=said))
        place = greensboro.typical_year(find_property(greensboro, None).id).place
        assert place is not None
        assert place.stands_in == stands
    with pytest.raises(Missing, match="got --no-stand-in"):
        take_weather(greensboro, path, WeatherSaid(gauge="Alder Bank", stand_in=False))


def test_figures_are_told_as_they_stand_in_the_file(book: Fieldbook, tmp_path: Path) -> None:
    lines = [["date", "tmin (F)", "tmax (F)", "rain (in)"], ["2015-05-01", "60", "50", "0"],
             ["2015-05-02", "20", "999", "0"], ["2015-05-03", "20", "50", "0"]]
    faults = book.import_weather(write(tmp_path / "w.csv", lines), "Seattle").faults
    assert [fault.value for fault in faults] == ["60 F, 50 F", '"999", which is 537.2 °C']
    warm = [HEADER, *([f"2015-05-0{n}", "50", str(80 + n), "0"] for n in range(1, 5))]
    with pytest.raises(FileError, match=r"row 5, tmax: this is too warm .*got 84"):
        book.import_weather(write(tmp_path / "f.csv", warm), "Seattle")


def test_a_forecast_stands_apart_and_gives_way_to_what_was_observed(book: Fieldbook, tmp_path: Path) -> None:
    ground = find_property(book, None)
    book.import_weather(write(tmp_path / "w.csv", days(date(2016, 1, 1), 14)), "Seattle")
    path = write(tmp_path / "f.csv", days(date(2016, 1, 13), 6))
    result = take_weather(book, path, WeatherSaid(station="Seattle", forecast=True, issued="2016-01-15 06:00"))
    assert result.told[-2:] == ("A forecast issued 2016-01-15T06:00, kept apart from what was observed.",
                                "2 days before its issue left out.")
    forecast = book.forecast(ground.id)
    assert forecast is not None
    assert (forecast.issued_at, forecast.weather.days[0], forecast.weather.days[-1]) == (
        "2016-01-15T06:00", date(2016, 1, 15), date(2016, 1, 18))
    assert book.weather(ground.id).ends == date(2016, 1, 14)
    with pytest.raises(FileError, match=r"a newer forecast is kept already \(got 2016-01-15T06:00\)"):
        book.import_forecast(path, "Seattle", "2016-01-14")
    with_column = [[*line, "2016-01-16T06:00" if n else "issued"] for n, line in enumerate(days(date(2016, 1, 16), 2))]
    assert book.import_forecast(write(tmp_path / "n.csv", with_column), "Seattle", "").new == 2
    book.import_weather(write(tmp_path / "w.csv", days(date(2016, 1, 15), 2)), "Seattle")
    newer = book.forecast(ground.id)
    assert newer is not None
    assert newer.weather.days == (date(2016, 1, 17),)


@pytest.mark.parametrize(("issued", "message"), [
    ("", "it is not said when the forecast was issued.*--issued"),
    ("yesterday", r'this is not a day and time of issue \(got "yesterday"\); say when, as 2016-01-15T06:00'),
    ("2016-01-15T25:00", "this is not a day and time of issue"),
    ("2016-03-01", "all its days lie before the day it was issued")])
def test_a_forecast_says_when_it_was_issued(book: Fieldbook, tmp_path: Path, issued: str, message: str) -> None:
    with pytest.raises(FileError, match=message):
        book.import_forecast(write(tmp_path / "f.csv", days(date(2016, 1, 16), 2)), "Seattle", issued)


def test_days_to_come_are_not_observed(book: Fieldbook, tmp_path: Path) -> None:
    with pytest.raises(FileError, match=r"cannot have been observed \(got 20 January 2016\); bring a forecast"):
        book.import_weather(write(tmp_path / "w.csv", days(date(2016, 1, 1), 20)), "Seattle")
    lines = tmy3_lines()[:60]
    with pytest.raises(FileError, match="a typical year is no forecast"):
        book.import_forecast(write(tmp_path / "t.csv", lines), "Seattle", "2016-01-15")


def test_a_far_station_is_said_to_be_far(book: Fieldbook, tmp_path: Path) -> None:
    lines = ghcn_wide(SEATTLE[:40])
    book.import_weather(write(tmp_path / "g.csv", lines), "Seattle")
    assert known(book).told[0] == (
        "The station SEATTLE TACOMA AIRPORT, WA US stands 0.7 km away and 19 m lower.")
    for line in lines[1:]:
        line[2] = "47.9"
    book.import_weather(write(tmp_path / "g.csv", lines), "Seattle")
    assert known(book).told[0].endswith("50.0 km away and 19 m lower. That is far: its rain may not be the rain here.")


@pytest.mark.parametrize(("column", "value", "method"), [
    ("solar (MJ/m2/d)", "12", "without_humidity_and_wind"), ("tdew", "1", "without_sun_and_wind"),
    ("rh", "70", "without_sun_and_wind"), ("wind", "2", "hargreaves"), ("et0", "1.5", "given")])
def test_the_best_formula_a_day_allows_is_taken_and_named(book: Fieldbook, tmp_path: Path, column: str, value: str,
                                                          method: str) -> None:
    lines = days(date(2015, 5, 1), 3)
    book.import_weather(write(tmp_path / "w.csv", [[*line, value if n else column] for n, line in enumerate(lines)]),
                        "Seattle")
    weather = known(book)
    assert set(weather.et0_method) == {method}
    assert any(line.startswith("Reference evapotranspiration") for line in weather.told)


@pytest.mark.parametrize("heading", ["tdew", "solar (MJ/m2/d)"])
def test_a_height_that_nobody_said_is_named_where_it_counts(tmp_path: Path, heading: str) -> None:
    with open_book(tmp_path / "n.sqlite") as book:
        page = [row for row in PROPERTY if row[0] != "elevation"]
        book.import_sheet(write_sheet(tmp_path / "in", {**SHEET, "property": page}))
        lines = days(date(2015, 5, 1), 2)
        book.import_weather(write(tmp_path / "w.csv", lines), "Seattle")
        assert "Height above the sea not known, taken as 0 m." not in known(book).told
        with_one = [[*line, "1" if n else heading] for n, line in enumerate(lines)]
        book.import_weather(write(tmp_path / "w.csv", with_one), "Seattle")
        assert "Height above the sea not known, taken as 0 m." in known(book).told


@pytest.mark.parametrize(("said", "message"), [
    ({}, "not said whose weather"), ({"station": "a", "gauge": "b"}, "name a station .--station NAME., or a property"),
    ({"station": "a", "fill_from": "b"}, "how long a gap may be"),
    ({"gauge": "a", "fill": 2, "forecast": True}, r"these say nothing of such a file \(got --fill, --forecast\)"),
    ({"station": "a", "issued": "2016-01-15"}, r"\(got --issued\); leave them out")])
def test_what_is_not_said_is_asked_for(book: Fieldbook, tmp_path: Path, said: dict[str, Any], message: str) -> None:
    with pytest.raises(Missing, match=message):
        take_weather(book, tmp_path / "w.csv", WeatherSaid(**said))


def test_the_same_file_again_changes_nothing(book: Fieldbook, tmp_path: Path) -> None:
    path = write(tmp_path / "g.csv", ghcn_wide(SEATTLE[:40]))

    def counts(result: WeatherResult) -> tuple[int, int, int]:
        return result.new, result.replaced, result.same

    assert counts(book.import_weather(path, "Seattle", told=Told())) == (40, 0, 0)
    assert counts(book.import_weather(path, "Seattle")) == (0, 0, 40)
