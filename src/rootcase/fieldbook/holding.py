"""What a property holds, so far as it says whether a further event fits: kept at hand from one sending to the next."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from rootcase.fieldbook.applied.ground_use import SqueezeTold
from rootcase.fieldbook.applied.log import LitresTold
from rootcase.fieldbook.applied.wrong import WentWrongTold
from rootcase.fieldbook.body import Body
from rootcase.fieldbook.events import (
    ComparedWith,
    Event,
    PitOpened,
    PlaceOpened,
    PropertyOpened,
    ReadingCorrected,
    ReadingTaken,
    ReadingTakenBack,
    SampleOpened,
    TreeOpened,
    VisitStarted,
    YardstickNamed,
)
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.ground.errors import ImpossibleValue
from rootcase.ground.words import say
from rootcase.records.people import Bounds
from rootcase.tables.readings import kind_of

_READINGS = (ReadingTaken, ReadingCorrected, ReadingTakenBack)
_OPENS: Mapping[type[Body], str] = {VisitStarted: "visit", TreeOpened: "tree", PitOpened: "pit", SampleOpened: "sample",
                                    PlaceOpened: "place"}
_TELLERS: Mapping[type[Body], str] = {VisitStarted: "observer", PutOnLogged: "by", SqueezeTold: "by",
                                     WentWrongTold: "by", LitresTold: "by"}
"""Where what somebody tells says who that is."""


class Holding:
    """What is held of one property."""

    def __init__(self, events: Iterable[Event]) -> None:
        self._kind_of_slot: dict[str, type[Body]] = {}
        self._slot_of: dict[str, str] = {}
        self._opened: dict[str, dict[str, str]] = {name: {} for name in _OPENS.values()}
        self._told: dict[str, tuple[set[str], set[str]]] = {}
        """By slot of a reading: the kinds and the visits it was ever told as."""
        self._observer: dict[str, str] = {}
        """By visit."""
        self._teller: dict[str, str] = {}
        """By slot of what has a teller."""
        self._yardsticks: dict[str, str] = {}
        """Label of each."""
        self._compared: set[str] = set()
        """Trees."""
        for event in events:
            self.note(event)

    def lacks(self, body: Body) -> str:
        """The first thing that an event speaks of and that is not here, and its id; empty where all is here."""
        return next((f"{name} {an_id}" for name, an_id in _named(body) if an_id not in self._opened.get(name, ())), "")

    def has(self, event_id: str) -> bool:
        """Whether an event is here."""
        return event_id in self._slot_of

    def admit(self, event: Event, within: Bounds) -> None:
        """Take an event that lacks nothing among what is held, or say why it does not fit."""
        body = event.body
        if self._kind_of_slot.get(body.slot, _family(body)) is not _family(body):
            raise ImpossibleValue(say("taking_in.slot"), value=body.slot)
        if body.supersedes is not None and self._slot_of.get(body.supersedes, body.slot) != body.slot:
            raise ImpossibleValue(say("taking_in.supersedes"), value=body.supersedes)
        name = _OPENS.get(type(body))
        if name and self._opened[name].get(getattr(body, name), body.slot) != body.slot:
            raise ImpossibleValue(say("taking_in.opened"), value=getattr(body, name))
        if isinstance(body, PropertyOpened) and self._slot_of:
            raise ImpossibleValue(say("taking_in.opened"), value=event.property_id)
        self._require_within(body, within)
        self.note(event)

    def note(self, event: Event) -> None:
        """Remember what is kept."""
        body = event.body
        if isinstance(body, ReadingTaken):
            kinds, visits = self._told.setdefault(body.slot, (set(), set()))
            kinds.add(body.kind)
            visits.add(body.visit)
        if isinstance(body, VisitStarted):
            self._observer[body.visit] = body.observer
        if teller := _TELLERS.get(type(body)):
            self._teller[body.slot] = getattr(body, teller)
        if isinstance(body, YardstickNamed | ComparedWith):
            self._yardsticks[body.yardstick] = body.label
        if isinstance(body, ComparedWith):
            self._compared.add(body.tree)
        self._kind_of_slot.setdefault(body.slot, _family(body))
        self._slot_of[event.id] = body.slot
        if name := _OPENS.get(type(body)):
            self._opened[name][getattr(body, name)] = body.slot

    def _require_within(self, body: Body, within: Bounds) -> None:
        """Raise where this is not for its sender to tell; a visit's readings are told as its observer's."""
        kinds, visits = self._told.get(body.slot, ((), ()))
        for kind in (*kinds, *([body.kind] if isinstance(body, ReadingTaken) else ())):
            within.require_kind(kind)
        if teller := _TELLERS.get(type(body)):
            within.require_observer(getattr(body, teller))
            within.require_observer(self._teller.get(body.slot, getattr(body, teller)))
        elif isinstance(body, ReadingTaken) and body.visit not in visits:
            within.require_observer(self._observer.get(body.visit, ""))
        elif within.code and self._renames(body):
            raise ImpossibleValue(say("taking_in.renamed"), value=getattr(body, "label", getattr(body, "name", "")),
                                  right=say("taking_in.who_renames"))

    def _renames(self, body: Body) -> bool:
        """Whether a thing that is here would be another one, or a tree be compared with another yardstick."""
        if isinstance(body, _READINGS):
            return False
        if isinstance(body, YardstickNamed | ComparedWith) and body.label != self._yardsticks.get(body.yardstick,
                                                                                                 body.label):
            return True
        return body.slot in self._kind_of_slot or (isinstance(body, ComparedWith) and body.tree in self._compared)


def _named(body: Body) -> Iterator[tuple[str, str]]:
    """What an event speaks of, by what that is, each of which must be here."""
    if isinstance(body, ReadingTaken):
        yield kind_of(body.kind).of, body.of
        if body.visit:
            yield "visit", body.visit
        return
    for name in ("tree", "place"):
        an_id = getattr(body, name, None)
        if name != _OPENS.get(type(body)) and an_id is not None:
            yield name, an_id


def _family(body: Body) -> type[Body]:
    """Kinds of events that may take one another's place."""
    return ReadingTaken if isinstance(body, _READINGS) else type(body)
