"""The slow checker of what a file holds sees each thing that is wrong, put in with the gate taken off."""

from __future__ import annotations

from contextlib import closing
from dataclasses import replace
from datetime import timedelta

import pytest

from rootcase.fieldbook.body import Body
from rootcase.fieldbook.events import body_text
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.made.batches import BatchEnded, BatchRulesTold, LoadFilled
from rootcase.fieldbook.made.heaps import HeapFreed, HeapHeld, HeatTakenBack
from rootcase.fieldbook.people.tokens import written
from rootcase.fieldbook.store.engine import sqlite_driver
from rootcase.fieldbook.store.gate import TRIGGERS
from rootcase.services import make_batch
from rootcase.services.make_batch import call_back
from tests.fieldbook.making.batch_world import Yard, fit, usable_heap
from tests.fieldbook.making.held_loads import wrong_loads


@pytest.fixture(autouse=True)
def heap_is_fit(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(make_batch, "heap_use", usable_heap)


def test_the_checker_sees_each_thing_that_is_wrong(book: Fieldbook, yard: Yard) -> None:
    """What is put in with the gate taken off is seen."""
    batch = fit(book, yard.clock)
    end = batch.newest("end")
    assert end is not None
    call_back(book, batch.id, "late", "rs")
    with closing(sqlite_driver().connect(str(yard.path), isolation_level=None)) as file:
        for trigger in TRIGGERS:
            file.execute(f"DROP TRIGGER {trigger}")
        body = LoadFilled(slot="l", load="l", batch=batch.id, at=written(end.at + timedelta(minutes=61)), by="rs",
                          volume_l=1.0)
        file.execute("INSERT INTO events SELECT 'own', 'l', '', 'load_filled', ?, '', ?, '', max(received) + 1 "
                     "FROM events", (body.at, body_text(body)))
    assert wrong_loads(yard.path) == ["l: called back before", "l: over its age"]


def test_the_checker_sees_what_is_gone_dated_back_and_without_a_volume(book: Fieldbook, yard: Yard) -> None:
    batch = fit(book, yard.clock)
    now = written(yard.clock.at)
    load = LoadFilled(slot="l0", load="l0", batch=batch.id, at=now, by="rs", volume_l=1.0, oxygen_mg_l=5.5)
    told: list[tuple[Body, str]] = [
        (BatchRulesTold(slot="r", at=now, by="rs", oxygen_floor_mg_l=5.0), now), (load, now),
        (replace(load, slot="l1", load="l1", volume_l=0.0, oxygen_mg_l=None), now),
        (replace(load, slot="l2", load="l2", oxygen_mg_l=None), written(yard.clock.at + timedelta(hours=5))),
        (BatchEnded(slot="g", batch=batch.id, how="poured_out", where="gravel", at=now, by="rs"), now),
        (replace(load, slot="l3", load="l3", oxygen_mg_l=None), now)]
    with closing(sqlite_driver().connect(str(yard.path), isolation_level=None)) as file:
        for trigger in TRIGGERS:
            file.execute(f"DROP TRIGGER {trigger}")
        for body, made in told:
            file.execute("INSERT INTO events SELECT 'own', ?, '', ?, ?, '', ?, '', max(received) + 1 FROM events",
                         (body.slot, body.KIND, made, body_text(body)))
    assert wrong_loads(yard.path) == ["l0: too little oxygen", "l1: no volume",
                                          "l2: written down at another time", "l3: gone before"]


def test_the_checker_sees_a_hold_and_too_little_oxygen(book: Fieldbook, yard: Yard) -> None:
    batch = fit(book, yard.clock)
    now = written(yard.clock.at)
    holds = [HeapHeld(slot="h", heap="h4", reason="hay", at=now, by="rs"),
             HeapFreed(slot="f", heap="h4", reason="known hay", at="2016-05-02T00:00:00.000Z", by="rs"),
             HeapHeld(slot="g", heap="h4", reason="hay", at=now, by="rs"),
             HeatTakenBack(slot="g", heap="h4", reason="slip", by="rs")]
    with closing(sqlite_driver().connect(str(yard.path), isolation_level=None)) as file:
        for trigger in TRIGGERS:
            file.execute(f"DROP TRIGGER {trigger}")
        for place, hold in enumerate(holds):
            load = LoadFilled(slot=f"l{place}", load=f"l{place}", batch=batch.id, at=now, by="rs", volume_l=1.0,
                              oxygen_mg_l=5.9 if place == 3 else 6.0)
            for body in (hold, load):
                file.execute("INSERT INTO events SELECT 'own', ?, '', ?, ?, '', ?, '', max(received) + 1 "
                             "FROM events", (body.slot if body is load else f"{place}", body.KIND, now,
                                             body_text(body)))
    assert wrong_loads(yard.path) == ["l0: its heap was held", "l2: its heap was held",
                                          "l3: its heap was held", "l3: too little oxygen"]
