"""A practice that makes batches: a clock that is set by hand, a heap that may be used, steps that make a fit batch."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random

from rootcase.fieldbook.body import Body
from rootcase.fieldbook.events import Event
from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.fieldbook.made.batches import BatchStarted, BatchStepTold, LoadFilled
from rootcase.fieldbook.making.batch_log import batches_of
from rootcase.fieldbook.people.tokens import written
from rootcase.records.make.batch import Batch, Figure, HeapUse, Step
from rootcase.services.make_batch import judge_batch, start_batch, tell_step

START = datetime(2016, 5, 3, 8, tzinfo=UTC)
HEAP = HeapUse(name="heap 4", may_be_used=True, why_not=(), time_zone="America/Los_Angeles")
STEPS: Sequence[tuple[Step, dict[str, float], dict[str, str]]] = (
    ("vat", {}, {"cleaned": "yes"}),
    ("water", {"volume_l": 1135.0}, {"origin": "mains"}),
    ("chlorine", {"total_chlorine_mg_l": 0.5}, {"strip": "total"}),
    ("neutraliser", {"mass_g": 1.4, "total_chlorine_mg_l": 0.0},
     {"chemical": "ascorbic_acid", "rule": "field_guide", "strip": "total"}),
    ("compost", {"mass_kg": 110.0}, {}),
    ("start", {}, {}),
    ("oxygen", {"oxygen_mg_l": 8.4, "temperature_c": 18.0}, {"air": "on"}),
    ("end", {"volume_l": 1100.0}, {"screen": "400 µm bag"}),
)


@dataclass
class Clock:
    """Says the moment that it was set to."""

    at: datetime = START

    def __call__(self) -> datetime:
        return self.at

    def on(self, minutes: float) -> None:
        self.at += timedelta(minutes=minutes)


@dataclass
class Yard:
    """A fieldbook with its clock; ids follow from a seed."""

    path: Path
    clock: Clock = field(default_factory=Clock)
    seed: int = 0

    def open(self, device: str = "desk") -> Fieldbook:
        self.seed += 1
        return open_fieldbook(self.path, now=self.clock, random_bytes=Random(self.seed).randbytes, device=device)


def usable_heap(events: Sequence[Event], heap_id: str) -> HeapUse:
    """In the place of the real question, where a test is not about heaps."""
    return HEAP


def made(book: Fieldbook, clock: Clock, *, until: Step = "end",
         instead: dict[Step, tuple[dict[str, float], dict[str, str]]] | None = None) -> Batch:
    """A batch with its steps told five minutes apart, up to and with one of them; `instead` tells some otherwise."""
    batch = start_batch(book, "h4", "rs")
    for step, figures, words in STEPS:
        clock.on(5)
        figures, words = (instead or {}).get(step, (figures, words))
        batch = tell_step(book, batch.id, step, figures, words, "rs")
        if step == until:
            break
    return batch


def made_at_once(book: Fieldbook, clock: Clock, oxygen_mg_l: float, smell: str) -> str:
    """The same in one turn, which takes a tenth of the time, and its id."""
    batch, start = book.making.new_id(), clock.at
    clock.on(5 * (len(STEPS) + 1))

    def bodies(before: Sequence[Event]) -> Sequence[Body]:
        number = max((each.number for each in batches_of(before)), default=0) + 1
        told = [*STEPS, *([("smell", {}, {"smell": smell})] if smell else [])]
        return [BatchStarted(slot=batch, batch=batch, number=number, heap="h4", at=written(start), by="rs"),
                *(BatchStepTold(slot=f"{batch} {step}", batch=batch, step=step, by="rs", words=words,  # type: ignore[arg-type]
                                at=written(start + timedelta(minutes=5 * place)),
                                figures=tuple(Figure(name, oxygen_mg_l if name == "oxygen_mg_l" else value)
                                              for name, value in figures.items()))
                  for place, (step, figures, words) in enumerate(told, 1))]

    book.making.tell(bodies)
    return batch


def fit(book: Fieldbook, clock: Clock) -> Batch:
    """A batch that was judged fit ten minutes after its extraction ended."""
    batch = made(book, clock)
    clock.on(10)
    return judge_batch(book, batch.id, "rs")


def tell(book: Fieldbook, *bodies: Body) -> None:
    book.making.tell(lambda _: bodies)


def load(batch: Batch, clock: Clock, load: str = "l1", minutes: float = 0.0) -> LoadFilled:
    return LoadFilled(slot=load, load=load, batch=batch.id, at=written(clock.at + timedelta(minutes=minutes)), by="rs",
                      volume_l=300.0, air_gap_m=0.1)
