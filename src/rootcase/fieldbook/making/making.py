"""The door for events of what is made."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import UTC, datetime

from rootcase.fieldbook.body import Body
from rootcase.fieldbook.events import Event
from rootcase.fieldbook.making.gate import admit
from rootcase.fieldbook.making.tracing import Tracing
from rootcase.fieldbook.people.tokens import written
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.fieldbook.store import Store


class Making:
    """Heaps, batches, loads and slides of the practice."""

    def __init__(self, store: Store, now: Callable[[], datetime], device: str, new_id: Callable[[], str]) -> None:
        self._store, self._now, self._device, self._new_id = store, now, device, new_id

    @property
    def tracing(self) -> Tracing:
        """What came of what: heaps, batches, loads, trees."""
        return Tracing(self._store)

    def new_id(self) -> str:
        """An id for a heap, a batch, a load, a slide, or the slot of what is told once."""
        return self._new_id()

    def now(self) -> datetime:
        """The moment by the fieldbook's clock."""
        return self._now().astimezone(UTC)

    def events(self) -> tuple[Event, ...]:
        """All that the practice told of itself, in the order received."""
        with self._store.reading() as look:
            return tuple(look.events(""))

    def tell(self, bodies: Callable[[Sequence[Event]], Sequence[Body]]) -> tuple[Event, ...]:
        """Keep what follows from what stands at that moment, all of it or nothing; nobody else writes meanwhile.

        bodies: what is to be told, given all that the practice told before; it raises where that may not be. The gate
        looks at each: no load of a batch that is refused, called back or over its age comes through.
        """
        with self._store.writing() as turn:
            before = turn.events("")
            told, now = bodies(before), self.now()  # they may have asked the clock too; it goes on
            made_at = written(now)
            new: list[Event] = []
            for body in told:
                admit(body, [*before, *new], now)
                new.append(Event(self._new_id(), self._store.practice_id, "", made_at, self._device, body))
            turn.add(new)
        return tuple(new)

    def put_on(self, property_id: str, body: PutOnLogged) -> None:
        """Keep what was put on at a property, told at the desk; the same slot sent again tells nothing new."""
        with self._store.writing() as turn:
            if all(event.body.slot != body.slot for event in turn.events(property_id)):
                turn.add([Event(self._new_id(), self._store.practice_id, property_id, written(self.now()), self._device,
                                body)])
