"""A batch as its page and its sheet show it, and the heaps that one may be made of."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from rootcase.casework.make.additive import tests_on_file
from rootcase.casework.make.batch import against_by_step, judge
from rootcase.casework.make.checklist import checklist, neutraliser_doses
from rootcase.casework.make.step_doubts import step_doubts
from rootcase.casework.make.water_tests import water_tests
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.making.batch_log import batches_of, rules_of
from rootcase.fieldbook.making.heap_log import heaps_of
from rootcase.records.make.batch import HeapUse
from rootcase.records.make.checklist import BatchSeen
from rootcase.services import batch_heap
from rootcase.services.make_batch import named_among


@dataclass(frozen=True, slots=True)
class HeapChoice:
    """A heap that a batch could be made of, or why not."""

    id: str
    use: HeapUse


def heap_choices(book: Fieldbook) -> tuple[HeapChoice, ...]:
    """Every heap, those that may be used first."""
    events = book.making.events()
    found = [HeapChoice(heap.id, batch_heap.heap_use(events, heap.id)) for heap in heaps_of(events)]
    return tuple(sorted(found, key=lambda each: (not each.use.may_be_used, each.use.name)))


def batch_seen(book: Fieldbook, named: str, at: datetime | None = None) -> BatchSeen:
    """A batch by its number or id, with what it would be judged at a moment and where each step stands."""
    events = book.making.events()
    every = batches_of(events)
    batch = named_among(every, named)
    heap = batch_heap.heap_use(events, batch.heap_id)
    tests, rules = tests_on_file(every), rules_of(events, batch.id)
    finding = judge(batch, heap, rules, tests, at or book.making.now(), ZoneInfo(heap.time_zone))
    against = against_by_step(batch, heap, tests)
    water = batch.newest("water")
    total = next((tested.figure("total_chlorine_mg_l") for tested in water_tests(batch)
                  if tested.step == "chlorine" and tested.words.get("strip") == "total"), None)
    return BatchSeen(
        batch=batch, heap=heap, rules=rules, finding=finding, against_heap=against["heap"],
        steps=checklist(batch, against, read_again=bool(finding.read_again)),
        doubts=step_doubts(batch, rules, finding.sums.neutraliser_needed_g),
        doses=neutraliser_doses(water.figure("volume_l") if water else None, total))
