"""Events that were made elsewhere, as on a phone: each is looked at, kept once, and answered for by its id and hash."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Literal

from rootcase.fieldbook.events import (
    KINDS,
    Body,
    Event,
    PitOpened,
    PlaceOpened,
    ReadingCorrected,
    ReadingTaken,
    ReadingTakenBack,
    SampleOpened,
    TreeOpened,
    VisitStarted,
    body_text,
)
from rootcase.fieldbook.fits import fitting_body
from rootcase.fieldbook.store import Store
from rootcase.ground.errors import ImpossibleValue, Missing, RootcaseError, UnreadableValue
from rootcase.ground.ids import read_id
from rootcase.ground.words import say
from rootcase.records.people import UNBOUND, Bounds
from rootcase.tables.readings import ReadingKind, check, kind_of, message

_OF_THE_FIELD = (VisitStarted, TreeOpened, PitOpened, SampleOpened, ReadingTaken, ReadingCorrected, ReadingTakenBack)
_READINGS = (ReadingTaken, ReadingCorrected, ReadingTakenBack)
_OPENS: Mapping[type[Body], str] = {VisitStarted: "visit", TreeOpened: "tree", PitOpened: "pit", SampleOpened: "sample",
                                    PlaceOpened: "place"}
_MOMENT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z", re.ASCII)
_LONGEST_DEVICE, _LONGEST_BODY = 64, 20_000
_AHEAD = timedelta(days=1)
"""JUDGEMENT: a clock that is further ahead than any time zone is wrong, and what it dates would stand above all."""
_NUMBERS = ("number", "integer", "share", "count", "profile")


@dataclass(frozen=True, slots=True)
class Sent:
    """An event as its maker sends it; the hash is its maker's."""

    id: str
    property_id: str
    kind: str
    made_at: str
    device: str
    body: str
    """Canonical text."""
    hash: str


@dataclass(frozen=True, slots=True)
class TakenIn:
    """What became of one event: its id and hash are told back only of what is durable here."""

    id: str
    state: Literal["new", "known", "conflict", "refused"]
    hash: str
    """As it is held here; empty where it is not."""
    error: str = ""
    right: str = ""


def take_in(store: Store, sent: Iterable[Sent], now: datetime, *, within: Bounds = UNBOUND) -> tuple[TakenIn, ...]:
    """Keep what is new and sound, in the order it was sent; what is wrong with the rest is told, one line each."""
    with store.writing() as turn:
        wanted = list(sent)
        here = turn.hashes(each.id for each in wanted)
        grounds = {each: _Ground(turn.events(each)) for each in {one.property_id for one in wanted}
                   & turn.properties().keys()}
        found, fresh = list[TakenIn](), list[Event]()
        for each in wanted:
            if each.id in here:
                known = here[each.id] == each.hash
                found.append(TakenIn(each.id, "known" if known else "conflict", here[each.id],
                                     "" if known else say("taking_in.other_content"),
                                     "" if known else say("taking_in.id_once")))
                continue
            try:
                if each.property_id not in grounds:
                    raise Missing(say("fieldbook.no_such_property"), value=each.property_id)
                event = _event(store.practice_id, each, now)
                grounds[each.property_id].require_within(event.body, within)
                grounds[each.property_id].admit(event)
            except RootcaseError as error:
                found.append(TakenIn(each.id, "refused", "", str(error), error.right))
                continue
            here[event.id] = event.hash
            fresh.append(event)
            found.append(TakenIn(event.id, "new", event.hash))
        turn.add(fresh)
    return tuple(found)


class _Ground:
    """What a property holds, so far as it says whether a further event fits."""

    def __init__(self, events: Iterable[Event]) -> None:
        self._kind_of_slot: dict[str, type[Body]] = {}
        self._slot_of: dict[str, str] = {}
        self._opened: dict[str, dict[str, str]] = {name: {} for name in _OPENS.values()}
        self._read: dict[str, ReadingTaken] = {}
        """The newest telling of a reading by its slot."""
        self._observer: dict[str, str] = {}
        """By visit."""
        for event in events:
            self._note(event)

    def admit(self, event: Event) -> None:
        """Take the event among what is held, or say why it does not fit."""
        body = event.body
        if self._kind_of_slot.get(body.slot, _family(body)) is not _family(body):
            raise ImpossibleValue(say("taking_in.slot"), value=body.slot)
        if body.supersedes is not None and self._slot_of.get(body.supersedes, body.slot) != body.slot:
            raise ImpossibleValue(say("taking_in.supersedes"), value=body.supersedes)
        for name, an_id in _named(body):
            if an_id not in self._opened.get(name, ()):
                raise Missing(say("taking_in.not_here", what=name), value=an_id, right=say("taking_in.send_first"))
        name = _OPENS.get(type(body))
        if name and self._opened[name].get(getattr(body, name), body.slot) != body.slot:
            raise ImpossibleValue(say("taking_in.opened"), value=getattr(body, name))
        self._note(event)

    def require_within(self, body: Body, within: Bounds) -> None:
        """Raise where this is not for its sender to tell; a visit's readings are told as its observer's."""
        before = self._read.get(body.slot)
        for kind in (each.kind for each in (body, before) if isinstance(each, ReadingTaken)):
            within.require_kind(kind)
        if isinstance(body, VisitStarted):
            within.require_observer(body.observer)
        elif isinstance(body, ReadingTaken) and (before is None or before.visit != body.visit):
            within.require_observer(self._observer.get(body.visit, ""))

    def _note(self, event: Event) -> None:
        body = event.body
        if isinstance(body, ReadingTaken):
            self._read[body.slot] = body
        if isinstance(body, VisitStarted):
            self._observer[body.visit] = body.observer
        self._kind_of_slot.setdefault(body.slot, _family(body))
        self._slot_of[event.id] = body.slot
        if name := _OPENS.get(type(body)):
            self._opened[name][getattr(body, name)] = body.slot


def _named(body: Body) -> list[tuple[str, str]]:
    """What an event speaks of, by what that is, each of which must be here."""
    if isinstance(body, ReadingTaken):
        return [(kind_of(body.kind).of, body.of), *([("visit", body.visit)] if body.visit else [])]
    return [(name, an_id) for name in ("tree", "place") if name != _OPENS.get(type(body))
            and (an_id := getattr(body, name, None)) is not None]


def _family(body: Body) -> type[Body]:
    """Kinds of events that may take one another's place."""
    return ReadingTaken if isinstance(body, _READINGS) else type(body)


def _event(practice_id: str, sent: Sent, now: datetime) -> Event:
    """The event that was sent, if every part of it is what it says."""
    if read_id(sent.id) != sent.id:
        raise UnreadableValue(say("ids.not_an_id"), value=sent.id, right=say("ids.right"))
    kind = KINDS.get(sent.kind)
    if kind not in _OF_THE_FIELD:
        raise ImpossibleValue(say("taking_in.kind"), value=sent.kind,
                              right=", ".join(each.KIND for each in _OF_THE_FIELD))
    if not 0 < len(sent.device) <= _LONGEST_DEVICE:
        raise UnreadableValue(say("taking_in.device"), right=say("taking_in.signs", most=_LONGEST_DEVICE))
    if len(sent.body) > _LONGEST_BODY:
        raise UnreadableValue(say("taking_in.long"), right=say("taking_in.signs", most=_LONGEST_BODY))
    if _moment(sent.made_at) > now.astimezone(UTC) + _AHEAD:
        raise ImpossibleValue(say("taking_in.ahead"), value=sent.made_at, right=say("taking_in.set_clock"))
    body = fitting_body(kind, sent.body)
    if body_text(body) != sent.body:
        raise UnreadableValue(say("taking_in.not_canonical"), right=body_text(body)[:200])
    _require_sense(body)
    event = Event(sent.id, practice_id, sent.property_id, sent.made_at, sent.device, body)
    if event.hash != sent.hash:
        raise UnreadableValue(say("taking_in.hash"), value=sent.hash[:64], right=event.hash)
    return event


def _moment(text: str) -> datetime:
    try:
        return datetime.fromisoformat(text if _MOMENT.fullmatch(text) else "")
    except ValueError:
        raise UnreadableValue(say("taking_in.moment"), value=text[:40], right="2015-11-05T09:30:00.000Z") from None


def _require_sense(body: Body) -> None:
    if isinstance(body, ReadingCorrected | ReadingTakenBack) and body.supersedes is None:
        raise Missing(say("taking_in.of_what"))
    if isinstance(body, ReadingTaken):
        kind = kind_of(body.kind)
        if sum(part is not None for part in (body.value, body.choice, body.nothing)) != 1:
            raise ImpossibleValue(say("taking_in.one_value"), where=kind.label)
        if body.depth_from_m is not None and body.depth_to_m is not None and body.depth_from_m > body.depth_to_m:
            raise ImpossibleValue(say("taking_in.depths"), where=kind.label,
                                  value=f"{body.depth_from_m:g} m, {body.depth_to_m:g} m")
        _require_value(kind, body)


def _require_value(kind: ReadingKind, body: ReadingTaken) -> None:
    if body.value is not None:
        if kind.value_type not in _NUMBERS:
            raise ImpossibleValue(say("taking_in.no_number"), where=kind.label, value=f"{body.value:g}")
        if check(kind, body.value) == "impossible":
            raise ImpossibleValue(message(kind, body.value, kind.si_unit))
    if body.choice is not None and kind.choices and body.choice not in kind.choices:
        raise ImpossibleValue(say("taking_in.no_choice"), where=kind.label, value=body.choice[:60],
                              right=", ".join(kind.choices))
