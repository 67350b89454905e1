"""Weather that is not there is said to be so, with the way out that fits."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from rootcase.ground.errors import Missing
from rootcase.services.observe import find_property
from rootcase.services.run import Run
from rootcase.services.weather import weather_for
from tests.fieldbook.sheets import PROPERTY, SHEET, open_book, write_sheet

DAYS = [["date", "tmin", "tmax", "rain"], ["2015-05-01", "1", "9", "0"], ["2015-05-02", "1", "9", "0"]]
NO_STATION = [row for row in PROPERTY if row[0] != "weather_station"]


@pytest.mark.parametrize(("pages", "day", "message"), [
    ({}, date(2015, 6, 1), "no daily weather of the station Seattle yet; bring the daily .* --station \"Seattle\""),
    ({"weather": DAYS}, date(2015, 5, 1), "the weather of Seattle begins on 1 May 2015, after the day asked for"),
    ({"property": NO_STATION}, date(2015, 6, 1), "does not name the station .* weather_station on the page property")])
def test_it_is_said_why_there_is_no_weather(tmp_path: Path, pages: dict[str, list[list[str]]], day: date,
                                            message: str) -> None:
    with open_book(tmp_path / "f.sqlite") as book:
        book.import_sheet(write_sheet(tmp_path / "in", {**SHEET, **pages}))
        with pytest.raises(Missing, match=message):
            weather_for(book, find_property(book, None), Run(day))


def test_days_before_today_are_used_and_no_later_ones(tmp_path: Path) -> None:
    with open_book(tmp_path / "f.sqlite") as book:
        book.import_sheet(write_sheet(tmp_path / "in", {**SHEET, "weather": DAYS}))
        ground = find_property(book, None)
        run = Run(date(2015, 5, 2))
        assert weather_for(book, ground, run).days == (date(2015, 5, 1),)
        assert len(weather_for(book, ground, replace(run, today=date(2015, 5, 3))).days) == 2
