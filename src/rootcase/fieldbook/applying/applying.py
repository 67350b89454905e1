"""The door for events of what is put on, and of the ground it is put on."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

from rootcase.fieldbook.applying.fleet_log import Driving
from rootcase.fieldbook.applying.ground_log import GroundUse
from rootcase.fieldbook.body import Body
from rootcase.fieldbook.events import Event
from rootcase.fieldbook.store import Store


class Applying(GroundUse, Driving):
    """Days the ground may be worked; trucks, crews and rounds."""

    def __init__(self, store: Store, now: Callable[[], datetime], device: str, new_id: Callable[[], str],
                 event: Callable[[Event, Body], Event]) -> None:
        self._store, self._now, self._device, self._new_id, self._event = store, now, device, new_id, event

    def new_id(self) -> str:
        """An id for the slot of what is told."""
        return self._new_id()

    def now(self) -> datetime:
        """The moment by the fieldbook's clock."""
        return self._now().astimezone(UTC)
