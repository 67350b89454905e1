"""What phones sent, beside the events: what waits for what it speaks of, what is kept aside, and their clocks."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import asdict, dataclass, fields
from functools import cache
from typing import Any

from sqlalchemy import (
    Column,
    ColumnElement,
    Connection,
    Row,
    Select,
    Table,
    and_,
    bindparam,
    delete,
    exists,
    insert,
    or_,
    select,
    update,
)

from rootcase.fieldbook.store.door import assignments, sendings
from rootcase.fieldbook.store.practices import know_practice
from rootcase.fieldbook.store.schema import clock_claims, events, kept_aside, people, waiting_events

_FEW = 64
"""Of more the four questions cost little beside the events, and one would name each of them three times."""


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

    def as_sent(self) -> dict[str, str]:
        """What was sent, by name, without what was noted beside it."""
        return {each.name: getattr(self, each.name) for each in fields(Sent)}


@dataclass(frozen=True, slots=True)
class Arrived(Sent):
    """An event as it was sent, by whom, and when it arrived."""

    code: str
    """Who sent it."""
    arrived_at: str


@dataclass(frozen=True, slots=True)
class Waiting(Arrived):
    """An event that speaks of what is not here yet."""

    bound_to: str
    """Whose visits alone its sender may speak of; empty: everybody's."""
    barred: str
    """Kinds of readings that its sender may not tell, parted by spaces."""
    needs: str
    """What it speaks of that is not here: the first thing, and its id."""


@dataclass(frozen=True, slots=True)
class KeptAside(Arrived):
    """What does not fit, why, and what a person said of it since."""

    mark: str
    """SHA-256 of all that was sent."""
    why: str
    right: str
    """What would be right."""
    settled: str = ""
    """mended, as_text, let_go, fits (it came again, and fitted); empty: it needs somebody."""
    settled_by: str = ""
    settled_at: str = ""
    reason: str = ""
    event_id: str = ""
    """Of the event that came of it."""
    unseen: bool = False
    """Whether it comes of a phone that was lost, and may fit: nobody has looked through it yet."""


@dataclass(frozen=True, slots=True)
class Clock:
    """What a phone's clock said when it sent something."""

    device: str
    code: str
    arrived_at: str
    told_now: str
    ahead_ms: int


class SentReading:
    """What can be asked of what was sent."""

    _connection: Connection
    _practice_id: str

    def all_is_new(self, ids: Collection[str], property_ids: Collection[str], reach: int) -> bool:
        """Whether no event came after that number, none of these properties waits, and none of these is here, waits or
        is kept aside: one question in the place of four, since most of what is sent is new. Of many it is not asked."""
        return len(ids) <= _FEW and not self._connection.scalar(_ANYTHING, {
            "practice": self._practice_id, "reach": reach, "ids": list(ids), "of": list(property_ids)})

    def waiting(self, property_ids: Collection[str] | None = None, ids: Collection[str] = ()) -> dict[str, Waiting]:
        """Events that wait, by id, the oldest first: all of them, or those of these properties and of these ids."""
        asked = (_WAITING, {}) if property_ids is None else (_WAITING_OF, {"of": list(property_ids), "ids": list(ids)})
        return {row.id: Waiting(*_without_practice(row))
                for row in self._connection.execute(asked[0], {"practice": self._practice_id} | asked[1])}

    def aside(self, ids: Collection[str] | None = None, marks: Collection[str] | None = None) -> list[KeptAside]:
        """What is kept aside, settled or not, the oldest first: all of it, that of these ids, or of these marks."""
        asked = (_ASIDE_OF, {"ids": list(ids)}) if ids is not None else (
            _ASIDE_BY, {"marks": list(marks)}) if marks is not None else (_ASIDE, {})
        return [KeptAside(*_without_practice(row))
                for row in self._connection.execute(asked[0], {"practice": self._practice_id} | asked[1])]

    def clock_claims(self) -> dict[str, tuple[str, str, str]]:
        """Of each event that was dated ahead: the time it claims, when it arrived, and its kind; the newest first."""
        asked = select(clock_claims, events.c.kind).join(events, and_(
            events.c.practice_id == clock_claims.c.practice_id, events.c.id == clock_claims.c.id)).where(
            clock_claims.c.practice_id == self._practice_id).order_by(clock_claims.c.arrived_at.desc())
        return {row.id: (row.claimed_at, row.arrived_at, row.kind) for row in self._connection.execute(asked)}

    def clocks(self) -> dict[str, Clock]:
        """What the clock of each device said when it last sent something."""
        asked = select(sendings.c.device, sendings.c.code, sendings.c.arrived_at, sendings.c.told_now,
                       sendings.c.ahead_ms).where(sendings.c.practice_id == self._practice_id)
        return {row.device: Clock(*row) for row in self._connection.execute(asked.order_by(sendings.c.number))}


class SentWriting(SentReading):
    """What can be kept of what is sent."""

    def wait(self, events: Collection[Waiting]) -> None:
        self._put(waiting_events, [asdict(each) for each in events])

    def wait_no_more(self, ids: Collection[str]) -> None:
        """These have come in, or were laid aside."""
        if not ids:
            return
        self._connection.execute(delete(waiting_events).where(
            waiting_events.c.practice_id == self._practice_id, waiting_events.c.id.in_(tuple(ids))))

    def lay_aside(self, sent: Collection[KeptAside]) -> None:
        self._put(kept_aside, [asdict(each) for each in sent])

    def settle(self, settled: Mapping[str, str | bool], *, an_id: str = "", mark: str = "") -> bool:
        """Say what became of what is kept aside under an id or a mark and needs somebody; whether there was any."""
        which = kept_aside.c.mark == mark if mark else kept_aside.c.id == an_id
        done = self._connection.execute(update(kept_aside).where(
            kept_aside.c.practice_id == self._practice_id, kept_aside.c.settled == "", which).values(settled))
        return bool(done.rowcount)

    def claim(self, claimed: Mapping[str, tuple[str, str]]) -> None:
        """Note which time an event claims, and when it arrived."""
        self._put(clock_claims, [{"id": an_id, "claimed_at": said, "arrived_at": came}
                                 for an_id, (said, came) in claimed.items()])

    def note_clocks(self, clocks: Collection[Clock], received: tuple[int, int]) -> None:
        """Note phones' clocks beside what came with them, by the first and the last number of it."""
        self._put(sendings, [asdict(each) | {"received_from": received[0], "received_to": received[1]}
                             for each in clocks])

    def send_to(self, property_id: str, code: str, now: str) -> None:
        """Whoever opened a property goes there, if they are known by a code."""
        known = self._connection.scalar(select(people.c.code).where(
            people.c.practice_id == self._practice_id, people.c.code == code))
        if known is not None:
            self._put(assignments, [{"property_id": property_id, "code": code, "day": "", "by": code, "made_at": now}])

    def _put(self, table: Table, rows: list[dict[str, Any]]) -> None:
        if rows:
            know_practice(self._connection, self._practice_id)
            self._connection.execute(_adding(table), [{"practice_id": self._practice_id, **row} for row in rows])


_adding = cache(insert)
"""Made once of each table, as the questions are."""


def _prepared(table: Table, order: str, *which: ColumnElement[bool]) -> Select[Any]:
    """A question that is put for every sending: made once, since making it takes longer than answering it."""
    return select(table).where(table.c.practice_id == bindparam("practice"), *which).order_by(
        table.c.arrived_at, table.c[order])


def _any_in(table: Table, *which: ColumnElement[bool]) -> ColumnElement[bool]:
    return exists().where(table.c.practice_id == bindparam("practice"), *which)


def _one_of(column: Column[str], name: str) -> ColumnElement[bool]:
    return column.in_(bindparam(name, expanding=True))


_WAITING = _prepared(waiting_events, "id")
_OF_THESE = or_(_one_of(waiting_events.c.property_id, "of"), _one_of(waiting_events.c.id, "ids"))
_WAITING_OF = _prepared(waiting_events, "id", _OF_THESE)
_ASIDE = _prepared(kept_aside, "id")
_ASIDE_OF = _prepared(kept_aside, "id", _one_of(kept_aside.c.id, "ids"))
_ASIDE_BY = _prepared(kept_aside, "id", _one_of(kept_aside.c.mark, "marks"))
_ANYTHING = select(or_(
    _any_in(events, events.c.received > bindparam("reach")), _any_in(events, _one_of(events.c.id, "ids")),
    _any_in(waiting_events, _OF_THESE), _any_in(kept_aside, _one_of(kept_aside.c.id, "ids"))))


def _without_practice(row: Row[Any]) -> tuple[Any, ...]:
    return tuple(row)[1:]
