"""Files of weather into the store: a station's days, a property's own gauge, a forecast."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import asdict, dataclass, replace
from datetime import date, timedelta
from pathlib import Path

from rootcase.fieldbook.intake.faults import Fault
from rootcase.fieldbook.intake.weather.filling import filled_days
from rootcase.fieldbook.intake.weather.glance import Glance, glance
from rootcase.fieldbook.intake.weather.hours import HOURS_A_DAY
from rootcase.fieldbook.intake.weather.recognise import issued_in, read_station_file
from rootcase.fieldbook.intake.weather.series import beside_held, gaps, series
from rootcase.fieldbook.intake.weather.station_file import StationFile, Told
from rootcase.fieldbook.store import Store
from rootcase.fieldbook.store.store import Writing
from rootcase.fieldbook.store.weather import HeldWeather, WeatherDay
from rootcase.ground.dates import count_days, read_date, show_date
from rootcase.ground.errors import FileError, Missing, UnreadableValue
from rootcase.ground.words import say
from rootcase.records.observe import Property, Station

_ZONES_AHEAD = timedelta(days=1)
"""Somewhere it is tomorrow already."""
_MINUTES = 60
_ISSUED = re.compile(r"(.+?)(?:[ T](\d{1,2}):(\d{2})(?::\d{2})?\s*Z?)?")


@dataclass(frozen=True, slots=True)
class Fill:
    """What the person asked to have filled."""

    days: int = 0
    """Gaps of at most so many days."""
    after: str = ""
    """The station whose days stand in, adjusted; without one only temperatures are filled."""


@dataclass(frozen=True, slots=True)
class WeatherResult:
    """What a file of weather brought."""

    station: str
    new: int
    replaced: int
    same: int
    first: date | None
    """None where the file is a typical year."""
    ends: date | None
    gaps: tuple[str, ...]
    """What is missing, in words."""
    faults: tuple[Fault, ...]
    """Values that could not be taken; they stay unknown."""
    told: tuple[str, ...] = ()
    """Which form and units the file is of, what was left out, and what was filled."""
    glance: Glance | None = None


def gauge_of(property_id: str) -> str:
    """The name a property's own gauge is kept under."""
    return f"{property_id} gauge"


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is to come of a file."""

    keep: bool = True
    """False only says what would."""
    back: Callable[[HeldWeather, str], None] | None = None
    """Is given what was held of the station and the mark of what is held now, in the same turn: so nothing is between.
    """


KEPT = Wanted()


class _NotKept(Exception):
    """Ends a turn whose work is thrown away."""


@contextmanager
def _turn(store: Store, station: str, wanted: Wanted) -> Iterator[Writing]:
    """A turn at writing, of which nothing is there afterwards where nothing is to be kept."""
    with suppress(_NotKept), store.writing() as turn:
        held = turn.held(station) if wanted.back else None
        yield turn
        if wanted.back and held:
            wanted.back(held, turn.weather_mark(station))
        if not wanted.keep:
            raise _NotKept


def import_weather(store: Store, path: Path, told: Told, *, today: date, fill: Fill | None = None,
                   stands_in: bool | None = None, wanted: Wanted = KEPT, of: Sequence[str] = ()) -> WeatherResult:
    """Take in a file of weather for a station; a day that differs replaces the old one.

    of: the figures whose gaps are told, where not all are wanted.
    """
    file = read_station_file(path, told)
    idle = "--fill" if file.typical and fill and fill.days else ""
    if stands_in is not None and not file.typical:
        idle = "--stand-in" if stands_in else "--no-stand-in"
    if idle:
        raise FileError(say("weather.idle_option"), where=str(path), value=idle, right=say("weather.right_idle_option"))
    with _turn(store, told.station, wanted) as turn:
        if file.typical:
            return _keep_typical(turn, told.station, file, stands_in)
        _refuse_days_ahead(path, file, today)
        new, replaced = turn.keep_weather(told.station, beside_held(turn.weather(told.station), file.days))
        if file.facts:
            turn.keep_station(told.station, _facts(turn, told.station, file.facts))
        filled = _fill(turn, told.station, fill) if fill and fill.days else 0
        held = series(told.station, turn.weather(told.station))
    said = (*file.told, say(f"weather.filled_{'after' if fill.after else 'between'}_count", days=count_days(filled))
            ) if fill and fill.days else file.told
    return WeatherResult(told.station, new, replaced, len(file.days) - new - replaced, held.days[0], held.ends,
                         gaps(held, of) if of else gaps(held), file.faults, said, glance(file.days))


def import_gauge(store: Store, path: Path, told: Told, ground: Property, *, today: date,
                 wanted: Wanted = KEPT) -> WeatherResult:
    """Take in a property's own gauge: of its days rain alone is wanted."""
    result = import_weather(store, path, replace(told, station=gauge_of(ground.id)), today=today, wanted=wanted,
                            of=("rain_mm",))
    return replace(result, station=say("weather.gauge_of", property=ground.name))


def import_forecast(store: Store, path: Path, told: Told, issued: str, wanted: Wanted = KEPT) -> WeatherResult:
    """Take in days to come; a newer forecast takes the older one's place, an older one is refused."""
    issued_at = _issued(path, issued or issued_in(path))
    file = read_station_file(path, told)
    if file.typical:
        raise FileError(say("weather.typical_forecast"), where=str(path), right=say("weather.right_forecast"))
    ahead = [day for day in file.days if day.day >= date.fromisoformat(issued_at[:10])]
    if not ahead:
        raise FileError(say("weather.forecast_past"), where=str(path), value=show_date(file.days[-1].day),
                        right=say("weather.right_forecast"))
    with _turn(store, told.station, wanted) as turn:
        held, _ = turn.forecast(told.station)
        if held > issued_at:
            raise FileError(say("weather.newer_forecast"), where=str(path), value=held,
                            right=say("weather.right_newer_forecast"))
        turn.keep_forecast(told.station, issued_at, ahead)
    left = len(file.days) - len(ahead)
    said = [*file.told, say("weather.forecast_issued", at=issued_at)]
    said += [say("weather.forecast_left", days=count_days(left))] if left else []
    return WeatherResult(told.station, len(ahead), 0, 0, ahead[0].day, ahead[-1].day, (), file.faults, tuple(said),
                         glance(ahead))


def _keep_typical(turn: Writing, station: str, file: StationFile, said_so: bool | None) -> WeatherResult:
    turn.keep_typical(station, file.days)
    facts = file.facts or Station(station)
    before = turn.station(station)
    stands_in = bool(before and before.stands_in) if said_so is None else said_so
    turn.keep_station(station, replace(facts, stands_in=stands_in))
    said = say("weather.stands_in" if stands_in else "weather.stands_apart")
    missing = gaps(series(station, file.days))[:-1]
    return WeatherResult(station, len(file.days), 0, 0, None, None, missing, file.faults, (*file.told, said),
                         glance(file.days))


def _facts(turn: Writing, station: str, said: Station) -> Station:
    """What the file says, and what an earlier one said where this one is silent."""
    held = turn.station(station) or said
    known = {name: value for name, value in asdict(said).items() if value is not None}
    return replace(held, **known | {"stands_in": held.stands_in})


def _fill(turn: Writing, station: str, fill: Fill) -> int:
    other = None
    if fill.after:
        days = turn.weather(fill.after)
        if not days:
            raise Missing(say("services.no_weather", station=fill.after), right=say("services.import_weather",
                                                                                   station=fill.after))
        other = series(fill.after, days)
    changed: Sequence[WeatherDay] = filled_days(turn.weather(station), fill.days, other)
    turn.keep_weather(station, changed)
    return len(changed)


def _refuse_days_ahead(path: Path, file: StationFile, today: date) -> None:
    last = file.days[-1].day
    if last > today + _ZONES_AHEAD:
        raise FileError(say("weather.day_ahead"), where=str(path), value=show_date(last),
                        right=say("weather.right_day_ahead"))


def _issued(path: Path, text: str) -> str:
    """ISO 8601, so that later is larger."""
    found = _ISSUED.fullmatch(text.strip())
    hour, minute = (int(found[2] or 0), int(found[3] or 0)) if found else (0, 0)
    try:
        day = read_date(found[1] if found and hour < HOURS_A_DAY and minute < _MINUTES else "")
    except UnreadableValue:
        raise FileError(say("weather.no_time_of_issue" if text else "weather.not_issued"), where=str(path),
                        value=f'"{text}"' if text else "", right=say("weather.right_issued")) from None
    return f"{day.isoformat()}T{hour:02d}:{minute:02d}"
