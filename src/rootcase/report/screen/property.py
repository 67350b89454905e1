"""A property's page: its places and its visits in rows."""

from __future__ import annotations

from rootcase.ground.dates import show_date
from rootcase.ground.quantity import show
from rootcase.ground.words import say
from rootcase.records.observe import Place, PropertyRecord
from rootcase.report.text.naming import choice_name, names
from rootcase.science.plane import outline_area_m2


def places_told(record: PropertyRecord) -> list[tuple[str, str, str, str]]:
    """Return each place's name, kind, size and trees."""
    return [(place.name, choice_name("place_kind", place.kind), _size(place, record),
             names([tree.label for tree in record.trees if tree.place_id == place.id])) for place in record.places]


def _size(place: Place, record: PropertyRecord) -> str:
    """As somebody read it, else as it is drawn."""
    read = next((reading.value for reading in reversed(record.of(place.id, kind="area")) if reading.plain), None)
    drawn = outline_area_m2(place.outline_m) if read is None and place.outline_m else None
    return show(read if read is not None else drawn, "m2", record.property.system)


def visits_told(record: PropertyRecord) -> list[tuple[str, str, str, int]]:
    """Return each visit's label, day, reader and readings, newest first."""
    counts: dict[str, int] = {}
    for reading in record.readings:
        counts[reading.visit_id] = counts.get(reading.visit_id, 0) + 1
    return [(visit.label, show_date(visit.day), visit.observer or say("report.not_known"), counts.get(visit.id, 0))
            for visit in reversed(record.visits)]
