"""Readings that somebody wants taken at the next visit, until one is taken or nobody wants it any more."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import date

from rootcase.fieldbook.body import Body
from rootcase.fieldbook.events import Event
from rootcase.fieldbook.intake.named import named_id
from rootcase.fieldbook.store.store import Store, Writing
from rootcase.fieldbook.view import heads, view
from rootcase.fieldbook.wanted import ReadingNotWanted, ReadingWanted
from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord, Tree, WantedReading
from rootcase.tables.readings import kind_of


@dataclass(frozen=True, slots=True)
class Wanting:
    """The wanted readings of each property of a fieldbook."""

    store: Store
    event: Callable[[Event, Body], Event]
    """A new event beside one of the same property."""

    def of(self, property_id: str) -> tuple[WantedReading, ...]:
        """What is still to be taken, first what was wanted first."""
        with self.store.reading() as look:
            events = tuple(look.events(property_id))
        return wanted_readings(events, view(events))

    def want(self, property_id: str, tree_id: str, kind: str, *, by: str, day: date) -> None:
        """Have a reading taken at the next visit; what is wanted already is wanted once."""
        with self._turn(property_id) as (turn, events):
            record = view(events)
            if all(tree.id != tree_id for tree in record.trees):
                raise Missing(say("fieldbook.no_such_tree"), value=tree_id)
            known = {(each.tree_id, each.kind) for each in wanted_readings(events, record)}
            if (tree_id, kind_of(kind).kind) not in known:
                self._add(turn, events, ReadingWanted(slot=self._slot(property_id, tree_id, kind), tree=tree_id,
                                                      kind=kind, by=by, day=day))

    def drop(self, property_id: str, tree_id: str, kind: str, *, by: str, day: date) -> None:
        """Say that a reading is wanted no more."""
        with self._turn(property_id) as (turn, events):
            if (tree_id, kind) not in {(each.tree_id, each.kind) for each in wanted_readings(events, view(events))}:
                raise Missing(say("fieldbook.not_wanted"), value=kind)
            self._add(turn, events, ReadingNotWanted(slot=self._slot(property_id, tree_id, kind), by=by, day=day))

    def _slot(self, property_id: str, tree_id: str, kind: str) -> str:
        return named_id(self.store.practice_id, property_id, "slot", "wanted", tree_id, kind)

    def _add(self, turn: Writing, events: Sequence[Event], body: Body) -> None:
        head = heads(events).get(body.slot)
        turn.add([self.event(events[0], replace(body, supersedes=head.event.id if head else None))])

    @contextmanager
    def _turn(self, property_id: str) -> Iterator[tuple[Writing, Sequence[Event]]]:
        with self.store.writing() as turn:
            events = turn.events(property_id)
            if not events:
                raise Missing(say("fieldbook.no_such_property"), value=property_id)
            yield turn, events


def wanted_readings(events: Iterable[Event], record: PropertyRecord) -> tuple[WantedReading, ...]:
    """What is still to be taken: a reading of its kind fulfils a wish if it was made on its day or later and written
    down behind it."""
    standing = [head.event for head in heads(events).values()]
    trees = {tree.id: tree for tree in record.trees}
    written = {event.id: event.made_at for event in standing}
    wishes = sorted((event for event in standing if isinstance(event.body, ReadingWanted)),
                    key=lambda event: (event.made_at, event.id))
    found = []
    for wish in wishes:
        body = wish.body
        assert isinstance(body, ReadingWanted)
        if body.tree not in trees:
            continue
        read = record.of(*_things(trees[body.tree], record), kind=body.kind)
        if not any(reading.day >= body.day and written[reading.id] > wish.made_at
                   and reading.nothing in (None, "none seen") for reading in read):
            found.append(WantedReading(body.tree, body.kind, body.by, body.day))
    return tuple(found)


def _things(tree: Tree, record: PropertyRecord) -> tuple[str, ...]:
    """All that a reading for this tree may be of."""
    return (tree.id, tree.place_id, *(pit.id for pit in record.pits_of(tree.id)),
            *(sample.id for sample in record.samples_of(tree)))
