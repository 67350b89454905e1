"""The door for photos of trees that are measured."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, fields, replace

from rootcase.fieldbook.body import Body
from rootcase.fieldbook.events import Event
from rootcase.fieldbook.photographed import TREE_PHOTO_EVENTS, TreePhotoMeasured, TreePhotoTakenBack
from rootcase.fieldbook.store.store import Store
from rootcase.fieldbook.view import heads
from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.records.tree_photo import TreePhoto

_OF_PHOTO = tuple(each.name for each in fields(TreePhoto) if each.name not in ("id", "tree_id", "mended"))


@dataclass(frozen=True, slots=True)
class Photographing:
    """The measured photos of each property of a fieldbook."""

    store: Store
    event: Callable[[Event, Body], Event]
    """A new event beside one of the same property."""
    new_id: Callable[[], str]

    def of(self, property_id: str) -> tuple[TreePhoto, ...]:
        """Every photo of a property that stands, newest first."""
        with self.store.reading() as look:
            return tree_photos_of(look.events(property_id))

    def add(self, property_id: str, body: TreePhotoMeasured) -> bool:
        """Keep a photo under its slot; False: the tree has one with this picture and subject already."""
        with self.store.writing() as turn:
            events = turn.events(property_id)
            if any((each.tree_id, each.shows, each.photo) == (body.tree, body.shows, body.photo)
                   for each in tree_photos_of(events)):
                return False
            turn.add([self.event(events[0], body)])
        return True

    def mend(self, property_id: str, body: TreePhotoMeasured) -> None:
        """Keep what a person mended in the place of what stands; what was measured first stays in the record."""
        self._supersede(property_id, body)

    def take_back(self, property_id: str, photo: TreePhoto, reason: str, *, by: str) -> None:
        """Say that a photo should not have been measured here; it stays in the record and leaves the view."""
        self._supersede(property_id, TreePhotoTakenBack(slot=photo.id, tree=photo.tree_id, reason=reason, by=by))

    def _supersede(self, property_id: str, body: Body) -> None:
        with self.store.writing() as turn:
            events = turn.events(property_id)
            head = heads(each for each in events if isinstance(each.body, TREE_PHOTO_EVENTS)).get(body.slot)
            if head is None or isinstance(head.event.body, TreePhotoTakenBack):
                raise Missing(say("photos.none"), value=body.slot, right=say("photos.right_photo"))
            turn.add([self.event(events[0], replace(body, supersedes=head.event.id))])


def tree_photos_of(events: Iterable[Event]) -> tuple[TreePhoto, ...]:
    """The photos that stand, newest first, once every event is taken in, whatever the order they arrived in."""
    standing = heads(event for event in events if isinstance(event.body, TREE_PHOTO_EVENTS)).values()
    found = [TreePhoto(id=body.slot, tree_id=body.tree, mended=body.supersedes is not None,
                       **{name: getattr(body, name) for name in _OF_PHOTO})
             for head in standing if isinstance(body := head.event.body, TreePhotoMeasured)]
    return tuple(sorted(found, key=lambda photo: (photo.day, photo.id), reverse=True))
