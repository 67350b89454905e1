"""What was told of the ground of a property, as it stands."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from rootcase.fieldbook.applied.ground_use import (
    GROUND_EVENTS,
    BloomTold,
    LocateTold,
    OfGround,
    PermitTold,
    SqueezeTold,
    UseTold,
)
from rootcase.fieldbook.applied.wrong import WentWrongTold
from rootcase.fieldbook.body import Body
from rootcase.fieldbook.events import Event
from rootcase.fieldbook.store.store import Store
from rootcase.fieldbook.view import heads, view
from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.records.apply.told import Bloom, GroundTold, Locate, Permit, Squeeze, Use, WentWrong


class GroundUse:
    """The part of the door that tells of the ground."""

    _store: Store
    _event: Callable[[Event, Body], Event]

    def ground(self, property_id: str) -> GroundTold:
        """What holds of a property."""
        with self._store.reading() as look:
            return ground_told(look.events(property_id))

    def went_wrong(self, property_id: str) -> tuple[WentWrong, ...]:
        """What went wrong at a property, the newest first."""
        with self._store.reading() as look:
            found = heads(each for each in look.events(property_id) if isinstance(each.body, WentWrongTold)).values()
        told = [WentWrong(id=body.slot, day=body.day, at=body.at, by=body.by, note=body.note)
                for body in (head.event.body for head in found) if isinstance(body, WentWrongTold)]
        return tuple(sorted(told, key=lambda each: each.at, reverse=True))

    def standing_ground(self, property_id: str, slot: str) -> Event | None:
        """The event that stands for a slot of what was told; None where nothing holds there."""
        with self._store.reading() as look:
            head = heads(each for each in look.events(property_id) if isinstance(each.body, GROUND_EVENTS)).get(slot)
        if head is None or not isinstance(head.event.body, OfGround) or not head.event.body.holds:
            return None
        return head.event

    def tell_ground(self, property_id: str, body: OfGround) -> Event:
        """Keep what is told; one of the same slot takes the place of the one before."""
        with self._store.writing() as turn:
            events = turn.events(property_id)
            if not events:
                raise Missing(say("fieldbook.no_such_property"), value=property_id)
            record = view(events)
            known = {"", *(place.id for place in record.places), *(tree.id for tree in record.trees)}
            of = getattr(body, "of", getattr(body, "place", ""))
            if of not in known:
                raise Missing(say("windows.no_such_ground"), value=of)
            event = self._event(events[0], body)
            turn.add([event])
        return event


def ground_told(events: Iterable[Event]) -> GroundTold:
    """What stands of what was told; what holds no more is left out."""
    told = [(event.id, event.body) for event in (head.event for head in heads(
        each for each in events if isinstance(each.body, GROUND_EVENTS)).values())
        if isinstance(event.body, OfGround) and event.body.holds]
    told.sort(key=lambda each: each[0])
    return GroundTold(
        locates=tuple(Locate(id=body.slot, number=body.number, first=body.first, last=body.last,
                             private_lines=body.private_lines, place_id=body.place)
                      for _, body in told if isinstance(body, LocateTold)),
        permits=tuple(Permit(id=body.slot, what=body.what, number=body.number, first=body.first, last=body.last,
                             remedies=body.remedies, work_told=body.all_work or bool(body.remedies))
                      for _, body in told if isinstance(body, PermitTold)),
        uses=tuple(Use(id=body.slot, name=body.name, first=body.first, last=body.last, weekdays=body.weekdays,
                       place_id=body.place) for _, body in told if isinstance(body, UseTold)),
        blooms=tuple(Bloom(id=body.slot, of=body.of, first=body.first, last=body.last)
                     for _, body in told if isinstance(body, BloomTold)),
        squeezes=tuple(Squeeze(id=body.slot, place_id=body.place, day=body.day, state=body.state)
                       for _, body in told if isinstance(body, SqueezeTold)))
