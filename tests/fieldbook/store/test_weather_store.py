"""What the store keeps of the weather, and how an older fieldbook comes to it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from alembic import command
from alembic.config import Config
from sqlalchemy import create_engine, inspect, text

import rootcase.fieldbook.store
from rootcase.fieldbook.store import Store, open_store
from rootcase.fieldbook.store.schema import WEATHER_FIGURES
from rootcase.fieldbook.store.weather import TYPICAL_YEAR, WeatherDay
from rootcase.records.observe import Station
from tests.fieldbook.sheets import whole_property

MIGRATIONS = Path(rootcase.fieldbook.store.__file__).parent / "migrations"
DAY = WeatherDay(date(2015, 5, 1), **{name: 0.5 + n for n, name in enumerate(WEATHER_FIGURES)}, source="a.csv")


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return open_store(tmp_path / "fieldbook.sqlite", "own")


def test_every_figure_of_a_day_comes_back(store: Store) -> None:
    filled = replace(DAY, day=date(2015, 5, 2), filled="t_min_c: between the days beside it")
    with store.writing() as turn:
        assert turn.keep_weather("Seattle", [DAY, filled]) == (2, 0)
        assert turn.weather("Seattle") == [DAY, filled]


def test_a_typical_year_and_a_forecast_stand_apart_and_the_newer_takes_the_place(store: Store) -> None:
    typical = replace(DAY, day=date(TYPICAL_YEAR, 2, 28))
    with store.writing() as turn:
        turn.keep_weather("Seattle", [DAY])
        turn.keep_typical("Seattle", [replace(typical, rain_mm=9.0), replace(typical, day=date(TYPICAL_YEAR, 3, 1))])
        turn.keep_typical("Seattle", [typical])
        turn.keep_forecast("Seattle", "2015-05-01T06:00", [replace(DAY, day=date(2015, 5, 2))])
        turn.keep_forecast("Seattle", "2015-05-02T06:00", [replace(DAY, day=date(2015, 5, 3))])
        assert turn.weather("Seattle") == [DAY]
        assert turn.typical("Seattle") == [typical]
        assert turn.forecast("Seattle") == ("2015-05-02T06:00", [replace(DAY, day=date(2015, 5, 3))])
        assert turn.forecast("Tacoma") == ("", [])


def test_a_station_is_kept_as_its_newest_file_tells_of_it(store: Store) -> None:
    with store.writing() as turn:
        assert turn.station("Seattle") is None
        turn.keep_station("Seattle", Station("SEATTLE"))
        turn.keep_station("Seattle", Station("SEATTLE TACOMA", 47.4, -122.3, 112.5, stands_in=True))
        assert turn.station("Seattle") == Station("SEATTLE TACOMA", 47.4, -122.3, 112.5, stands_in=True)


def test_an_older_fieldbook_keeps_its_events_and_its_weather(tmp_path: Path) -> None:
    path = tmp_path / "old.sqlite"
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    with create_engine(f"sqlite:///{path}").connect() as connection, connection.begin():
        config.attributes["connection"] = connection
        command.upgrade(config, "0001")
        assert "stations" not in inspect(connection).get_table_names()
        connection.execute(text("INSERT INTO practices VALUES ('own')"))
        connection.execute(text("INSERT INTO weather_days (practice_id, station, day, t_min_c, t_max_c, rain_mm, "
                                "source) VALUES ('own', 'Seattle', '2015-05-01', 4.5, 15, 0, 'a.csv')"))
    store = open_store(path, "own")
    with store.writing() as turn:
        assert turn.weather("Seattle") == [WeatherDay(date(2015, 5, 1), 4.5, 15.0, 0.0, source="a.csv")]
        turn.add(whole_property())
        assert turn.keep_weather("Seattle", [DAY]) == (0, 1)
        assert turn.weather("Seattle") == [DAY]
