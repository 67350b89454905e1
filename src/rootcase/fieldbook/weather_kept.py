"""The fieldbook's part about weather: files taken in, and what a property's station observed and expects."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from rootcase.fieldbook.intake.weather import (
    KEPT,
    Fill,
    Told,
    Wanted,
    WeatherResult,
    gauge_of,
    import_forecast,
    import_gauge,
    import_weather,
    series,
    with_own_gauge,
)
from rootcase.fieldbook.store import Store
from rootcase.fieldbook.store.weather import HeldWeather
from rootcase.records.observe import Forecast, PropertyRecord, Weather


class WeatherKept:
    """What can be brought in and asked of the weather."""

    _store: Store
    _now: Callable[[], datetime]
    record: Callable[[str], PropertyRecord]

    def import_weather(self, path: Path, station: str, *, source: str = "", told: Told | None = None,
                       fill: Fill | None = None, stands_in: bool | None = None,
                       wanted: Wanted = KEPT) -> WeatherResult:
        """Take in a file of a station's weather.

        told: what the person says of its units; fill: which gaps to fill; stands_in: whether its typical year may;
        None: as it was said before; wanted: whether it is kept.
        """
        said = replace(told or Told(), station=station, source=source)
        return import_weather(self._store, path, said, today=self._now().date(), fill=fill, stands_in=stands_in,
                              wanted=wanted)

    def import_gauge(self, path: Path, property_id: str, *, told: Told | None = None,
                     wanted: Wanted = KEPT) -> WeatherResult:
        """Take in a property's own gauge, whose rain stands in place of its station's."""
        ground = self.record(property_id).property
        return import_gauge(self._store, path, told or Told(), ground, today=self._now().date(), wanted=wanted)

    def import_forecast(self, path: Path, station: str, issued: str, *, told: Told | None = None,
                        wanted: Wanted = KEPT) -> WeatherResult:
        """Take in days to come; issued: when, where the file does not say."""
        return import_forecast(self._store, path, replace(told or Told(), station=station), issued, wanted)

    def station_names(self) -> tuple[str, ...]:
        """Stations and gauges that weather is held of."""
        with self._store.reading() as look:
            return tuple(look.station_names())

    def put_weather_back(self, station: str, held: HeldWeather, mark: str) -> bool:
        """Hold what was held of a station before; not where anything changed since it bore this mark."""
        with self._store.writing() as turn:
            if turn.weather_mark(station) != mark:
                return False
            turn.put_back(station, held)
        return True

    def weather(self, property_id: str) -> Weather:
        """What the property's station and its own gauge observed, every day from first to last; a gap is NaN."""
        station = self.record(property_id).property.weather_station
        with self._store.reading() as look:
            return with_own_gauge(series(station, look.weather(station), look.station(station)),
                                  look.weather(gauge_of(property_id)))

    def typical_year(self, property_id: str) -> Weather:
        """The typical year of the property's station; without days where there is none."""
        station = self.record(property_id).property.weather_station
        with self._store.reading() as look:
            return replace(series(station, look.typical(station), look.station(station)), typical=True)

    def forecast(self, property_id: str) -> Forecast | None:
        """The newest forecast of the property's station, for the days after the last observed one."""
        station = self.record(property_id).property.weather_station
        with self._store.reading() as look:
            issued_at, days = look.forecast(station)
            observed = look.weather(station)
            ahead = [day for day in days if not observed or day.day > observed[-1].day]
            return Forecast(issued_at, series(station, ahead, look.station(station))) if ahead else None
