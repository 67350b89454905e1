"""Telling what decides on which days a property may be worked, from a form or a command."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, fields, replace
from datetime import date, timedelta
from typing import Literal

from rootcase.casework.prescribe.remedies import remedies
from rootcase.fieldbook.applied.ground_use import (
    BloomTold,
    LocateTold,
    OfGround,
    PermitTold,
    SqueezeTold,
    UseTold,
)
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.used_days import read_weekdays
from rootcase.ground.dates import read_date, show_date
from rootcase.ground.errors import Missing, RootcaseError
from rootcase.ground.length import MOST_NAME, require_length
from rootcase.ground.words import say
from rootcase.records.apply.told import MOST_USE_DAYS, Bloom, GroundTold, Locate, Permit, SoilState, Squeeze, Use
from rootcase.records.observe import Property, PropertyRecord
from rootcase.records.outlook import NOTHING

Kind = Literal["locate", "permit", "use", "bloom", "squeeze"]
KINDS: Mapping[Kind, tuple[str, ...]] = {
    "locate": ("number", "first", "last", "place", "private"), "permit": ("what", "remedy", "number", "first", "last"),
    "use": ("name", "first", "last", "weekdays", "place"), "bloom": ("of", "first", "last"),
    "squeeze": ("place", "day", "state")}
"""What is asked of each."""
ALL_WORK = "all"
"""What is typed of a permit for all work at a property."""
SOIL_STATES: tuple[SoilState, ...] = ("fit", "dry", "saturated", "frozen")


@dataclass
class _Cells:
    """What was typed, and what is wrong with it by field."""

    typed: Mapping[str, str]
    record: PropertyRecord
    today: date
    wrong: dict[str, str] = field(default_factory=dict)

    def text(self, name: str, *, needed: bool = True) -> str:
        value = " ".join(self.typed.get(name, "").split())
        try:
            require_length(value, MOST_NAME)
        except RootcaseError as error:
            self.wrong[name] = str(error)
        if needed and not value:
            self.wrong[name] = say("windows.tell.needed")
        return value

    def day(self, name: str) -> date:
        value = self.text(name)
        try:
            return read_date(value, None) if value else self.today
        except RootcaseError as error:
            self.wrong[name] = str(error)
            return self.today

    def span(self) -> tuple[date, date]:
        first, last = self.day("first"), self.day("last")
        if not self.wrong and last < first:
            self.wrong["last"] = say("windows.tell.last_first", last=show_date(last), first=show_date(first))
        if not self.wrong and (last - first) > timedelta(MOST_USE_DAYS):
            self.wrong["last"] = say("windows.tell.long")
        return first, last

    def place(self, *, needed: bool = False) -> str:
        value = self.text("place", needed=needed)
        known = {place.name.casefold(): place.id for place in self.record.places}
        found = known.get(value.casefold(), value if value in known.values() else "")
        if value and not found:
            names = ", ".join(each.name for each in self.record.places)
            self.wrong["place"] = say("windows.tell.no_place", names=names)
        return found

    def of(self) -> str:
        value = self.text("of")
        known = {place.name.casefold(): place.id for place in self.record.places} | {
            tree.label.casefold(): tree.id for tree in self.record.trees}
        found = known.get(value.casefold(), value if value in known.values() else "")
        if value and not found:
            self.wrong["of"] = say("windows.tell.no_of")
        return found

    def remedies(self) -> tuple[str, ...]:
        """The remedy that a permit is for; none named: for all work there, and that was said."""
        value = self.text("remedy")
        if value and value not in works():
            self.wrong["remedy"] = say("windows.tell.no_remedy", codes=", ".join(works()))
        return () if value in ("", ALL_WORK) else (value,)

    def weekdays(self) -> tuple[int, ...]:
        text = self.text("weekdays", needed=False)
        found = read_weekdays(text)
        if text and not found:
            self.wrong["weekdays"] = say("windows.tell.no_weekday")
        return found


def works() -> tuple[str, ...]:
    """What a permit may be for: all work, or one remedy by its code."""
    return (ALL_WORK, *(each.code for each in remedies() if each.code != NOTHING))


def tell_of_ground(fieldbook: Fieldbook, ground: Property, kind: Kind, typed: Mapping[str, str], *, by: str,
                   today: date) -> dict[str, str]:
    """Keep what was typed; returns what is wrong by field, and then keeps nothing. by: a code, as of a reader."""
    cells = _Cells(typed, fieldbook.record(ground.id), today)
    body = _READ[kind](cells, fieldbook.applying.new_id(), by)
    if not cells.wrong:
        fieldbook.applying.tell_ground(ground.id, body)
    return cells.wrong


def end_told(fieldbook: Fieldbook, ground: Property, slot: str, *, by: str) -> None:
    """Say that something that was told holds no more; it stays in the events."""
    event = fieldbook.applying.standing_ground(ground.id, slot)
    if event is None or not isinstance(event.body, OfGround):
        raise Missing(say("windows.nothing_holds"), value=slot)
    fieldbook.applying.tell_ground(ground.id, replace(event.body, supersedes=event.id, holds=False, by=by))


def _locate(cells: _Cells, slot: str, by: str) -> OfGround:
    first, last = cells.span()
    return LocateTold(slot=slot, by=by, number=cells.text("number"), first=first, last=last, place=cells.place(),
                      private_lines=bool(cells.typed.get("private")))


def _permit(cells: _Cells, slot: str, by: str) -> OfGround:
    first, last = cells.span()
    return PermitTold(slot=slot, by=by, what=cells.text("what"), number=cells.text("number", needed=False),
                      first=first, last=last, remedies=cells.remedies(),
                      all_work=cells.text("remedy") == ALL_WORK)


def _use(cells: _Cells, slot: str, by: str) -> OfGround:
    first, last = cells.span()
    return UseTold(slot=slot, by=by, name=cells.text("name"), first=first, last=last, weekdays=cells.weekdays(),
                   place=cells.place())


def _bloom(cells: _Cells, slot: str, by: str) -> OfGround:
    first, last = cells.span()
    return BloomTold(slot=slot, by=by, of=cells.of(), first=first, last=last)


def _squeeze(cells: _Cells, slot: str, by: str) -> OfGround:
    day, state = cells.day("day"), cells.text("state")
    if day > cells.today:
        cells.wrong["day"] = say("windows.tell.ahead")
    if state and state not in SOIL_STATES:
        cells.wrong["state"] = ", ".join(SOIL_STATES)
    known = next((each for each in SOIL_STATES if each == state), "fit")
    return SqueezeTold(slot=slot, by=by, place=cells.place(needed=True), day=day, state=known)


_READ: Mapping[Kind, Callable[[_Cells, str, str], OfGround]] = {
    "locate": _locate, "permit": _permit, "use": _use, "bloom": _bloom, "squeeze": _squeeze}
Told = Locate | Permit | Use | Bloom | Squeeze


def all_told(told: GroundTold) -> tuple[Told, ...]:
    """Everything that holds, in the order of the forms."""
    return tuple(each for part in fields(told) for each in getattr(told, part.name))
