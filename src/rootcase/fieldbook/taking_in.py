"""Events that were made elsewhere, as on a phone: each is looked at, kept once, and answered for by its id and hash.

Nothing that was sent is thrown away. What fits is an event; what speaks of something that is not here yet waits,
durably, and comes in when that has; what cannot fit is kept aside as it came, for a person to look at. In which order
and how often things are sent decides nothing of it.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from hashlib import sha256
from types import MappingProxyType
from typing import Literal

from rootcase.fieldbook.applied.log import LitresTold
from rootcase.fieldbook.events import Event, ImportUndone, PropertyOpened, ReadingTakenBack, SheetImported
from rootcase.fieldbook.holding import Holding
from rootcase.fieldbook.people.tokens import read_moment, written
from rootcase.fieldbook.sound import moment_of, sound_event
from rootcase.fieldbook.store import Store
from rootcase.fieldbook.store.sent import Clock, KeptAside, Sent, Waiting
from rootcase.fieldbook.store.store import Writing
from rootcase.fieldbook.store.together import Together
from rootcase.ground.errors import ImpossibleValue, RootcaseError, UnreadableValue
from rootcase.ground.words import say
from rootcase.records.people import UNBOUND, Bounds

_OF_PROPERTIES = (PropertyOpened, SheetImported, ImportUndone)
_NOBODY: Mapping[str, str] = MappingProxyType({})
_MOST_AT_HAND = 64
"""JUDGEMENT: properties that a practice's phones are at on one day."""


@dataclass(frozen=True, slots=True)
class TakenIn:
    """What became of one event: its id and hash are told back only of what is durable here."""

    id: str
    state: Literal["new", "known", "waiting", "conflict", "refused"]
    hash: str
    """As it is held here: among the events, waiting, or (refused) kept aside; of a conflict that of the other one."""
    error: str = ""
    right: str = ""
    settled: str = ""
    """Of what was kept aside before: what a person made of it."""


@dataclass(frozen=True, slots=True)
class Sender:
    """Who sends something, and when it arrived."""

    within: Bounds
    by: str
    """A code."""
    arrived: datetime
    told_now: str = ""
    """What the phone's clock says as it sends; empty where it does not say."""
    to_look_through: Mapping[str, str] = field(default_factory=dict)
    """By phone: what was made there before this moment nobody can vouch for."""
    looked_by: str = ""
    """Code of who looked through what was kept aside, and now sends it on."""


_Aside = Literal["conflict", "refused", "waiting"]
Sending = tuple[Sender, tuple[Sent, ...]]


class TakingIn:
    """The one door for events from elsewhere; what it remembers of the properties is as far as the file has come."""

    def __init__(self, store: Store) -> None:
        self.practice_id, self._together = store.practice_id, Together(store, self._take, self._forget)
        self._reach = -1
        self._holdings: dict[str, Holding] = {}
        self._properties: set[str] | None = None

    def take(self, sent: Iterable[Sent], now: datetime, *, within: Bounds = UNBOUND, by: str = "",
             told_now: str = "", to_look_through: Mapping[str, str] = _NOBODY,
             looked_by: str = "") -> tuple[TakenIn, ...]:
        """Keep all that is sent, and say what became of each; durable when this returns. Who waits shares a commit."""
        sender = Sender(within, by or within.code, now.astimezone(UTC), told_now, to_look_through, looked_by)
        return self._together.ask((sender, tuple(sent)))

    def holding(self, turn: Writing, property_id: str) -> Holding:
        """What a property holds; of one that was not opened nothing."""
        if property_id not in self._holdings:
            self._holdings[property_id] = Holding(turn.events(property_id))
        return self._holdings[property_id]

    def properties(self, turn: Writing) -> set[str]:
        """The properties that there are."""
        if self._properties is None:
            self._properties = set(turn.properties())
        return self._properties

    def all_is_new(self, turn: Writing, ids: Collection[str], property_ids: Collection[str]) -> bool:
        """Whether others have written nothing since, nothing of these properties waits, and none of these is here."""
        return self._reach >= 0 and turn.all_is_new(ids, property_ids, self._reach)

    def catch_up(self, turn: Writing) -> set[str] | None:
        """Read what others have written since; the properties it is about, None: that is not known."""
        if self._reach < 0:
            self._reach = turn.newest_received()
            return None
        came = turn.events_after(self._reach)
        for number, event in came:
            if event.property_id in self._holdings:
                self._holdings[event.property_id].note(event)
            if isinstance(event.body, _OF_PROPERTIES):
                self._properties = None
            self._reach = number
        return {event.property_id for _, event in came}

    def _take(self, turn: Writing, sendings: Sequence[Sending]) -> list[tuple[TakenIn, ...]]:
        while len(self._holdings) > _MOST_AT_HAND:
            del self._holdings[next(iter(self._holdings))]
        looked = _Looked(self, turn, sendings)
        found = [[looked.look(each, sender) for each in sent] for sender, sent in sendings]
        looked.let_in_who_waited()
        self._reach = looked.write_down(self._reach)
        return [looked.answers(each) for each in found]

    def _forget(self) -> None:
        self._reach, self._properties = -1, None
        self._holdings.clear()


class _Looked:
    """What is sent at once, as it is looked through, and what is to be written of it."""

    def __init__(self, door: TakingIn, turn: Writing, sendings: Sequence[Sending]) -> None:
        self._door, self._turn, self._sendings = door, turn, sendings
        self._here: dict[str, str] = {}
        self._waiting: dict[str, Waiting] = {}
        self._aside: dict[str, KeptAside] = {}
        self._look_up([each for _, sent in sendings for each in sent])
        self._waited = set(self._waiting)
        self._new_aside: dict[str, KeptAside] = {}
        self._settled: list[tuple[dict[str, str], dict[str, str | bool]]] = []
        self._claimed: dict[str, tuple[str, str]] = {}
        self._fresh: list[tuple[Event, Sent, Sender]] = []

    def _look_up(self, events: Sequence[Sent]) -> None:
        """What is here of these events, and waits for what may have come."""
        ids, grounds = {each.id for each in events}, {each.property_id for each in events}
        if self._door.all_is_new(self._turn, ids, grounds):
            return
        moved = self._door.catch_up(self._turn)
        self._here = self._turn.hashes(ids)
        self._waiting = self._turn.waiting() if moved is None else self._turn.waiting(grounds | moved, ids)
        self._aside = {each.mark: each for each in self._turn.aside(ids)}

    def look(self, sent: Sent, sender: Sender) -> TakenIn:
        """What becomes of one event."""
        there = self._here.get(sent.id) or (self._waiting[sent.id].hash if sent.id in self._waiting else None)
        if there is not None:
            if there == sent.hash:
                return TakenIn(sent.id, "known" if sent.id in self._here else "waiting", there)
            refusal = UnreadableValue(say("taking_in.other_content"), right=say("taking_in.id_once"))
            return self._lay_aside(sent, sender, refusal, "conflict", there)
        kept = self._aside.get(mark_of(sent)) if self._aside else None
        if kept is not None and kept.settled:
            return TakenIn(sent.id, "refused", sent.hash, kept.why, kept.right, kept.settled)
        if sent.made_at < sender.to_look_through.get(sent.device, ""):
            doubt = ImpossibleValue(say("taking_in.was_lost"), right=say("taking_in.look_through"))
            return self._lay_aside(sent, sender, doubt, "waiting", sent.hash)
        try:
            return self._admit(sent, sender)
        except RootcaseError as refusal:
            return self._lay_aside(sent, sender, refusal, "refused", sent.hash)

    def _admit(self, sent: Sent, sender: Sender) -> TakenIn:
        """Take it among the events, or let it wait; raises where it does not fit."""
        event = sound_event(self._door.practice_id, sent, sender.arrived)
        holding = self._door.holding(self._turn, event.property_id)
        lacks, mends = self._lacks(event, holding)
        if lacks:
            self._waiting[sent.id] = _waiting(sent, sender, lacks)
            return TakenIn(sent.id, "waiting", sent.hash)
        holding.admit(event, sender.within)
        if isinstance(event.body, PropertyOpened):
            self._door.properties(self._turn).add(event.property_id)
        self._fresh.append((event, sent, sender))
        self._here[event.id] = sent.hash
        self._waiting.pop(event.id, None)
        if event.made_at != sent.made_at:
            self._claimed[event.id] = sent.made_at, event.made_at
        self._note_settled(event, sent, sender, mends)
        return TakenIn(event.id, "new", sent.hash)

    def _note_settled(self, event: Event, sent: Sent, sender: Sender, mends: str) -> None:
        """Of what was kept aside: this one fits by now, or takes the place of another, or takes it back."""
        done: dict[str, str | bool] = {"settled_by": sender.looked_by or sender.by,
                                       "settled_at": written(sender.arrived), "event_id": event.id}
        if self._aside and mark_of(sent) in self._aside:
            self._settled.append(({"mark": mark_of(sent)}, done | {"settled": "fits"}))
        if mends:
            settled = "let_go" if isinstance(event.body, ReadingTakenBack) else "mended"
            self._settled.append(({"an_id": mends}, done | {
                "settled": settled, "reason": getattr(event.body, "reason", "")}))

    def _lacks(self, event: Event, holding: Holding) -> tuple[str, str]:
        """What an event speaks of that is not here; and the id of what it puts right, where that is kept aside."""
        body, old = event.body, event.body.supersedes or ""
        there = self._door.properties(self._turn)
        of_practice = not event.property_id and isinstance(body, LitresTold)
        if event.property_id not in there and not isinstance(body, PropertyOpened) and not of_practice:
            return f"property {event.property_id}", ""
        lacks = holding.lacks(body)
        if lacks or not old or holding.has(old):
            return lacks, ""
        is_mend = old not in self._waiting and self._is_aside(old, event.property_id)
        return ("", old) if is_mend else (f"event {old}", "")

    def _is_aside(self, event_id: str, property_id: str) -> bool:
        """Whether an event of this id was kept aside: what supersedes it does not wait for it, but puts it right."""
        known = [*self._aside.values(), *self._turn.aside({event_id})]
        return any(each.id == event_id and each.property_id == property_id for each in known)

    def let_in_who_waited(self) -> None:
        """Take in what waited for what has come, and what waited for that, until nothing more moves."""
        left = 0
        while left != len(self._waiting):
            left = len(self._waiting)
            for each in list(self._waiting.values()):
                sender = Sender(Bounds(each.bound_to, frozenset(each.barred.split())), each.code,
                                read_moment(each.arrived_at))
                try:
                    self._admit(each, sender)
                except RootcaseError as refusal:
                    del self._waiting[each.id]
                    self._lay_aside(each, sender, refusal, "refused", each.hash)

    def _lay_aside(self, sent: Sent, sender: Sender, refusal: RootcaseError, state: _Aside, held: str) -> TakenIn:
        """Keep it as it came; waiting: it may fit, and nobody has looked through it yet."""
        mark = mark_of(sent)
        if mark not in self._aside:
            self._new_aside[mark] = self._aside[mark] = KeptAside(
                **sent.as_sent(), code=sender.by, arrived_at=written(sender.arrived), mark=mark, why=str(refusal),
                right=refusal.right, unseen=state == "waiting")
        elif self._aside[mark].unseen and state != "waiting":
            self._settled.append(({"mark": mark}, {"why": str(refusal), "right": refusal.right, "unseen": False}))
        return TakenIn(sent.id, state, held, str(refusal), refusal.right, self._aside[mark].settled)

    def write_down(self, reach: int) -> int:
        """Write all of it, and return how far the file has come then."""
        turn, first = self._turn, reach + 1
        turn.append([(event, sent.body, sent.hash) for event, sent, _ in self._fresh], first)
        for event, _, sender in self._fresh:
            if isinstance(event.body, PropertyOpened):
                turn.send_to(event.property_id, sender.by, written(sender.arrived))
        turn.claim(self._claimed)
        turn.wait_no_more(self._waited - set(self._waiting))
        turn.wait([each for an_id, each in self._waiting.items() if an_id not in self._waited])
        turn.lay_aside(list(self._new_aside.values()))
        for which, settled in self._settled:
            turn.settle(settled, **which)
        last = reach + len(self._fresh)
        turn.note_clocks([clock for sender, sent in self._sendings if (clock := _clock(sender, sent))], (first, last))
        return last

    def answers(self, found: list[TakenIn]) -> tuple[TakenIn, ...]:
        """What was found, but of what waited at first and then came in, or did not fit after all."""
        return tuple(self._since(each) if each.state == "waiting" else each for each in found)

    def _since(self, told: TakenIn) -> TakenIn:
        if told.id in self._waiting:
            return told
        if told.id in self._here:
            return TakenIn(told.id, "new", told.hash)
        kept = next(each for each in self._aside.values() if (each.id, each.hash) == (told.id, told.hash))
        return TakenIn(told.id, "waiting" if kept.unseen else "refused", told.hash, kept.why, kept.right)


def mark_of(sent: Sent) -> str:
    """SHA-256 of all that was sent of one event."""
    return sha256(json.dumps([*sent.as_sent().values()]).encode("ascii")).hexdigest()


def _waiting(sent: Sent, sender: Sender, lacks: str) -> Waiting:
    return Waiting(**sent.as_sent(), code=sender.by, arrived_at=written(sender.arrived), bound_to=sender.within.code,
                   barred=" ".join(sorted(sender.within.barred)), needs=lacks)


def _clock(sender: Sender, sent: tuple[Sent, ...]) -> Clock | None:
    """What a phone's clock says, if it says anything that can be read."""
    if not sent or not sender.told_now:
        return None
    try:
        ahead = moment_of(sender.told_now) - sender.arrived
    except UnreadableValue:
        return None
    return Clock(sent[0].device, sender.by, written(sender.arrived), sender.told_now,
                 round(ahead.total_seconds() * 1000))
