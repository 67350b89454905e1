"""How heaps stand, once every event is taken in."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import fields
from typing import Any

from rootcase.fieldbook.body import Body
from rootcase.fieldbook.events import Event
from rootcase.fieldbook.made.heaps import (
    HEAP_EVENTS,
    BeansReadOff,
    HeapFreed,
    HeapHeld,
    HeapMeasured,
    HeapStarted,
    HeapTurned,
    HeatLogged,
    HeatRead,
    HeatTakenBack,
    ProbeChecked,
)
from rootcase.fieldbook.people.tokens import read_moment
from rootcase.fieldbook.view import Head, heads, natural
from rootcase.records.make.heap import (
    BeansRead,
    Heap,
    HeapFigure,
    HeatReading,
    Holding,
    LoggedHeat,
    ProbeCheck,
    TakenBack,
    Turn,
)

_MOMENTS = ("at", "start", "complete_at")


def heaps_of(events: Iterable[Event]) -> tuple[Heap, ...]:
    """Every heap of the practice, by name; what was told of a heap that has not arrived yet waits unseen.

    Holding and freeing stand in the order received, which no clock that is set back turns round; all else stands by its
    own time, in whatever order it arrived.
    """
    told = [event for event in events if isinstance(event.body, HEAP_EVENTS)]
    places = {event.id: place for place, event in enumerate(told)}
    started: dict[str, HeapStarted] = {}
    said: dict[str, list[Head]] = defaultdict(list)
    kinds = {event.body.slot: event.body.KIND for event in told if not isinstance(event.body, HeatTakenBack)}
    for head in heads(told).values():
        body = head.event.body
        if isinstance(body, HeapStarted):
            started[body.heap] = body
        else:
            said[getattr(body, "heap", "")].append(head)
    for each in said.values():
        each.sort(key=lambda head: places[head.event.id])
    heaps = (_heap(body, said[heap], kinds) for heap, body in started.items())
    return tuple(sorted(heaps, key=lambda heap: (natural(heap.name), heap.id)))


def _heap(started: HeapStarted, said: list[Head], kinds: Mapping[str, str]) -> Heap:
    def of(kind: type[Body]) -> list[Head]:
        return [head for head in said if isinstance(head.event.body, kind)]

    def made(record: type[Any], kind: type[Body]) -> tuple[Any, ...]:
        """Records in order of time."""
        found = [record(**_facts(record, head)) for head in of(kind)]
        return tuple(sorted(found, key=lambda each: (getattr(each, _when(record)), each.id)))

    return Heap(
        id=started.heap, name=started.name, shape=started.shape, rule=started.rule,
        complete_at=read_moment(started.complete_at), time_zone=started.time_zone, by=started.by, parts=started.parts,
        every_part_heated=started.every_part_heated, invented=started.invented,
        readings=made(HeatReading, HeatRead), logged=made(LoggedHeat, HeatLogged), turns=made(Turn, HeapTurned),
        checks=made(ProbeCheck, ProbeChecked), figures=made(HeapFigure, HeapMeasured),
        beans=made(BeansRead, BeansReadOff),
        holdings=_holdings(said),
        taken_back=tuple(TakenBack(what=kinds.get(body.slot, ""), reason=body.reason, by=body.by)
                         for body in (head.event.body for head in of(HeatTakenBack))
                         if isinstance(body, HeatTakenBack)))


def _holdings(said: list[Head]) -> tuple[Holding, ...]:
    """In the order received."""
    return tuple(Holding(held=isinstance(body, HeapHeld), reason=body.reason, at=read_moment(body.at), by=body.by,
                         lifts=body.lifts if isinstance(body, HeapFreed) else ())
                 for head in said if isinstance(body := head.event.body, HeapHeld | HeapFreed))


def _facts(record: type[Any], head: Head) -> dict[str, Any]:
    """What a body tells of a record's fields, moments read."""
    body = head.event.body
    found: dict[str, Any] = {"id": body.slot}
    for each in fields(record):
        if hasattr(body, each.name):
            value = getattr(body, each.name)
            found[each.name] = read_moment(value) if each.name in _MOMENTS else value
    if record in (HeatReading, HeapFigure, BeansRead):
        found["corrected"] = body.supersedes is not None
    if record is HeatReading:
        found["rivals"] = len(head.rivals)
    if record in (HeapFigure, BeansRead):
        found["told_id"] = head.event.id
    return found


def _when(record: type[Any]) -> str:
    return next(name for name in ("at", "start", "day") if name in {each.name for each in fields(record)})
