"""What came into a fieldbook: how far it has come, what came since, and whether anything was written at all."""

from __future__ import annotations

from dataclasses import dataclass

from rootcase.fieldbook.events import Event
from rootcase.fieldbook.intake.weather import gauge_of
from rootcase.fieldbook.store import Store
from rootcase.fieldbook.undone import without_undone
from rootcase.fieldbook.view import view

NOT_DECIDING = frozenset((
    "sheet_imported", "practice_told", "plan_signed", "plan_withdrawn", "offer_made", "offer_answered",
    "question_replied", "programme_started", "visit_skipped", "programme_renewed", "programme_stopped",
    "reading_wanted", "reading_not_wanted", "put_on_logged", "locate_told", "permit_told", "use_told", "bloom_told",
    "squeeze_told", "truck_told", "crew_told", "fill_point_told", "travel_told", "batch_planned", "round_given",
    "calendar_taken", "went_wrong_told", "tree_photo_measured", "tree_photo_taken_back"))
"""Kinds of events that no explanation and no plan rests on."""


@dataclass(frozen=True, slots=True)
class Reach:
    """How far what decides a property's casework had come."""

    received: int
    """Number of the practice's newest event."""
    weather: str
    """SHA-256 of the weather the property is reckoned with."""


class Arrivals:
    """What came in of one practice."""

    def __init__(self, store: Store) -> None:
        self._store = store

    @property
    def where(self) -> str:
        """The fieldbook's file; its practices and properties may have the ids of another's."""
        return f"{self._store.where} {self._store.practice_id}"

    def commits(self) -> tuple[int, int]:
        """Figures that are others after each commit, by whatever program; cheap enough to ask for every page."""
        return self._store.commits()

    def reach(self, property_id: str) -> Reach:
        """How far all has come that a property's casework rests on."""
        with self._store.reading() as look:
            opened = look.properties().get(property_id)
            station = view(opened).property.weather_station if opened else ""
            return Reach(look.newest_received(), look.weather_mark(station, gauge_of(property_id)))

    def since(self, property_id: str, received: int) -> tuple[Event, ...]:
        """What came after that number of this property and of the whole practice, where something may rest on it."""
        with self._store.reading() as look:
            came = look.received_after(received, ("", property_id))
        return tuple(event for event in without_undone(came) if event.body.KIND not in NOT_DECIDING)

    def anything_since(self, property_id: str, received: int) -> bool:
        """Whether anything at all came after that number of this property or of the whole practice."""
        with self._store.reading() as look:
            return bool(look.received_after(received, ("", property_id)))
