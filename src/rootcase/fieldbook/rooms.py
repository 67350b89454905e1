"""The rooms of an open fieldbook: each property is a door to one of them."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import cached_property

from rootcase.fieldbook.applying.applying import Applying
from rootcase.fieldbook.arrivals import Arrivals
from rootcase.fieldbook.aside import Aside
from rootcase.fieldbook.asking import Asking
from rootcase.fieldbook.backup.keeping import Keeping
from rootcase.fieldbook.drawing import Drawing
from rootcase.fieldbook.events import Body, Event
from rootcase.fieldbook.forms import Forms
from rootcase.fieldbook.making.making import Making
from rootcase.fieldbook.particulars import Particulars
from rootcase.fieldbook.photographing import Photographing
from rootcase.fieldbook.photos import Photos
from rootcase.fieldbook.proving import Proving
from rootcase.fieldbook.recording.recording import Recording
from rootcase.fieldbook.store import Store
from rootcase.fieldbook.telling import Telling
from rootcase.fieldbook.wanting import Wanting
from rootcase.ground.ids import IdMaker
from rootcase.records.people import Bounds


class Rooms:
    """What a fieldbook is asked through."""

    _store: Store
    _photos: Photos
    _now: Callable[[], datetime]
    _device: str
    _new_id: IdMaker
    _event: Callable[[Event, Body], Event]
    _within: Bounds

    @property
    def notes(self) -> tuple[str, ...]:
        """What the person ought to know about this file, such as an old SQLite."""
        return self._store.notes

    @property
    def arrivals(self) -> Arrivals:
        """What came in, and how far it has come."""
        return Arrivals(self._store)

    @property
    def keeping(self) -> Keeping:
        """How the whole file is backed up, and when it last was."""
        return Keeping(self._store, self._photos, self._now, self._new_id)

    @property
    def aside(self) -> Aside:
        """What was sent, and does not fit."""
        return Aside(self._store, self._now, self._device, self._new_id)

    @property
    def telling(self) -> Telling:
        """What the practice tells of itself at the desk."""
        return Telling(self._store, self._now, self._device, self._new_id)

    @property
    def drawing(self) -> Drawing:
        """The maps of the properties, to be drawn on."""
        return Drawing(self._store, self._photos, self._event, self._new_id)

    @property
    def asking(self) -> Asking:
        """What the client answers about wishes, money and hours."""
        return Asking(self._store, self._event)

    @property
    def forms(self) -> Forms:
        """Readings that are typed into a form."""
        return Forms(self._store, self._photos, self._event, lambda: self._now().date(), self._within)

    @property
    def particulars(self) -> Particulars:
        """What is said of each property itself."""
        return Particulars(self._store, self._event)

    @property
    def photos(self) -> Photos:
        """The pictures that readings name."""
        return self._photos

    @property
    def photographing(self) -> Photographing:
        """Photos of trees that are measured."""
        return Photographing(self._store, self._event, self._new_id)

    @property
    def wanting(self) -> Wanting:
        """Readings that are to be taken at the next visit."""
        return Wanting(self._store, self._event)

    @property
    def store(self) -> Store:
        """The file: who may come in and what clients may see is kept there apart from the readings."""
        return self._store

    @property
    def making(self) -> Making:
        """Heaps, batches, loads and slides."""
        return Making(self._store, self._now, self._device, self._new_id)

    @property
    def applying(self) -> Applying:
        """The ground before work, and what was put on."""
        return Applying(self._store, self._now, self._device, self._new_id, self._event)

    @cached_property
    def recording(self) -> Recording:
        """What was put on, as law asks for it."""
        return Recording(self._store, self._now, self._device, self._new_id)

    @property
    def proving(self) -> Proving:
        """What the practice's own trials say, signed."""
        return Proving(self._store, self._now, self._device, self._new_id)
