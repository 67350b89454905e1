"""A yard of its own in a fieldbook: a heap that met its rule, one that did not, and batches of each state."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from pathlib import Path

from rootcase.fieldbook.body import Body
from rootcase.fieldbook.events import Event, TreeOpened
from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.fieldbook.made.heaps import BeansReadOff, HeapStarted, HeapTurned, HeatRead, ProbeChecked
from rootcase.fieldbook.people.tokens import written
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.records.make.batch import Batch, Step
from rootcase.services.heap import heap_named
from rootcase.services.make_batch import fill_load, judge_batch, start_batch, tell_step
from tests.casework.make.heaps import LOG_A, TURN_DAYS
from tests.fieldbook.making.batch_world import STEPS
from tests.fieldbook.sheets import FACTS, event

Told = tuple[dict[str, float], dict[str, str]]
DAY, ZONE = timedelta(days=1), "America/Los_Angeles"
OPEN, REFUSED, BACK, FIT = "1", "2", "3", "4"
"""The numbers that batches take here, in a fieldbook without others."""


@dataclass
class Clock:
    """Says the moment that it was set to."""

    at: datetime

    def __call__(self) -> datetime:
        return self.at

    def on(self, minutes: float) -> None:
        self.at += timedelta(minutes=minutes)


def yard(path: Path, now: datetime) -> dict[str, str]:
    """Fill a fieldbook; returns what stands in addresses. The fit batch is ten minutes old at `now`."""
    clock = Clock(now - timedelta(hours=4))
    with open_fieldbook(path, now=clock) as book:
        book.making.tell(lambda _: heap_told("h4", "6", clock.at - 25 * DAY, LOG_A))
        book.making.tell(lambda _: heap_told("h5", "7", clock.at - 25 * DAY, dict(list(LOG_A.items())[:9])))
        begun = made(book, clock, until="chlorine")
        refused = made(book, clock, {"oxygen": ({"oxygen_mg_l": 4.1, "temperature_c": 20.0}, {"air": "on"})})
        tell_step(book, refused.id, "smell", {}, {"smell": "sour"}, "rs")
        judge_batch(book, refused.id, "rs")
        back = went_out(book, clock)
        clock.at = now - timedelta(minutes=5 * len(STEPS) + 10)
        fit = made(book, clock)
        clock.on(3)
        judge_batch(book, fit.id, "rs")
        fill_load(book, fit.id, 1135.6, "rs", air_gap_m=0.15, oxygen_mg_l=8.2, tank="truck 1")
    return {"batch_id": str(begun.number), "refused_id": str(refused.number), "fit_id": str(fit.number),
            "back_id": str(back.number)}


def went_out(book: Fieldbook, clock: Clock) -> Batch:
    """A fit batch that went to a tree, and whose laboratory result came late."""
    batch = made(book, clock)
    judge_batch(book, batch.id, "rs")
    load = fill_load(book, batch.id, 1135.6, "rs", air_gap_m=0.15, tank="truck 1")
    with book.store.writing() as turn:
        if not book.properties():
            turn.add([_event("p1", replace(FACTS, slot="facts", name="Alder Bank"), clock),
                      _event("p1", TreeOpened(slot="tree", tree="t1", label="oak 1", place="lawn"), clock)])
    ground = book.properties()[0]
    tree = book.record(ground.id).trees[0]
    put = PutOnLogged(slot="put", tree=tree.id, remedy="extract", day=clock.at.date(), by="rs", amount="55 gal",
                      load=load.id)
    with book.store.writing() as turn:
        turn.add([_event(ground.id, put, clock)])
    tell_step(book, batch.id, "lab", {"e_coli_per_100_ml": 2400.0}, {"lab": "a laboratory"}, "rs")
    return batch


def twist_beans(book: Fieldbook, name: str, now: datetime) -> None:
    """Beans twist in a heap and not beside it."""
    heap = heap_named(book, name).id
    book.making.tell(lambda _: [BeansReadOff(
        slot=f"{heap} beans", heap=heap, day=now.date(), seeds_a_pot=1, height_mm=(40.0, 42.0, 41.0, 39.0, 40.0),
        control_mm=(80.0, 82.0, 81.0, 79.0, 80.0), twisted=4, control_twisted=0, by="rs")])


def _event(property_id: str, body: Body, clock: Clock) -> Event:
    return replace(event(f"yard-{body.slot}", body, written(clock.at)), property_id=property_id)


def made(book: Fieldbook, clock: Clock, instead: Mapping[Step, Told] | None = None, until: Step = "end") -> Batch:
    """A batch with its steps told five minutes apart, up to and with one of them; `instead` tells some otherwise."""
    batch = start_batch(book, "h4", "rs")
    for step, figures, words in STEPS:
        clock.on(5)
        figures, words = (instead or {}).get(step, (figures, words))
        batch = tell_step(book, batch.id, step, figures, words, "rs")
        if step == until:
            break
    return batch


def heap_told(heap: str, name: str, start: datetime, log: Mapping[int, int]) -> list[Body]:
    """A windrow whose two probes read this, once a day, and its turns."""
    def at(day: int) -> str:
        return written(start + day * DAY)

    return [
        HeapStarted(slot=heap, heap=heap, name=name, shape="windrow", rule="cfr_503", complete_at=at(0), by="rs",
                    time_zone=ZONE, invented=True, parts=()),
        ProbeChecked(slot=f"{heap} c", heap=heap, probes=(1, 2), at=at(0), by="rs"),
        *(HeatRead(slot=f"{heap} {probe} {day}", heap=heap, probe=probe, at=at(day), by="rs", temperature_c=float(warm))
          for day, warm in log.items() for probe in (1, 2)),
        *(HeapTurned(slot=f"{heap} t{day}", heap=heap, at=at(day), by="rs") for day in TURN_DAYS)]
