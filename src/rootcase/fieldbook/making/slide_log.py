"""How slides stand, once every event is taken in, whatever the order they arrived in."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import fields
from typing import Any

from rootcase.fieldbook.events import Event
from rootcase.fieldbook.made.heaps import HeapStarted
from rootcase.fieldbook.made.slides import SLIDE_EVENTS, PhotoMeasured, SlideCounted
from rootcase.fieldbook.view import heads
from rootcase.records.make.slide import PhotoLength, Slide

_OF_PHOTO = tuple(each.name for each in fields(PhotoLength) if each.name != "id")
_OF_SLIDE = tuple(each.name for each in fields(Slide) if each.name not in ("id", "photos", "corrected",
                                                                                "source_id", "source_name"))


def slides_of(events: Iterable[Event]) -> tuple[Slide, ...]:
    """Every slide of the practice, newest first; a photo of a slide that has not arrived waits unseen."""
    told = tuple(events)
    named = [(event.made_at, event.body) for event in told if isinstance(event.body, HeapStarted)]
    standing = [head.event for head in heads(event for event in told if isinstance(event.body, SLIDE_EVENTS)).values()]
    photos: dict[str, list[PhotoLength]] = defaultdict(list)
    for body in (event.body for event in standing):
        if isinstance(body, PhotoMeasured):
            photos[body.slide].append(PhotoLength(id=body.slot, **{name: getattr(body, name) for name in _OF_PHOTO}))
    found = [Slide(id=body.slide, **{name: getattr(body, name) for name in _OF_SLIDE},
                   **_source(body, event.made_at, named),
                   photos=tuple(sorted(photos[body.slide], key=lambda photo: photo.id)),
                   corrected=body.supersedes is not None)
             for event in standing if isinstance(body := event.body, SlideCounted)]
    return tuple(sorted(found, key=lambda slide: (slide.day, slide.id), reverse=True))


def _source(body: SlideCounted, made_at: str, named: Sequence[tuple[str, HeapStarted]]) -> Mapping[str, Any]:
    """What a slide is of; one of before names its heap by the name that it had then."""
    heap_id = body.source_id
    if body.source != "heap":
        return {"source_id": heap_id}
    if heap_id not in {heap.heap for _, heap in named}:
        then = [(at, heap.heap) for at, heap in named if heap.name == heap_id and at <= made_at]
        heap_id = max(then, default=("", heap_id))[1]
    names = [(at, heap.name) for at, heap in named if heap.heap == heap_id]
    return {"source_id": heap_id, "source_name": max(names, default=("", ""))[1]}
