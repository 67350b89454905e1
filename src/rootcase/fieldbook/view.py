"""The view: what a property looks like once every event is taken in, whatever the order they arrived in."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, fields, replace
from functools import lru_cache
from itertools import chain
from math import nan
from typing import TypeVar

from rootcase.fieldbook.drawn import AerialLaid, DrawingTakenBack, KeepOffDrawn, LineDrawn
from rootcase.fieldbook.events import (
    Body,
    ComparedWith,
    Event,
    PitOpened,
    PlaceOpened,
    PlaceOutlined,
    PlanWithdrawn,
    Priced,
    PropertyOpened,
    ReadingCorrected,
    ReadingTaken,
    ReadingTakenBack,
    SampleOpened,
    TreeOpened,
    VisitStarted,
    YardstickNamed,
)
from rootcase.fieldbook.made.batches import BatchStepTakenBack
from rootcase.fieldbook.made.heaps import HeatTakenBack
from rootcase.fieldbook.made.slides import SlideTakenBack
from rootcase.fieldbook.photographed import TreePhotoTakenBack
from rootcase.fieldbook.undone import without_undone
from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.records.observe import (
    Aerial,
    BuriedLine,
    KeepOff,
    Pit,
    Place,
    Property,
    PropertyRecord,
    Reading,
    Sample,
    Tree,
    Visit,
    Yardstick,
)

_READING = tuple(each.name for each in fields(ReadingTaken))

BodyT = TypeVar("BodyT", bound=Body)
ThingT = TypeVar("ThingT", Place, BuriedLine, KeepOff, Tree, Pit, Sample, Yardstick)


@dataclass(frozen=True, slots=True)
class Head:
    """The event that stands for its slot, and the others nobody has superseded either."""

    event: Event
    rivals: tuple[Event, ...] = ()


def view(events: Iterable[Event]) -> PropertyRecord:
    """Everything held of one property, corrections applied: a function of the set of events, not of their order.

    Events that speak about a visit or a subject that has not arrived yet wait unseen until it has.
    """
    standing = heads(events)
    opened = _of(standing, PropertyOpened)
    if not opened:
        raise Missing(say("fieldbook.no_property"), right=say("fieldbook.property_first"))
    (event, facts), = opened[-1:]
    visits = _visits(standing, event.property_id)
    trees = tuple(Tree(body.tree, event.property_id, body.place, body.label, body.east_m, body.north_m)
                  for _, body in _of(standing, TreeOpened))
    places, outlines = _places(standing, event.property_id)
    labels = {tree.id: tree.label for tree in trees}
    return PropertyRecord(
        property=_property(event, facts),
        places=_by_label(places, lambda place: place.name),
        trees=_by_label(trees, lambda tree: tree.label),
        pits=_by_label([Pit(body.pit, event.property_id, body.label, body.tree, body.place)
                        for _, body in _of(standing, PitOpened)], lambda pit: pit.label),
        samples=_by_label([Sample(body.sample, event.property_id, body.label, body.tree, body.place)
                           for _, body in _of(standing, SampleOpened)], lambda sample: sample.label),
        visits=visits,
        readings=_readings(standing, visits),
        yardsticks=_yardsticks(standing, event.property_id, labels),
        compared_with={body.tree: body.yardstick for _, body in
                       sorted(_of(standing, ComparedWith), key=lambda pair: natural(labels.get(pair[1].tree, "")))},
        outlines=_by_label(outlines, lambda outline: outline.name),
        lines=_by_label([BuriedLine(body.line, event.property_id, body.name, body.line_kind, body.points_m)
                         for _, body in _of(standing, LineDrawn)], lambda line: line.name),
        keep_off=_by_label([KeepOff(body.area, event.property_id, body.name, body.reason, body.outline_m,
                                    body.distance_m) for _, body in _of(standing, KeepOffDrawn)],
                           lambda area: area.name),
    )


def aerial(events: Iterable[Event]) -> Aerial | None:
    """The picture that lies under the map of a property."""
    laid = _of(heads(events), AerialLaid)
    if not laid:
        return None
    event, body = laid[-1]
    return Aerial(event.id, body.photo, body.width_px, body.height_px, body.scale_m_px, body.turned_deg, body.east_m,
                  body.north_m, body.own_width_px, body.own_height_px)


def heads(events: Iterable[Event]) -> Mapping[str, Head]:
    """The standing event of each slot; what came in by an import that was undone does not stand.

    Of two that nobody has superseded the later one stands, by its time and then its id; a correction stands before a
    taking back, a signing before a withdrawal, so that what two people disagree about stays in sight.
    """
    first_copies: dict[str, Event] = {}
    for event in without_undone(events):
        known = first_copies.get(event.id)
        if known is None or (event.made_at, event.device) < (known.made_at, known.device):
            first_copies[event.id] = event
    slots: dict[str, list[Event]] = defaultdict(list)
    for event in first_copies.values():
        slots[event.body.slot].append(event)
    return {slot: _head(slots[slot]) for slot in sorted(slots)}


def said(body: Body) -> Body:
    """What a body says, without where it came from and what was thought of it: equal when two say the same."""
    if isinstance(body, ReadingCorrected):
        body = replace(body, reason="")
    if isinstance(body, ReadingTaken):
        body = ReadingTaken(**{name: getattr(body, name) for name in _READING})
        body = replace(body, source="", doubts=())
    if isinstance(body, Priced):
        body = replace(body, source="")
    return replace(body, supersedes=None)


@lru_cache(maxsize=4096)
def natural(label: str) -> tuple[object, ...]:
    """Key that sorts oak 9 before oak 10.

    >>> sorted(["oak 10", "oak 9", "Ash 1"], key=natural)
    ['Ash 1', 'oak 9', 'oak 10']
    """
    parts = re.split("([0-9]+)", label)
    # By how many digits, then by the digits: a number of any length has its place.
    numbers = [part.lstrip("0") for part in parts[1::2]]
    words = [(part.casefold(), 0, "") for part in parts[::2]]
    between = chain.from_iterable(zip(words, (("", len(digits), digits) for digits in numbers), strict=False))
    return (*between, words[-1], (label, 0, ""))


def _head(slot: list[Event]) -> Head:
    superseded = {event.body.supersedes for event in slot}
    loose = sorted((event for event in slot if event.id not in superseded), key=_precedence)
    *others, standing = loose or sorted(slot, key=_precedence)
    rivals: list[Event] = []
    for other in others:
        if said(other.body) not in [said(each.body) for each in (standing, *rivals)]:
            rivals.append(other)
    return Head(standing, tuple(rivals))


def _precedence(event: Event) -> tuple[bool, str, str]:
    withdrawn = isinstance(event.body, ReadingTakenBack | DrawingTakenBack | PlanWithdrawn | HeatTakenBack
                           | SlideTakenBack | BatchStepTakenBack | TreePhotoTakenBack)
    return not withdrawn, event.made_at, event.id


def _of(standing: Mapping[str, Head], kind: type[BodyT]) -> list[tuple[Event, BodyT]]:
    return [(head.event, head.event.body) for head in standing.values() if isinstance(head.event.body, kind)]


def _by_label(things: Iterable[ThingT], label: Callable[[ThingT], str]) -> tuple[ThingT, ...]:
    return tuple(sorted(things, key=lambda thing: (natural(label(thing)), thing.id)))


def _property(event: Event, facts: PropertyOpened) -> Property:
    latitude, longitude = (nan if part is None else part for part in (facts.latitude_deg, facts.longitude_deg))
    return Property(event.property_id, event.practice_id, facts.name, latitude, longitude, facts.elevation_m,
                    facts.time_zone, facts.currency, facts.weather_station, facts.system, facts.invented, facts.law)


def _visits(standing: Mapping[str, Head], property_id: str) -> tuple[Visit, ...]:
    visits = [Visit(body.visit, property_id, body.label, body.day, body.observer)
              for _, body in _of(standing, VisitStarted)]
    return tuple(sorted(visits, key=lambda visit: (visit.day, natural(visit.label), visit.id)))


def _places(standing: Mapping[str, Head], property_id: str) -> tuple[list[Place], list[Place]]:
    """Places with their corners, and the outlines that are drawn only."""
    outlined = {body.place: body for _, body in _of(standing, PlaceOutlined)}
    opened = {body.place: body for _, body in _of(standing, PlaceOpened)}
    places = [Place(body.place, property_id, body.name, body.place_kind,
                    outlined[body.place].outline_m if body.place in outlined else ()) for body in opened.values()]
    drawn = [Place(body.place, property_id, body.name, body.outline_kind, body.outline_m)
             for body in outlined.values() if body.place not in opened]
    return places, drawn


def _yardsticks(standing: Mapping[str, Head], property_id: str, labels: Mapping[str, str]) -> tuple[Yardstick, ...]:
    names = {body.yardstick: body.label for _, body in _of(standing, ComparedWith)}
    reasons: dict[str, str] = {}
    members: dict[str, list[str]] = defaultdict(list)
    for _, body in _of(standing, YardstickNamed):
        names[body.yardstick] = body.label
        reasons[body.yardstick] = max(reasons.get(body.yardstick, ""), body.reason)
        members[body.yardstick].append(body.tree)
    yardsticks = [Yardstick(id_, property_id, label,
                            tuple(sorted(members[id_], key=lambda tree: (natural(labels.get(tree, "")), tree))),
                            reasons.get(id_, "")) for id_, label in names.items()]
    return _by_label(yardsticks, lambda yardstick: yardstick.label)


def _readings(standing: Mapping[str, Head], visits: tuple[Visit, ...]) -> tuple[Reading, ...]:
    known = {visit.id: visit for visit in visits}
    readings = []
    for head in standing.values():
        body = head.event.body
        if not isinstance(body, ReadingTaken):
            continue
        visit = known.get(body.visit) if body.visit else next(iter(visits), None)
        if visit is not None:
            readings.append(_reading(head, body, visit))
    return tuple(sorted(readings, key=_reading_order))


def _reading(head: Head, body: ReadingTaken, visit: Visit) -> Reading:
    doubts = body.doubts
    for rival in head.rivals:
        taken_back = isinstance(rival.body, ReadingTakenBack)
        doubts += (say("fieldbook.also_taken_back") if taken_back
                   else say("fieldbook.also_corrected", typed=getattr(rival.body, "typed", "")),)
    return Reading(head.event.id, body.kind, body.of, visit.id, visit.day, visit.observer, body.value, body.choice,
                   body.sign, body.nothing, body.typed, body.depth_from_m, body.depth_to_m, body.growth_year,
                   body.series, body.attributes, doubts, body.source, body.supersedes)


def _reading_order(reading: Reading) -> tuple[object, ...]:
    """By day and kind, then as the sheet ran: repeat, newest year, depth; the id decides what is left."""
    return (reading.day, reading.kind, natural(reading.series), -(reading.growth_year or 0),
            -1.0 if reading.depth_from_m is None else reading.depth_from_m, reading.of, reading.id)
