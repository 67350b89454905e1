"""Which events no longer speak, because the import they came with was undone."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import chain

from rootcase.fieldbook.events import Event, ImportUndone, SheetImported


def without_undone(events: Iterable[Event]) -> list[Event]:
    """The events that still speak: a function of the set, whatever the order they arrived in."""
    events = list(events)
    undone = {event.body.supersedes for event in events if isinstance(event.body, ImportUndone)}
    silent = set(chain.from_iterable(event.body.events for event in events
                                     if isinstance(event.body, SheetImported) and event.id in undone))
    return [event for event in events if event.id not in silent] if silent else events
