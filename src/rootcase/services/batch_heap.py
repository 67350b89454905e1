"""The heap of a batch: whether its compost may be used."""

from __future__ import annotations

from collections.abc import Sequence

from rootcase.fieldbook.events import Event
from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.records.make.batch import HeapUse


def heap_use(events: Sequence[Event], heap_id: str) -> HeapUse:
    """What a batch asks of its heap, from all that the practice told; it raises where there is no such heap."""
    raise Missing(say("batch.no_heap"), value=heap_id, right=say("batch.heap_first"))
