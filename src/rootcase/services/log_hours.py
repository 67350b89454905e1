"""Day and hours of what was put on, as they are typed; work that goes past midnight ends on a day of its own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from rootcase.fieldbook.people.tokens import written
from rootcase.ground.clock import CameTwice, read_time, the_moment, zone
from rootcase.ground.dates import read_date, show_date
from rootcase.ground.errors import ImpossibleValue, RootcaseError
from rootcase.ground.words import say
from rootcase.services.log_boxes import Correction

MOST_NIGHTS = timedelta(days=1)
"""JUDGEMENT: one piece of work goes on past one midnight, never past two."""


@dataclass(frozen=True, slots=True)
class Hours:
    """When it was; the record is of the day it began."""

    day: date | None
    """None: what was typed is none."""
    started: str = ""
    """UTC; empty: not told."""
    ended: str = ""


def hours_told(typed: Mapping[str, str], place: str, now: datetime, begun: Correction | None,
               wrong: dict[str, str]) -> Hours:
    """Day and hours by the clock of the place; what cannot be is told in `wrong`, by field. `ended_on` is the day the
    work ended, where that is not the day it began."""
    here = now.astimezone(zone(place)).date()
    day = _day(typed, "day", here, here, wrong)
    last = _day(typed, "ended_on", day, here, wrong)
    if day is None or last is None:
        return Hours(day)
    if not day <= last <= day + MOST_NIGHTS:
        wrong["ended_on"] = str(ImpossibleValue(say("log.ended_on"), value=show_date(last),
                                                right=say("log.ended_on_right", day=show_date(day),
                                                          next=show_date(day + MOST_NIGHTS))))
        return Hours(day)
    started = _moment(typed, "started", day, place, wrong, begun)
    ended = _moment(typed, "ended", last, place, wrong, begun)
    if last != day and not typed.get("ended", "").strip():
        wrong["ended"] = say("log.ended_hour")
    left = begun and all(begun.leaves(name) for name in ("started", "ended", "ended_on"))
    if started and ended and ended < started and not left:
        wrong["ended"] = say("log.ends_before")
    return Hours(day, started, ended)


def _day(typed: Mapping[str, str], name: str, usual: date | None, here: date, wrong: dict[str, str]) -> date | None:
    text = typed.get(name, "").strip()
    try:
        day = read_date(text, None) if text else usual
    except RootcaseError as error:
        wrong[name] = str(error)
        return None
    if day is not None and text and day > here:
        wrong[name] = say("log.ahead")
    return day


def _moment(typed: Mapping[str, str], name: str, day: date, place: str, wrong: dict[str, str],
            begun: Correction | None) -> str:
    text = typed.get(name, "").strip()
    if begun and begun.leaves_hour(name, day):
        told = begun.old.started if name == "started" else begun.old.ended
        return written(told) if told else ""
    if not text:
        return ""
    try:
        local = datetime.combine(day, read_time(text))
        return written(the_moment(local, zone(place), typed.get("which", "")).astimezone(UTC))
    except CameTwice as error:
        wrong["which"] = str(error)
    except RootcaseError as error:
        wrong[name] = str(error)
    return ""
