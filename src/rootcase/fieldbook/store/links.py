"""The chain of the record of what was put on: a link for each event of it, made where it is taken in, in that turn.

Phones log at once and without signal; their events bear hashes of their own. One writer at a time takes in, so the
chain is one line whatever the order of arrival. A link's mark is SHA-256 over the event with its envelope, its number,
its flags, and the mark before: whoever changes, takes away or swaps a record has to make all later links anew, and then
the head is another than the one that was printed or backed up before.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from hashlib import sha256
from typing import Any, Literal

from sqlalchemy import Connection, bindparam, insert, select, text

from rootcase.fieldbook.canonical import canonical, read_canonical
from rootcase.fieldbook.events import Event, read_body
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.fieldbook.store.applied_gate import CHAINED, OF_BATCHES, REGULAR
from rootcase.fieldbook.store.schema import events, record_links
from rootcase.ground.errors import RootcaseError
from rootcase.records.apply.done import ChainHead, Flag
from rootcase.records.apply.jobs import EXTRACT

Fault = Literal["number", "gone", "edited", "broken", "unlinked", "shorter", "other_head"]
_LAST = (select(record_links.c.number, record_links.c.mark).where(record_links.c.practice_id == bindparam("practice"))
         .order_by(record_links.c.number.desc()).limit(1))
_IS_REGULAR = text(f"SELECT {REGULAR} FROM events AS put WHERE put.practice_id = :practice AND put.id = :id")
_AT = (select(record_links.c.mark).where(record_links.c.practice_id == bindparam("practice"),
                                           record_links.c.number == bindparam("number")))
_WALK = ("SELECT links.number, links.event_id, links.flags, links.mark, events.id, events.property_id, events.made_at, "
         "events.device, events.kind, events.body, events.hash, events.received FROM record_links AS links "
         "LEFT JOIN events ON events.practice_id = links.practice_id AND events.id = links.event_id "
         "WHERE links.practice_id = :practice AND links.number > :after ORDER BY links.number")
_UNLINKED = ("SELECT events.id FROM events LEFT JOIN record_links AS links ON links.practice_id = events.practice_id "
             "AND links.event_id = events.id WHERE events.practice_id = :practice AND events.received > :since "
             f"AND events.kind IN ({', '.join(repr(kind) for kind in CHAINED)}) AND links.event_id IS NULL "
             "ORDER BY events.received")


@dataclass(frozen=True, slots=True)
class Walked:
    """A chain from its first link to its last, or to the first that does not hold."""

    head: ChainHead
    """Of all links before the fault."""
    fault: Fault | None = None
    number: int = 0
    """Of the link that does not hold."""
    event_id: str = ""
    received: int = 0
    """Number in the file of the newest record before the fault."""
    known: ChainHead | None = None
    """Where looked at before: the last head that held, which a chain with a fault still has to answer for."""


def link(connection: Connection, practice_id: str, came: Iterable[tuple[Event, str, int]]) -> None:
    """Add a link for each event that has one: the event, its hash, its number in the file."""
    own = [each for each in came if each[0].body.KIND in CHAINED]
    if not own:
        return
    last = connection.execute(_LAST, {"practice": practice_id}).first()
    number, prev = (last.number, last.mark) if last else (0, "")
    for event, content, received in own:
        number += 1
        flags = " ".join(_flags(connection, event)) or _as_the_gate_sees(connection, event)
        prev = _mark(event, content, received, number, flags, prev)
        connection.execute(insert(record_links).values(practice_id=practice_id, number=number, event_id=event.id,
                                                       flags=flags, mark=prev))


def standing(walked: Walked) -> dict[str, object]:
    """A chain as a manifest tells it."""
    return {"links": walked.head.count, "head": walked.head.mark, "fault": walked.fault or ""}


def link_the_old(connection: Connection) -> None:
    """Add links for what was told before there were any, in the order received."""
    asked = select(events).where(events.c.kind.in_(CHAINED)).order_by(events.c.practice_id, events.c.received)
    for row in connection.execute(asked).all():
        event = Event(row.id, row.practice_id, row.property_id, row.made_at, row.device, read_body(row.kind, row.body))
        link(connection, row.practice_id, [(event, row.hash, row.received)])


def head_of(connection: Connection, practice_id: str) -> ChainHead:
    """How many links there are, and the mark of the last."""
    last = connection.execute(_LAST, {"practice": practice_id}).first()
    return ChainHead(count=last.number, mark=last.mark) if last else ChainHead(count=0, mark="")


def walk(practice_id: str, ask: Any, anchors: Sequence[ChainHead] = (), after: Walked | None = None) -> Walked:
    """Walk the whole chain. ask: rows of a query with the practice in it; anchors: heads that were told before; after:
    how far it was walked before without a fault, where only what came since is asked about."""
    start = after or Walked(ChainHead(count=0, mark=""))
    mark, count, received = start.head.mark, start.head.count, start.received
    wanted = {anchor.count: anchor.mark for anchor in anchors if anchor.count}
    for row in ask(_WALK, {"practice": practice_id, "after": count}):
        fault = _fault(practice_id, row, count + 1, mark)
        if fault is None and not row[3].startswith(wanted.get(row[0], "")):
            fault = "other_head"
        if fault is not None:
            return Walked(ChainHead(count=count, mark=mark), fault, count + 1, row[1], received)
        count, mark, received = row[0], row[3], max(received, row[11])
    head = ChainHead(count=count, mark=mark)
    for row in ask(_UNLINKED, {"practice": practice_id, "since": start.received}):
        return Walked(head, "unlinked", count + 1, row[0], received)
    short = max(wanted, default=0) > count
    return Walked(head, "shorter" if short else None, count + 1 if short else 0, received=received)


def walk_on(connection: Connection, practice_id: str, walked: Walked | None) -> Walked:
    """Walk what came since the chain was walked to its end; the whole of it where it was not, or where it is no longer
    the chain that was walked."""
    def ask(asked: str, of: dict[str, Any]) -> Any:
        return connection.execute(text(asked), of)

    known = (walked.known or walked.head) if walked else ChainHead(count=0, mark="")
    there = connection.execute(_AT, {"practice": practice_id, "number": known.count}).scalar()
    if walked is None or walked.fault is not None or there != known.mark:
        found = walk(practice_id, ask, [known])
    else:
        found = walk(practice_id, ask, after=walked)
    return replace(found, known=known if found.fault and known.count else None)


def _fault(practice_id: str, row: Sequence[Any], number: int, prev: str) -> Fault | None:
    """What is wrong with one link; None where it holds."""
    told, _, flags, mark, an_id, property_id, made_at, device, kind, body, content, received = row
    if told != number:
        return "number"
    if an_id is None:
        return "gone"
    try:
        event = Event(an_id, practice_id, property_id, made_at, device, read_body(kind, body))
        if event.hash != content:
            return "edited"
        return None if _mark(event, content, received, number, flags, prev) == mark else "broken"
    except RootcaseError:
        return "edited"


def _mark(event: Event, content: str, received: int, number: int, flags: str, prev: str) -> str:
    said = {"device": event.device, "event": event.id, "flags": flags, "hash": content, "made_at": event.made_at,
            "number": number, "practice": event.practice_id, "prev": prev, "received": received}
    return sha256(canonical(said)).hexdigest()


def _flags(connection: Connection, event: Event) -> Iterator[Flag]:
    """What stands against work with a load: by the hours that were told, or else by when it was written down."""
    body = event.body
    if not isinstance(body, PutOnLogged) or body.not_done:
        return
    if not body.load:
        if body.remedy == EXTRACT:
            yield from _by_batch(connection, event, body) if body.batch else ("no_load_told",)
        return
    load = next((said for _, said in _told(connection, event, ("load_filled",), "load", body.load)), None)
    if load is None:
        yield "no_such_load"
        return
    yield from _unfit(connection, event, body, load["batch"])
    starts, ends = body.started or event.made_at, body.ended or event.made_at
    if starts < load["at"] or starts > ends:
        yield "hours_do_not_fit"


def _by_batch(connection: Connection, event: Event, body: PutOnLogged) -> Iterator[Flag]:
    """The load is not told; what its batch says against it is."""
    yield "batch_told"
    if _told(connection, event, ("batch_started",), "batch", body.batch):
        yield from _unfit(connection, event, body, body.batch)
    elif not _told(connection, event, ("batch_planned",), "batch", body.batch):
        yield "no_such_batch"


def _unfit(connection: Connection, event: Event, body: PutOnLogged, batch: str) -> Iterator[Flag]:
    """What stands against work with a batch."""
    told = _told(connection, event, ("batch_judged", "batch_called_back"), "batch", batch)
    until = next((said.get("good_until", "") for kind, said in told
                  if kind == "batch_judged" and said["verdict"] == "fit"), "")
    starts, ends = body.started or event.made_at, body.ended or event.made_at
    if not until:
        yield "refused_load"
    elif ends > until or starts > until:
        yield "late" if body.ended else "age_not_shown"
    if any(kind == "batch_called_back" and said["at"] <= ends for kind, said in told):
        yield "called_back"


def _told(connection: Connection, event: Event, kinds: Sequence[str], name: str, value: str
          ) -> list[tuple[str, dict[str, Any]]]:
    """What was told of a load or a batch, in the order received; where there are indexes, by them."""
    asked = (select(events.c.kind, events.c.body).where(events.c.practice_id == event.practice_id,
                                                        events.c.kind.in_(kinds)).order_by(events.c.received))
    if connection.dialect.name == "sqlite":
        known = OF_BATCHES if len(kinds) > 1 else f"kind = '{kinds[0]}'"
        asked = asked.where(text(f"{known} AND json_extract(body, '$.{name}') = :wanted").bindparams(wanted=value))
    found = ((row.kind, read_canonical(row.body)) for row in connection.execute(asked))
    return [(kind, said) for kind, said in found if said[name] == value]


def _as_the_gate_sees(connection: Connection, event: Event) -> str:
    """A flag where the database would call work irregular and we did not: a record is never refused for it."""
    body = event.body
    if (not isinstance(body, PutOnLogged) or not body.load or body.not_done or connection.dialect.name != "sqlite"
            or connection.execute(_IS_REGULAR, {"practice": event.practice_id, "id": event.id}).scalar()):
        return ""
    return "hours_do_not_fit"
