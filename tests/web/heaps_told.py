"""An invented heap in a fieldbook, for tests that look at pages."""

from __future__ import annotations

from dataclasses import replace

from rootcase.fieldbook.body import Body
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.made.heaps import HeapMeasured, HeapStarted, HeapTurned, HeatRead, ProbeChecked
from rootcase.fieldbook.people.tokens import written
from rootcase.services.heap import heaps
from tests.casework.make.heaps import LOG_B, heap_of


def heap_ids(book: Fieldbook) -> dict[str, str]:
    """What stands in the addresses of a heap, which is told where it is not there."""
    heap = replace(heap_of(LOG_B, probes=(1, 2, 3)), id="heap-four")
    if heap.id not in {each.id for each in heaps(book)}:
        at = written(heap.complete_at)
        told: list[Body] = [HeapStarted(slot=heap.id, heap=heap.id, name=heap.name, shape=heap.shape, rule=heap.rule,
                                        complete_at=at, time_zone=heap.time_zone, by="rs", invented=True)]
        told += [ProbeChecked(slot="check", heap=heap.id, probes=(1, 2, 3), at=at, by="rs")]
        told += [HeapTurned(slot=each.id, heap=heap.id, at=written(each.at), by="rs") for each in heap.turns]
        told += [HeatRead(slot=each.id, heap=heap.id, probe=each.probe, at=written(each.at), by="rs",
                          temperature_c=each.temperature_c + 1.5 * each.probe - 1.5) for each in heap.readings]
        told += [HeapMeasured(slot="lead", heap=heap.id, quantity="lead", value=41.0, unit="mg/kg dry",
                              method="total metal", lab="a laboratory", day=heap.turns[-1].at.date(), by="rs")]
        book.making.tell(lambda _: told)
    return {"heap_id": heap.id, "entry_id": heap.readings[0].id}
