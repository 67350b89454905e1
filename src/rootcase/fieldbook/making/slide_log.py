"""How slides stand, once every event is taken in, whatever the order they arrived in."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import fields

from rootcase.fieldbook.events import Event
from rootcase.fieldbook.made.slides import SLIDE_EVENTS, PhotoMeasured, SlideCounted
from rootcase.fieldbook.view import heads
from rootcase.records.make.slide import PhotoLength, Slide

_OF_PHOTO = tuple(each.name for each in fields(PhotoLength) if each.name != "id")
_OF_SLIDE = tuple(each.name for each in fields(Slide) if each.name not in ("id", "photos", "corrected"))


def slides_of(events: Iterable[Event]) -> tuple[Slide, ...]:
    """Every slide of the practice, newest first; a photo of a slide that has not arrived waits unseen."""
    standing = [head.event.body for head in heads(
        event for event in events if isinstance(event.body, SLIDE_EVENTS)).values()]
    photos: dict[str, list[PhotoLength]] = defaultdict(list)
    for body in standing:
        if isinstance(body, PhotoMeasured):
            photos[body.slide].append(PhotoLength(id=body.slot, **{name: getattr(body, name) for name in _OF_PHOTO}))
    found = [Slide(id=body.slide, **{name: getattr(body, name) for name in _OF_SLIDE},
                   photos=tuple(sorted(photos[body.slide], key=lambda photo: photo.id)),
                   corrected=body.supersedes is not None)
             for body in standing if isinstance(body, SlideCounted)]
    return tuple(sorted(found, key=lambda slide: (slide.day, slide.id), reverse=True))
