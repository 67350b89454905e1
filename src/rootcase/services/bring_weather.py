"""Weather that was brought: told, looked at, kept, and taken back as long as nothing newer came for its station."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict, replace
from datetime import date, datetime
from typing import Any

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.weather import Wanted, WeatherResult
from rootcase.fieldbook.store.weather import HeldWeather, WeatherDay
from rootcase.fieldbook.whole_file import write_whole
from rootcase.ground.dates import show_date
from rootcase.ground.errors import Missing, RootcaseError
from rootcase.ground.quantity import show
from rootcase.ground.words import say
from rootcase.records.observe import Station, System
from rootcase.report.text.flags import without_flags
from rootcase.services.bring import Brought, leave, said_of, set_aside
from rootcase.services.weather import WeatherSaid, kept_under, take_weather


def say_weather(brought: Brought, said: WeatherSaid | None) -> None:
    """Say this of a file of weather, in the place of what was said before."""
    place = brought.folder / "weather.json"
    if said is None:
        place.unlink(missing_ok=True)
    else:
        write_whole({place: json.dumps(asdict(said)).encode()})


def weather_told(result: WeatherResult) -> tuple[str, ...]:
    """What a file brings, how it was read, what is missing and what could not be taken, a line each."""
    first = say("terminal.import.weather", station=result.station, first=show_date(result.first),
                ends=show_date(result.ends), new=f"{result.new:,}", replaced=f"{result.replaced:,}",
                same=f"{result.same:,}") if result.first and result.ends else say(
                    "terminal.import.typical", station=result.station, new=f"{result.new:,}")
    lines = (first, *result.told, *result.gaps, *(fault.line for fault in result.faults))
    return tuple(map(without_flags, lines))


def glance_told(result: WeatherResult, system: System) -> tuple[str, ...]:
    """The file's first row, its warmest and coldest day and its rain in a year, as they were read: a line each."""
    seen = result.glance
    if seen is None:
        return ()
    first, warmest, coldest = seen.first, seen.warmest, seen.coldest
    lines = [say("bring.glance.first", day=show_date(first.day), low=_warm(first.t_min_c, system),
                 high=_warm(first.t_max_c, system), rain=show(first.rain_mm, "mm", system, ("in", "mm")))]
    lines += [say("bring.glance.warmest", day=show_date(warmest.day), high=_warm(warmest.t_max_c, system))
              ] if warmest else []
    lines += [say("bring.glance.coldest", day=show_date(coldest.day), low=_warm(coldest.t_min_c, system))
              ] if coldest else []
    lines += [say("bring.glance.rain", rain=show(seen.rain_mm_year, "mm", system, ("in", "mm"), 2))
              ] if seen.rain_mm_year is not None else []
    return tuple(lines)


def _warm(t_c: float | None, system: System) -> str:
    return show(t_c, "degC", system, ("degF", "degC"), 3)


def keep_weather(fieldbook: Fieldbook, brought: Brought, now: datetime) -> Brought:
    """Take a file of weather in, and say what it brought; what was held before stays beside it."""
    said = brought.weather_said()
    if said is None:
        raise Missing(say("bring.not_ready"), right=say("bring.say_first"))

    def back(held: HeldWeather, mark: str) -> None:
        plain = {"station": station, "mark": mark, "held": asdict(held)}
        write_whole({brought.folder / "before.json": json.dumps(plain, default=date.isoformat).encode()})

    try:
        station = kept_under(fieldbook, said)
        result = take_weather(fieldbook, brought.path, said, Wanted(back=back))
    except RootcaseError as error:
        raise said_of(error, brought) from None
    return set_aside(replace(brought, at=now), None, "", weather_told(result))


def take_weather_back(fieldbook: Fieldbook, brought: Brought) -> None:
    """Hold of the station what was held before this file; refused where anything newer came for it."""
    plain = json.loads((brought.folder / "before.json").read_text(encoding="utf-8"))
    if not fieldbook.put_weather_back(plain["station"], _held(plain["held"]), plain["mark"]):
        raise Missing(say("bring.weather.newer"), right=say("bring.weather.right_newer"))
    leave(brought)


def _held(plain: Mapping[str, Any]) -> HeldWeather:
    station = Station(**plain["station"]) if plain["station"] else None
    return HeldWeather(station, _days(plain["days"]), _days(plain["typical"]), plain["issued_at"],
                       _days(plain["forecast"]))


def _days(plain: Iterable[Mapping[str, Any]]) -> tuple[WeatherDay, ...]:
    return tuple(WeatherDay(**{**each, "day": date.fromisoformat(each["day"])}) for each in plain)
