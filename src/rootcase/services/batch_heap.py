"""The heap of a batch: whether its compost may be used."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rootcase.casework.make.heap import judged
from rootcase.fieldbook.events import Event
from rootcase.fieldbook.making.heap_log import heaps_of
from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.records.make.batch import HeapUse
from rootcase.records.make.heap import Heap, HeapJudged


def heap_use(events: Sequence[Event], heap_id: str) -> HeapUse:
    """What a batch asks of its heap, from all that the practice told; it raises where there is no such heap."""
    heap = next((each for each in heaps_of(events) if each.id == heap_id), None)
    if heap is None:
        raise Missing(say("batch.no_heap"), value=heap_id, right=say("batch.heap_first"))
    return use_of(heap, judged(heap))


def heap_uses(events: Sequence[Event]) -> Mapping[str, HeapUse]:
    """The same of every heap, by its id."""
    return {heap.id: use_of(heap, judged(heap)) for heap in heaps_of(events)}


def use_of(heap: Heap, found: HeapJudged) -> HeapUse:
    """The same of a heap that is judged already."""
    return HeapUse(name=say("batch.heap_named", name=heap.name), may_be_used=found.may_be_used,
                   why_not=found.why_not, time_zone=heap.time_zone,
                   held=heap.held.reason if heap.held else "", invented=heap.invented)
