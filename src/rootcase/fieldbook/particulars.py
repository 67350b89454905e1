"""The particulars of a property: its name, where it lies, its currency and the like, told anew at the desk.

Each telling is a new event in the place of the one that stands; what was told before stays to be seen. The rules are
the field sheet's; a place that is possible but looks like a slip is asked about once.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from rootcase.fieldbook.body import Body
from rootcase.fieldbook.events import Event, PropertyOpened
from rootcase.fieldbook.intake.desk import Desk
from rootcase.fieldbook.intake.faults import PageRefused
from rootcase.fieldbook.intake.grid import Cell, Page, Row, folded
from rootcase.fieldbook.intake.importer import facts_of
from rootcase.fieldbook.intake.property_page import property_facts
from rootcase.fieldbook.intake.property_place import far_off, hold_place, place_of, require_place
from rootcase.fieldbook.store.store import Store
from rootcase.fieldbook.undone import without_undone
from rootcase.fieldbook.view import heads, said
from rootcase.ground.errors import Missing
from rootcase.ground.position import trees_grow_at
from rootcase.ground.words import say

_MAY_BE_EMPTY: Mapping[str, str | None] = {
    "elevation_m": None, "time_zone": "", "currency": "", "weather_station": "", "law": ""}
_FIELD = {"elevation": "elevation_m"}


@dataclass(frozen=True, slots=True)
class ToldOnce:
    """The particulars as they were told once."""

    id: str
    told_at: datetime
    device: str
    facts: PropertyOpened


@dataclass(frozen=True, slots=True)
class Particulars:
    """The properties of a fieldbook and what was said of them."""

    store: Store
    event: Callable[[Event, Body], Event]
    """A new event beside one of the same property."""

    def history(self, property_id: str) -> tuple[ToldOnce, ...]:
        """All that was ever told of a property itself, newest first, and before all what stands."""
        with self.store.reading() as look:
            events = without_undone(look.events(property_id))
        standing = {head.event.id for head in heads(events).values()}
        found = (ToldOnce(event.id, datetime.fromisoformat(event.made_at), event.device, event.body)
                 for event in reversed(events) if isinstance(event.body, PropertyOpened))
        return tuple(sorted(found, key=lambda each: each.id not in standing))

    def tell(self, property_id: str, cells: Mapping[str, str], *, by: str, sure: bool, onto: str) -> dict[str, str]:
        """Keep what was changed; a cell that was emptied takes back what stood. sure: what was asked about is right;
        onto: the telling that it was held against. Returns what is wrong or asked, by its key; then nothing is kept.
        """
        with self.store.writing() as turn:
            events = turn.events(property_id)
            if not events:
                raise Missing(say("fieldbook.no_such_property"), value=property_id)
            standing = heads(events)
            known = facts_of(events)
            if standing[known.slot].event.id != onto:
                return {key: say("particulars.just_changed") for key in cells}
            facts, wrong = _told(cells, known)
            others = [facts_of(opened) for each, opened in turn.properties().items() if each != property_id]
            if not wrong and not sure and folded(facts.name) != folded(known.name) and folded(facts.name) in {
                    folded(each.name) for each in others}:
                return {"sure": say("particulars.same_name", name=facts.name)}
            if not wrong and (facts.latitude_deg, facts.longitude_deg) != (known.latitude_deg, known.longitude_deg):
                day = datetime.fromisoformat(events[-1].made_at).date()
                desk = Desk(self.store.practice_id, property_id, facts, day)
                hold_place(desk, _page(cells), known, standing)
                would_move = " ".join(fault.note for fault in desk.faults)
                wrong = {"latitude": would_move} if would_move else _asked(_page(cells), facts, others, sure)
            if not wrong and said(facts) != said(known):
                head = standing[known.slot].event
                event = self.event(head, replace(facts, supersedes=head.id))
                turn.add([replace(event, device=f"{event.device} {by}".strip())])
        return wrong


def _told(cells: Mapping[str, str], known: PropertyOpened) -> tuple[PropertyOpened, dict[str, str]]:
    """The facts as they would be, and what is wrong with each cell on its own."""
    facts, wrong = known, dict[str, str]()
    for key, text in cells.items():
        name = _FIELD.get(key, key)
        if not text.strip() and name in _MAY_BE_EMPTY:
            facts = replace(facts, **{name: _MAY_BE_EMPTY[name]})
        elif not text.strip():
            wrong[key] = say("particulars.needed")
        else:
            try:
                facts = property_facts(_page({key: text}), known.slot, facts)
            except PageRefused as refused:
                wrong[key] = refused.fault.beside
    return facts, wrong


def _asked(page: Page, facts: PropertyOpened, others: list[PropertyOpened], sure: bool) -> dict[str, str]:
    """Why a place may be a slip; where no tree grows it is refused."""
    place = place_of(facts)
    if place is None:
        lacking = "latitude" if facts.latitude_deg is None else "longitude"
        return {lacking: say("particulars.both", beside="longitude" if lacking == "latitude" else "latitude")}
    if sure and trees_grow_at(place[0]):
        return {}
    try:
        require_place(page, facts)
    except PageRefused as refused:
        return {"latitude" if not trees_grow_at(place[0]) else "sure": refused.fault.beside}
    far = far_off(place, others, facts.system)
    return {"sure": far} if far else {}


def _page(cells: Mapping[str, str]) -> Page:
    return Page("property", "", ("key", "value"), ("", ""), tuple(
        Row(number, (Cell(key), Cell(text.strip()))) for number, (key, text) in enumerate(cells.items(), 1)))
