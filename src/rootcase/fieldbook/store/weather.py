"""Weather in the store: a station's own facts, its days, a typical year of it, and the newest forecast."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, replace
from datetime import date
from hashlib import sha256
from typing import Any

from sqlalchemy import ColumnElement, Connection, Row, Table, delete, insert, select, union

from rootcase.fieldbook.store.practices import know_practice
from rootcase.fieldbook.store.schema import WEATHER_FIGURES, forecast_days, stations, typical_days, weather_days
from rootcase.records.observe import Station

_AT_ONCE = 500
TYPICAL_YEAR = 2001
"""Days of a typical year are held as days of this one, which has no 29 February."""


@dataclass(frozen=True, slots=True)
class WeatherDay:
    """One station's day; None is not known."""

    day: date
    t_min_c: float | None = None
    t_max_c: float | None = None
    rain_mm: float | None = None
    et0_mm: float | None = None
    wind_m_s: float | None = None
    t_dew_c: float | None = None
    source: str = ""
    humidity_min_pct: float | None = None
    humidity_max_pct: float | None = None
    humidity_mean_pct: float | None = None
    solar_mj_m2_day: float | None = None
    wind_height_m: float | None = None
    filled: str = ""
    """What of it was filled and how, in words; empty where all was observed."""


@dataclass(frozen=True, slots=True)
class HeldWeather:
    """All that is held under the name of one station."""

    station: Station | None
    days: tuple[WeatherDay, ...]
    typical: tuple[WeatherDay, ...]
    issued_at: str
    forecast: tuple[WeatherDay, ...]


class WeatherReading:
    """What can be asked of the weather."""

    _connection: Connection
    _practice_id: str

    def weather(self, station: str) -> list[WeatherDay]:
        """The station's observed days in order, those filled on request among them."""
        asked = select(weather_days).where(*self._of(weather_days, station)).order_by(weather_days.c.day)
        return [_day(row, date.fromisoformat(row.day), row.filled) for row in self._connection.execute(asked)]

    def typical(self, station: str) -> list[WeatherDay]:
        """Each day of the station's typical year."""
        asked = select(typical_days).where(*self._of(typical_days, station)).order_by(typical_days.c.month_day)
        return [_day(row, date.fromisoformat(f"{TYPICAL_YEAR}-{row.month_day}"))
                for row in self._connection.execute(asked)]

    def forecast(self, station: str) -> tuple[str, list[WeatherDay]]:
        """When the newest forecast was issued, and its days; an empty text where there is none."""
        asked = select(forecast_days).where(*self._of(forecast_days, station)).order_by(forecast_days.c.day)
        rows = list(self._connection.execute(asked))
        return rows[0].issued_at if rows else "", [_day(row, date.fromisoformat(row.day)) for row in rows]

    def weather_mark(self, *station_names: str) -> str:
        """SHA-256 of all that is held of these stations: equal where their weather is."""
        found = sha256()
        for table in (stations, weather_days, typical_days, forecast_days):
            asked = select(table).where(table.c.practice_id == self._practice_id, table.c.station.in_(station_names))
            for row in self._connection.execute(asked.order_by(*table.primary_key)):
                found.update(repr(tuple(row)).encode("utf-8", "surrogatepass"))
        return found.hexdigest()

    def station(self, station: str) -> Station | None:
        """What its files said of the station itself."""
        row = self._connection.execute(select(stations).where(*self._of(stations, station))).first()
        return None if row is None else Station(row.name, row.latitude_deg, row.longitude_deg, row.elevation_m,
                                                row.stands_in)

    def station_names(self) -> list[str]:
        """Every name that weather is held under."""
        named = (select(table.c.station).where(table.c.practice_id == self._practice_id)
                 for table in (weather_days, typical_days, forecast_days))
        return sorted(self._connection.execute(union(*named)).scalars())

    def held(self, station: str) -> HeldWeather:
        """All of a station, so that it can be put back."""
        issued_at, forecast = self.forecast(station)
        return HeldWeather(self.station(station), tuple(self.weather(station)), tuple(self.typical(station)), issued_at,
                           tuple(forecast))

    def _of(self, table: Table, station: str) -> tuple[ColumnElement[bool], ...]:
        return table.c.practice_id == self._practice_id, table.c.station == station


class WeatherWriting(WeatherReading):
    """What can be kept of the weather."""

    def keep_weather(self, station: str, days: Iterable[WeatherDay]) -> tuple[int, int]:
        """Keep a station's days, one that differs in the old one's place; returns how many are new, how many differ."""
        here = {day.day: day for day in self.weather(station)}
        changed = [day for day in days if day != here.get(day.day)]
        old = [day for day in changed if day.day in here]
        for start in range(0, len(old), _AT_ONCE):
            self._connection.execute(delete(weather_days).where(
                *self._of(weather_days, station),
                weather_days.c.day.in_([day.day.isoformat() for day in old[start:start + _AT_ONCE]])))
        self._insert(weather_days, station, ({**asdict(day), "day": day.day.isoformat()} for day in changed))
        return len(changed) - len(old), sum(day != replace(here[day.day], source=day.source) for day in old)

    def keep_typical(self, station: str, days: Iterable[WeatherDay]) -> None:
        """Keep a typical year in the old one's place."""
        self._connection.execute(delete(typical_days).where(*self._of(typical_days, station)))
        self._insert(typical_days, station, ({"month_day": f"{day.day:%m-%d}", **_figures(day)} for day in days))

    def keep_forecast(self, station: str, issued_at: str, days: Iterable[WeatherDay]) -> None:
        """Keep a forecast in the old one's place."""
        self._connection.execute(delete(forecast_days).where(*self._of(forecast_days, station)))
        self._insert(forecast_days, station, ({"day": day.day.isoformat(), "issued_at": issued_at, **_figures(day)}
                                              for day in days))

    def keep_station(self, station: str, facts: Station) -> None:
        """Keep what is known of a station in the old one's place."""
        self._connection.execute(delete(stations).where(*self._of(stations, station)))
        self._insert(stations, station, [asdict(facts)])

    def put_back(self, station: str, held: HeldWeather) -> None:
        """Hold this of a station, and nothing else."""
        self._connection.execute(delete(weather_days).where(*self._of(weather_days, station)))
        self._connection.execute(delete(stations).where(*self._of(stations, station)))
        self.keep_weather(station, held.days)
        self.keep_typical(station, held.typical)
        self.keep_forecast(station, held.issued_at, held.forecast)
        if held.station:
            self.keep_station(station, held.station)

    def _insert(self, table: Table, station: str, rows: Iterable[Mapping[str, Any]]) -> None:
        filled = [{"practice_id": self._practice_id, "station": station, **row} for row in rows]
        if filled:
            know_practice(self._connection, self._practice_id)
            self._connection.execute(insert(table), filled)


def _day(row: Row[Any], day: date, filled: str = "") -> WeatherDay:
    return WeatherDay(day, **{name: getattr(row, name) for name in WEATHER_FIGURES}, source=row.source, filled=filled)


def _figures(day: WeatherDay) -> dict[str, Any]:
    return {name: getattr(day, name) for name in WEATHER_FIGURES} | {"source": day.source}
