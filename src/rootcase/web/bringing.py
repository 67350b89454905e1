"""Files that wait at the desk: what is computed of them in another process, and what a form says of them."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from functools import lru_cache
from hashlib import sha256
from pathlib import Path
from typing import Any, Literal, get_args

from rootcase.fieldbook.intake.faults import Fault
from rootcase.fieldbook.intake.lists.listing import Listing
from rootcase.fieldbook.intake.lists.told import KEEP, Told
from rootcase.fieldbook.intake.weather import RainUnit, Units
from rootcase.ground.errors import OutOfRange, UnreadableValue
from rootcase.ground.words import say
from rootcase.services import bring
from rootcase.services.bring import Brought, Look
from rootcase.services.bring_weather import keep_weather
from rootcase.services.columns import may_have_unit
from rootcase.services.weather import WeatherSaid
from rootcase.web.desk import Desk
from rootcase.web.elsewhere import Elsewhere
from rootcase.web.jobs import Jobs

MOST_PLACES, MOST_VALUES = 40, 50
"""Places and values that a page asks about at once; the next ones come up when these are answered."""
MOST_FILLED = 30
"""Days in a row that may be filled; as at the command line."""
_SAID_OF = ("property_name", "at", "system", "currency", "station", "place", "ground", "day", "matrix", "sheet")


def folder_of(desk: Desk, practice_id: str) -> Path:
    return bring.waiting_folder(desk.path, practice_id)


def look_at(desk: Desk, practice_id: str, brought: Brought) -> Look:
    """What would come of a file; computed once for as long as nothing changes."""
    commits = desk.book(practice_id).arrivals.commits()
    return _looked(desk.jobs, desk.elsewhere(practice_id), brought, brought.stamp(), commits, desk.today(practice_id))


def recognise(desk: Desk, practice_id: str, brought: Brought) -> Brought:
    found: Brought = desk.jobs.call(_recognised, desk.elsewhere(practice_id), brought)
    return found


def save(desk: Desk, practice_id: str, brought: Brought) -> Brought:
    found: Brought = desk.jobs.call(_saved, desk.elsewhere(practice_id), brought)
    return found


@lru_cache(maxsize=16)
def _looked(jobs: Jobs, at: Elsewhere, brought: Brought, stamp: str, commits: tuple[int, int], today: date) -> Look:
    found: Look = jobs.call(_look, at, brought)
    return found


def _look(at: Elsewhere, brought: Brought) -> Look:
    with at.opened() as book:
        return bring.look(book, brought)


def _recognised(at: Elsewhere, brought: Brought) -> Brought:
    with at.opened() as book:
        return bring.recognise(book, brought)


def _saved(at: Elsewhere, brought: Brought) -> Brought:
    with at.opened() as book:
        return keep_weather(book, brought, at.now) if brought.kind == "weather" else bring.save(book, brought, at.now)


def said_about(told: Told, typed: Mapping[str, str]) -> Told:
    """What is told of a list once this form about it was sent; a field that the page did not show stays as it was."""
    plain: dict[str, Any] = {name: typed[name].strip() for name in _SAID_OF if name in typed}
    header_row = _count(typed["header_row"], "header_row") if "header_row" in typed else told.header_row
    places = {typed[f"place.{at}"]: kind for at in range(MOST_PLACES)
              if f"place.{at}" in typed and (kind := typed.get(f"ground.{at}", ""))}
    columns = {typed["their"]: typed.get("ours", KEEP)} if typed.get("their") else {}
    return replace(told, **plain, header_row=header_row, grounds={**told.grounds, **places},
                   columns={**told.columns, **columns})


def said_of_columns(told: Told, listing: Listing, typed: Mapping[str, str]) -> Told:
    """What is told of the columns: one that was changed, and one that is proposed and found right."""
    columns = dict(told.columns)
    for theirs in listing.columns:
        word, unit = typed.get(f"word.{theirs.at}", ""), typed.get(f"unit.{theirs.at}", theirs.unit).strip()
        if not word:
            columns.pop(theirs.header, None)
        elif (word, unit) != (theirs.word, theirs.unit):
            own = unit if unit != theirs.unit and may_have_unit(word) else ""  # another thing may be in another unit
            columns[theirs.header] = f"{word}:{own}" if own else word
        elif theirs.standing == "proposed":
            columns[theirs.header] = theirs.means
    return replace(told, columns=columns)


def answers(number: str, typed: Mapping[str, str]) -> list[tuple[str, str]]:
    """What was answered to a group: one word for all of it, or one for each of some values."""
    if word := typed.get("answer", ""):
        return [(number, word)]
    if "each" in typed:
        single = ((f"{number}.{at}", typed.get(f"value.{at}", "").strip()) for at in range(1, MOST_VALUES + 1))
        return [(part, word) for part, word in single if word]
    return [(number, typed.get("typed", "").strip())]


def texts_typed(faults: Sequence[Fault], typed: Mapping[str, str]) -> list[tuple[Fault, str]]:
    """What was typed for cells of a field sheet: for one, or for all of one cause."""
    found = []
    for at, fault in enumerate(faults):
        found += [(replace(fault, column=column, value=f'"{before}"'), text)
                  for number, (column, before) in enumerate(fault.cells)
                  if (text := typed.get(f"cell.{at}.{number}", before).strip()) != before]
        text = typed.get(f"cell.{at}", "").strip() or typed.get(f"all.{cause_of(fault)}", "").strip()
        if text and bring.can_be_written(fault):
            found.append((fault, text))
    return found


def cause_of(fault: Fault) -> str:
    """What tells one cause of faults from another."""
    return sha256(repr((fault.what, fault.right)).encode()).hexdigest()[:12]


def weather_said(typed: Mapping[str, str]) -> WeatherSaid:
    """What was said of a file of weather."""
    whose, gauge = typed.get("whose", "").strip(), typed.get("of") == "gauge"
    days = _count(typed.get("fill", ""), "fill") or 0
    if days > MOST_FILLED:
        raise OutOfRange(say("bring.weather.fill_long"), value=str(days), right=say("bring.weather.fill_help"))
    return WeatherSaid(station=None if gauge else whose or None, gauge=whose or None if gauge else None,
                       units=_one_of(get_args(Units), typed.get("units")),
                       rain_unit=_one_of(get_args(RainUnit), typed.get("rain_unit")), fill=days,
                       fill_from=typed.get("fill_from", "").strip() or None,
                       stand_in={"yes": True, "no": False}.get(typed.get("stand_in", "")),
                       forecast=typed.get("of") == "forecast", issued=typed.get("issued", "").strip() or None)


def _count(typed: str, field: Literal["header_row", "fill"]) -> int | None:
    """A whole number as somebody typed it; None where nothing was."""
    text = typed.strip()
    if not text:
        return None
    if not re.fullmatch(r"[0-9]{1,9}", text):
        raise UnreadableValue(say("bring.no_count"), where=say(f"bring.count.{field}"), value=f'"{text}"',
                              right=say(f"bring.right_count.{field}"))
    return int(text)


def _one_of(choices: Sequence[Any], typed: str | None) -> Any:
    return typed if typed in choices and typed else None

