"""Readings as a phone is sent them: the last of each kind of each thing, with what a correction of one needs."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import fields

from rootcase.fieldbook.events import Event, ReadingTaken
from rootcase.fieldbook.undone import without_undone
from rootcase.fieldbook.view import Head, heads
from rootcase.records.field import FieldReading, Telling
from rootcase.records.observe import Reading

_OWN = tuple(each.name for each in fields(Reading))


def field_readings(events: Iterable[Event], readings: Iterable[Reading]) -> tuple[FieldReading, ...]:
    """The last of these readings with their slots and what else was told of them; events: of their property."""
    events = without_undone(events)
    standing = {head.event.id: head for head in heads(events).values()}
    told = _told(events)
    found = []
    for reading in last_ones(readings):
        head = standing.get(reading.id)
        if head is None:
            continue  # it came between two looks
        body = head.event.body
        assert isinstance(body, ReadingTaken)
        found.append(FieldReading(**{name: getattr(reading, name) for name in _OWN}, slot=body.slot,
                                  made_at=head.event.made_at, device=head.event.device,
                                  rivals=tuple(map(_telling, head.rivals)), before=_before(head, told[body.slot])))
    return tuple(found)


def _told(events: Iterable[Event]) -> Mapping[str, list[Event]]:
    found: dict[str, dict[str, Event]] = defaultdict(dict)
    for event in events:
        if isinstance(event.body, ReadingTaken):
            found[event.body.slot].setdefault(event.id, event)
    return {slot: sorted(told.values(), key=lambda each: (each.made_at, each.id)) for slot, told in found.items()}


def _before(head: Head, told: Iterable[Event]) -> tuple[Telling, ...]:
    stands = {head.event.id, *(each.id for each in head.rivals)}
    return tuple(_telling(each) for each in told if each.id not in stands)


def _telling(event: Event) -> Telling:
    return Telling(event.id, getattr(event.body, "typed", ""), event.made_at, event.device,
                   getattr(event.body, "reason", ""))


def last_ones(readings: Iterable[Reading]) -> tuple[Reading, ...]:
    """Of each kind of each thing all that was read on the last day; and on the last on which there was something."""
    groups: dict[tuple[str, str], list[Reading]] = defaultdict(list)
    for reading in readings:
        groups[reading.of, reading.kind].append(reading)
    found = []
    for group in groups.values():
        real = [each.day for each in group if each.nothing is None]
        days = {max(each.day for each in group), *([max(real)] if real else [])}
        found += [each for each in group if each.day in days]
    return tuple(found)
