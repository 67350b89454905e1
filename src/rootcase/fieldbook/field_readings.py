"""Readings as a phone is sent them: the last of each kind of each thing, with what a correction of one needs."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import fields

from rootcase.fieldbook.events import Event, ReadingTaken
from rootcase.fieldbook.view import heads
from rootcase.records.field import FieldReading, Telling
from rootcase.records.observe import Reading

_OWN = tuple(each.name for each in fields(Reading))


def field_readings(events: Iterable[Event], readings: Iterable[Reading]) -> tuple[FieldReading, ...]:
    """The last of these readings with their slots and what else was told of them; events: of their property."""
    standing = {head.event.id: head for head in heads(events).values()}
    found = []
    for reading in last_ones(readings):
        head = standing.get(reading.id)
        if head is None:
            continue  # it came between two looks
        rivals = tuple(Telling(each.id, getattr(each.body, "typed", ""), each.made_at, each.device)
                       for each in head.rivals)
        body = head.event.body
        assert isinstance(body, ReadingTaken)
        found.append(FieldReading(**{name: getattr(reading, name) for name in _OWN}, slot=body.slot,
                                  made_at=head.event.made_at, device=head.event.device, rivals=rivals))
    return tuple(found)


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
