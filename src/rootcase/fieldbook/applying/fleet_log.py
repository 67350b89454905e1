"""Trucks, crews, fill points, planned batches and rounds as they stand, from the events of the practice."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from typing import TypeVar

from rootcase.fieldbook.applied.fleet import (
    FLEET_EVENTS,
    BatchPlanned,
    CalendarTaken,
    CrewTold,
    FillPointTold,
    RoundGiven,
    TravelTold,
    TruckTold,
)
from rootcase.fieldbook.body import Body
from rootcase.fieldbook.events import Event
from rootcase.fieldbook.people.tokens import written
from rootcase.fieldbook.store.store import Store
from rootcase.fieldbook.view import heads, natural
from rootcase.records.apply.rounds import Crew, FillPoint, Fleet, GivenRound, PlannedBatch, Travel, Truck

PERCENT = 100.0
Told = TypeVar("Told", bound=Body)


class Driving:
    """The part of the door that tells of trucks, crews and rounds."""

    _store: Store
    _now: Callable[[], datetime]
    _device: str
    _new_id: Callable[[], str]

    def practice_events(self) -> tuple[Event, ...]:
        """All that the practice told of itself, in the order received."""
        with self._store.reading() as look:
            return tuple(look.events(""))

    def crews_and_rounds(self) -> tuple[Event, ...]:
        """Of all that, what was told of crews and rounds alone: a phone asks often, and a practice has much."""
        with self._store.reading() as look:
            return tuple(look.events("", (CrewTold.KIND, RoundGiven.KIND)))

    def tell_practice(self, bodies: Callable[[Sequence[Event]], Sequence[Body]]) -> None:
        """Keep what follows from what stands at that moment, all of it or nothing; each takes the place of what stands
        in its slot."""
        with self._store.writing() as turn:
            before = turn.events("")
            made_at = written(self._now().astimezone(UTC))
            turn.add([Event(self._new_id(), self._store.practice_id, "", made_at, self._device,
                            replace(body, supersedes=standing_of(before, body.slot))) for body in bodies(before)])


def fleet_of(events: Iterable[Event]) -> Fleet:
    """What there is to drive with, by name; what is gone is not there."""
    told = _standing(events)
    trucks = [Truck(id=each.truck, name=each.name, tank_l=each.tank_l, payload_kg=each.payload_kg)
              for each in _of(told, TruckTold) if not each.gone]
    crews = [Crew(id=each.crew, name=each.name, truck_id=each.truck, people=each.people, leaves_min=each.leaves_min,
                  back_by_min=each.back_by_min, rest_minutes=each.rest_min, rest_from_min=each.rest_from_min,
                  rest_to_min=each.rest_to_min, licensed=each.licensed, works_days=each.works_days)
             for each in _of(told, CrewTold) if not each.gone]
    points = [FillPoint(id=each.fill_point, name=each.name, latitude_deg=each.latitude_deg,
                        longitude_deg=each.longitude_deg, fill_minutes=each.fill_min, is_yard=each.is_yard,
                        time_zone=each.time_zone) for each in _of(told, FillPointTold) if not each.gone]
    travel = next((Travel(road_factor=each.road_pct and each.road_pct / PERCENT, speed_km_h=each.speed_km_h,
                          places=each.places, minutes=each.drives_min) for each in _of(told, TravelTold)), Travel())
    return Fleet(trucks=tuple(sorted(trucks, key=lambda each: natural(each.name))),
                 crews=tuple(sorted(crews, key=lambda each: natural(each.name))),
                 fill_points=tuple(sorted(points, key=lambda each: (not each.is_yard, natural(each.name)))),
                 travel=travel)


def planned_batches_of(events: Iterable[Event]) -> tuple[PlannedBatch, ...]:
    """Batches that are planned, in the order of their hours."""
    found = [PlannedBatch(id=each.batch, day=each.day, ready_min=each.ready_min, use_by_min=each.use_by_min,
                          litres=each.volume_l, fill_point_id=each.fill_point)
             for each in _of(_standing(events), BatchPlanned) if not each.gone]
    return tuple(sorted(found, key=lambda each: (each.day, each.ready_min, each.id)))


def rounds_of(events: Iterable[Event]) -> tuple[GivenRound, ...]:
    """Rounds that were given or arranged, by day; what nobody gave yet bears no code."""
    found = [GivenRound(id=each.round, day=each.day, crew_id=each.crew, steps=each.steps,
                        given_by=each.by if each.given else "", moved_by_hand=each.moved_by_hand)
             for each in _of(_standing(events), RoundGiven) if not each.gone]
    return tuple(sorted(found, key=lambda each: (each.day, each.crew_id)))


def calendar_of(events: Iterable[Event]) -> CalendarTaken | None:
    """What the newest calendar file told; None where none was taken."""
    return next(iter(_of(_standing(events), CalendarTaken)), None)


def standing_of(events: Iterable[Event], slot: str) -> str | None:
    """Id of the event that stands for a slot, which a new word supersedes."""
    head = heads(each for each in events if each.body.slot == slot).get(slot)
    return head.event.id if head else None


def _standing(events: Iterable[Event]) -> list[Body]:
    return [head.event.body for head in heads(each for each in events if isinstance(each.body, FLEET_EVENTS)).values()]


def _of(told: Iterable[Body], kind: type[Told]) -> list[Told]:
    return [each for each in told if isinstance(each, kind)]
