"""How heaps stand: corrections, what was taken back, and what came in another order."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations

from rootcase.fieldbook.made.heaps import HeapFreed, HeatRead, HeatTakenBack
from rootcase.fieldbook.making.heap_log import heaps_of
from tests.fieldbook.made_examples import AT, HEAPS
from tests.fieldbook.sheets import event

READ = next(each for each in HEAPS if isinstance(each.body, HeatRead))


def test_every_kind_of_event_is_in_the_heap() -> None:
    heap, = heaps_of(HEAPS)
    assert (len(heap.logged), len(heap.turns), len(heap.checks), len(heap.figures), len(heap.beans)) == (1,) * 5
    assert heap.readings == ()
    assert [each.what for each in heap.taken_back] == ["heat_read"]
    assert [each.held for each in heap.holdings] == [True, False]
    assert heap.held is None


def test_a_correction_takes_the_place_and_one_taken_back_leaves() -> None:
    assert isinstance(READ.body, HeatRead)
    started = HEAPS[0]
    corrected = event("h20", replace(READ.body, supersedes=READ.id, temperature_c=61.0))
    told, = heaps_of([started, READ, corrected])
    assert [(each.temperature_c, each.corrected) for each in told.readings] == [(61.0, True)]
    back = event("h21", HeatTakenBack(slot="hr", supersedes="h20", heap="h4", reason="slip", by="rs"))
    assert heaps_of([started, READ, corrected, back])[0].readings == ()


def test_a_correction_beside_a_taking_back_stays_in_sight() -> None:
    assert isinstance(READ.body, HeatRead)
    corrected = event("h20", replace(READ.body, supersedes=READ.id, temperature_c=61.0))
    back = event("h21", HeatTakenBack(slot="hr", supersedes=READ.id, heap="h4", reason="slip", by="rs"))
    for order in permutations([HEAPS[0], READ, corrected, back]):
        heap, = heaps_of(order)
        assert [(each.temperature_c, each.rivals) for each in heap.readings] == [(61.0, 1)]


def test_what_holds_a_heap_is_what_was_said_last() -> None:
    held = [each for each in HEAPS if each.id in ("h1", "h8")]
    assert heaps_of(held)[0].held is not None
    earlier = event("h30", HeapFreed(slot="hz", heap="h4", reason="late news", at="2016-05-01T00:00:00.000Z", by="rs"))
    assert AT > "2016-05-01"
    assert heaps_of([*held, earlier])[0].held is None, "told last, whatever the clock said"
    assert heaps_of([held[0], earlier, held[1]])[0].held is not None


def test_what_came_before_its_heap_waits() -> None:
    assert heaps_of([READ]) == ()
