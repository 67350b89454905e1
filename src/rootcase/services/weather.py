"""Weather: files of it go in, and what a property's case is reckoned with comes out, with what has to be said of it."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, fields, replace
from datetime import date, timedelta
from math import hypot, isnan
from pathlib import Path
from typing import Any

import numpy as np

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.weather import KEPT, Fill, RainUnit, Told, Units, Wanted, WeatherResult, gauge_of
from rootcase.ground.dates import count_days, show_date
from rootcase.ground.errors import Missing
from rootcase.ground.position import local_m
from rootcase.ground.words import say
from rootcase.records.observe import Property, Station, Weather
from rootcase.science.water.known_weather import HUMIDITIES, METHODS, KnownWeather, reference_of_known_mm_day
from rootcase.services.observe import find_property
from rootcase.services.run import Run

_FAR_KM, _FAR_M = 30.0, 200.0
"""JUDGEMENT: past this a summer storm here is not one there, and 200 m are more than a degree."""
_STANDS_IN_YEARS = 3
"""A typical year is run from the year before the newest shoots, so that its soil starts from its own winter."""
_GIVEN = "given"
_WITHOUT_HEIGHT = {"", _GIVEN, "hargreaves"}
_KNOWN = ("t_min_c", "t_max_c", "t_dew_c", "humidity_max_pct", "humidity_min_pct", "humidity_mean_pct",
          "solar_mj_m2_day", "wind_m_s", "wind_height_m")


@dataclass(frozen=True, slots=True, kw_only=True)
class WeatherSaid:
    """What the person says of a file of weather."""

    station: str | None = None
    gauge: str | None = None
    units: Units | None = None
    rain_unit: RainUnit | None = None
    fill: int = 0
    fill_from: str | None = None
    stand_in: bool | None = None
    """May a typical year stand in; None: not said."""
    forecast: bool = False
    issued: str | None = None


@dataclass(frozen=True, slots=True)
class WeatherLook:
    """What would come of a file of weather, and who would use it."""

    result: WeatherResult
    used_by: tuple[str, ...]
    """Names of the properties that are reckoned with it."""


def look_at_weather(fieldbook: Fieldbook, path: Path, said: WeatherSaid) -> WeatherLook:
    """What a file would bring; nothing of it is kept."""
    result = take_weather(fieldbook, path, said, Wanted(keep=False))
    gauge = find_property(fieldbook, said.gauge).name if said.gauge else ""
    used = [each.name for each in fieldbook.properties() if each.weather_station == said.station]
    return WeatherLook(result, (gauge,) if gauge else tuple(used))


def stations_known(fieldbook: Fieldbook) -> tuple[str, ...]:
    """Stations that a property names, or that weather is held of."""
    grounds = fieldbook.properties()
    gauges = {gauge_of(each.id) for each in grounds}
    named = {each.weather_station for each in grounds} | set(fieldbook.station_names())
    return tuple(sorted(named - gauges - {""}, key=str.casefold))


def kept_under(fieldbook: Fieldbook, said: WeatherSaid) -> str:
    """The name that the days of a file are kept under."""
    return gauge_of(find_property(fieldbook, said.gauge).id) if said.gauge else said.station or ""


def take_weather(fieldbook: Fieldbook, path: Path, said: WeatherSaid, wanted: Wanted = KEPT) -> WeatherResult:
    """A file for a station, for a property's own gauge, or of days to come."""
    if bool(said.station) == bool(said.gauge):
        raise Missing(say("services.whose_weather"), right=say("services.station_or_gauge"))
    if said.fill_from and not said.fill:
        raise Missing(say("services.fill_how_long"), right=say("services.say_fill"))
    no_station_days = said.gauge or said.forecast
    idle = [option for option, here in (
        ("--fill", said.fill and no_station_days), ("--stand-in", said.stand_in and no_station_days),
        ("--no-stand-in", said.stand_in is False and no_station_days), ("--forecast", said.forecast and said.gauge),
        ("--issued", said.issued and not said.forecast)) if here]
    if idle:
        raise Missing(say("services.idle_options"), value=", ".join(idle), right=say("services.leave_out"))
    told = Told(units=said.units or "", rain_unit=said.rain_unit or "")
    if said.gauge:
        return fieldbook.import_gauge(path, find_property(fieldbook, said.gauge, "--gauge").id, told=told,
                                      wanted=wanted)
    assert said.station
    if said.forecast:
        return fieldbook.import_forecast(path, said.station, said.issued or "", told=told, wanted=wanted)
    return fieldbook.import_weather(path, said.station, told=told, fill=Fill(said.fill, said.fill_from or ""),
                                    stands_in=said.stand_in, wanted=wanted)


def weather_for(fieldbook: Fieldbook, ground: Property, run: Run) -> Weather:
    """The days up to today, reference evapotranspiration by the best formula each allows, and what to say of them."""
    return with_reference(days_for(fieldbook, ground, run), ground)


def days_for(fieldbook: Fieldbook, ground: Property, run: Run) -> Weather:
    """The same days as they were measured, for who asks nothing of evapotranspiration: that takes a compiler along."""
    observed = fieldbook.weather(ground.id)
    weather = observed if observed.days else _standing_in(fieldbook.typical_year(ground.id), run.today)
    past = _before(weather, run.today)
    if not past.days:
        raise _no_weather(ground, weather)
    return past


def _standing_in(typical: Weather, today: date) -> Weather:
    """A typical year over and over, 28 February twice in a leap year, where somebody said that it may."""
    if not typical.days or not typical.place or not typical.place.stands_in:
        return replace(typical, days=())
    at = {(day.month, day.day): n for n, day in enumerate(typical.days)}
    start = date(today.year - _STANDS_IN_YEARS, 1, 1)
    days = tuple(start + timedelta(n) for n in range((today - start).days))
    order = [at.get((day.month, min(day.day, 28) if day.month == 2 else day.day)) for day in days]

    def repeated(values: tuple[float, ...]) -> tuple[float, ...]:
        return tuple(np.nan if n is None else values[n] for n in order)

    figures: dict[str, Any] = {each.name: repeated(getattr(typical, each.name)) for each in fields(Weather)
                               if each.name != "days" and len(typical.days) == _length(getattr(typical, each.name))}
    said = say("services.typical", station=typical.place.name, first=start.year, last=today.year)
    return replace(typical, days=days, told=(said,), **figures)


def _before(weather: Weather, today: date) -> Weather:
    past = sum(day < today for day in weather.days)
    return replace(weather, **{each.name: getattr(weather, each.name)[:past] for each in fields(Weather)
                               if weather.days and _length(getattr(weather, each.name)) == len(weather.days)})


def _length(values: object) -> int:
    return len(values) if isinstance(values, tuple) else 0


def with_reference(weather: Weather, ground: Property) -> Weather:
    """The days with their reference evapotranspiration by the best formula each allows, and what to say of it."""
    unknown = (np.nan,) * len(weather.days)
    known = KnownWeather(*(np.array(getattr(weather, name) or unknown, dtype=float) for name in _KNOWN))
    place = weather.place or Station("")
    latitude = ground.latitude_deg if place.latitude_deg is None else place.latitude_deg
    if isnan(latitude):
        raise Missing(say("services.no_position"), right=say("services.say_where"))
    elevation = ground.elevation_m if place.elevation_m is None else place.elevation_m
    of_year = np.array([day.timetuple().tm_yday for day in weather.days], dtype=float)
    found = reference_of_known_mm_day(known, elevation or 0.0, latitude, of_year)
    given = np.array(weather.et0_mm)
    has = np.isfinite(given)
    methods = tuple(_GIVEN if here else METHODS[code] for here, code in zip(has, found.method, strict=True))
    humidities = [HUMIDITIES[code] for code in found.humidity[~has]]
    told = (*weather.told, *_place_told(place, ground), *_reference_told(methods, humidities),
            *([say("services.no_elevation")] if elevation is None and set(methods) - _WITHOUT_HEIGHT else ()),
            *_marks_told(weather))
    return replace(weather, et0_mm=tuple(map(float, np.where(has, given, found.et0_mm))), et0_method=methods, told=told)


def _reference_told(methods: tuple[str, ...], humidities: list[str]) -> list[str]:
    """Each formula with its days, the most frequent first, and where the humidity is from."""
    ways = [say("services.reference_days", method=say(f"services.reference.{code}"), days=count_days(count))
            for code, count in Counter(filter(None, methods)).most_common()]
    damp = [say(f"services.humidity.{code}") for code, _ in Counter(filter(None, humidities)).most_common()]
    told = [say("services.reference_by", ways="; ".join(ways))] if ways else []
    return told + ([say("services.humidity_from", ways=", ".join(damp))] if damp else [])


def _place_told(place: Station, ground: Property) -> list[str]:
    if place.latitude_deg is None or place.longitude_deg is None or isnan(ground.latitude_deg):
        return []
    km = hypot(*local_m(place.latitude_deg, place.longitude_deg, ground.latitude_deg, ground.longitude_deg)) / 1000.0
    rise = None
    if place.elevation_m is not None and ground.elevation_m is not None:
        rise = place.elevation_m - ground.elevation_m
    height = "" if rise is None else say("services.station_higher" if rise >= 0 else "services.station_lower",
                                         metres=f"{abs(rise):,.0f}")
    far = say("services.station_far") if km > _FAR_KM or abs(rise or 0.0) > _FAR_M else ""
    return [" ".join(filter(None, (say("services.station_away", station=place.name, km=f"{km:,.1f}", height=height),
                                   far)))]


def _marks_told(weather: Weather) -> list[str]:
    """What was not observed at the station, each way with its days."""
    counted = Counter(mark for marks in weather.marks for mark in marks.split("; ") if mark)
    return [say("services.marked_days", mark=mark, days=count_days(count)) for mark, count in counted.most_common()]


def _no_weather(ground: Property, weather: Weather) -> Missing:
    """Why there is none: no station named, none of its days here, only later ones, or only a typical year."""
    if not ground.weather_station:
        return Missing(say("services.no_station"), right=say("services.name_station"))
    if weather.typical and weather.source:
        return Missing(say("services.only_typical", station=ground.weather_station), right=say("services.say_stand_in"))
    if weather.days:
        return Missing(say("services.weather_later", station=ground.weather_station, day=show_date(weather.days[0])),
                       right=say("services.earlier_weather"))
    return Missing(say("services.no_weather", station=ground.weather_station),
                   right=say("services.import_weather", station=ground.weather_station))
