"""What was told by mistake of a batch or a heap is taken back with a reason; it stays on record."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from rootcase.fieldbook.body import Body
from rootcase.fieldbook.events import Event
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.made.batches import BatchStepTakenBack
from rootcase.fieldbook.making.batch_log import batches_of
from rootcase.fieldbook.people.tokens import written
from rootcase.ground.errors import Missing
from rootcase.ground.ids import SIGNS
from rootcase.ground.length import MOST_LINE, require_length
from rootcase.ground.words import say
from rootcase.records.make.batch import TAKEN_BACK, Batch, Step, ToldStep
from rootcase.records.make.heap import Heap
from rootcase.services.make_batch import batch_named

_OF_THE_VERDICT: tuple[Step, ...] = ("oxygen", "lab")
"""Steps that a verdict or a call back rests on."""


def right_to_take_back(step: Step) -> Literal["free_heaps", "correct_readings"]:
    """Who answers for the work takes back what a verdict rests on; anything else, who may correct."""
    return "free_heaps" if step in _OF_THE_VERDICT else "correct_readings"


def take_step_back(book: Fieldbook, batch: Batch, told_id: str, reason: str, by: str) -> Batch:
    """Take back what was told of a step, at any time; no verdict, no call back and no hold moves by it."""
    why = reason.strip()
    require_length(why, MOST_LINE, say("heap.page.why"))
    if not why:
        raise Missing(say("batch.gate.no_slip_reason"), where=say("batch.named", number=batch.number))

    def bodies(before: Sequence[Event]) -> Sequence[Body]:
        slot = next((event.body.slot for event in before if event.id == told_id), "")
        return [BatchStepTakenBack(slot=slot, supersedes=told_id, batch=batch.id, at=written(book.making.now()), by=by,
                                   reason=why)]

    book.making.tell(bodies)
    return next(each for each in batches_of(book.making.events()) if each.id == batch.id)


def told_step(batch: Batch, named: str) -> ToldStep:
    """What was told last of the step of this name, or what is told under this id or the end of it."""
    standing = [each for each in batch.steps if each.step in TAKEN_BACK]
    found = [each for each in standing if each.step == named][-1:] or [each for each in standing if _is(each.id, named)]
    if len(found) != 1:
        raise Missing(say("batch.no_told"), where=say("batch.named", number=batch.number), value=named,
                      right=say("readings.or").join(TAKEN_BACK))
    return found[0]


def told_entry(heap: Heap, named: str) -> str:
    """Id of a heap's newest figure of this quantity, of its newest test with beans, or of the entry that has this id or
    the end of it."""
    newest = [each.id for each in heap.figures if each.quantity == named] or [
        each.id for each in heap.beans if named == "beans"]
    entries = (*heap.readings, *heap.logged, *heap.turns, *heap.checks, *heap.figures, *heap.beans)
    found = newest[-1:] or [each.id for each in entries if _is(each.id, named)]
    if len(found) != 1:
        raise Missing(say("heap.no_entry"), value=named, right=say("heap.right_entry"))
    return found[0]


def batch_of_step(book: Fieldbook, number: str, named: str) -> tuple[Batch, ToldStep]:
    """A batch by its number, and what was told of it."""
    batch = batch_named(book, number)
    return batch, told_step(batch, named)


def _is(told_id: str, named: str) -> bool:
    return told_id == named or (len(named) >= SIGNS and told_id.endswith(named))
