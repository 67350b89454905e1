"""The gate in our own code: each thing that may not be told of a batch is refused, in one line that says what may."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.made.batches import BatchJudged, BatchStarted, BatchStepTold
from rootcase.fieldbook.made.heaps import BeansReadOff, HeapFreed, HeapHeld, HeapStarted
from rootcase.fieldbook.people.tokens import written
from rootcase.ground.errors import RootcaseError
from rootcase.records.make.batch import Batch, BatchRules
from rootcase.services import make_batch
from rootcase.services.batch_heap import heap_use
from rootcase.services.make_batch import (
    batch_named,
    batches,
    call_back,
    end_batch,
    fill_load,
    judge_batch,
    note_ring,
    start_batch,
    tell_rules,
    tell_step,
)
from tests.fieldbook.making.batch_world import HEAP, STEPS, Clock, Yard, fit, load, made, tell, usable_heap
from tests.fieldbook.making.held_loads import wrong_loads
from tests.web.batches import yard as with_batches


@pytest.fixture(autouse=True)
def heap_is_fit(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(make_batch, "heap_use", usable_heap)


def test_a_fit_batch_is_loaded_within_its_hour_and_not_a_second_later(book: Fieldbook, yard: Yard) -> None:
    batch = fit(book, yard.clock)
    assert batch.judgement is not None
    assert batch.judgement.verdict == "fit"
    assert batch.judgement.why == ()
    assert batch.judgement.ended_at == batch.steps[-1].at
    assert batch.judgement.good_until == batch.steps[-1].at + timedelta(hours=1)
    yard.clock.on(50)  # ten minutes went by before the verdict
    assert fill_load(book, batch.id, 300.0, "rs", air_gap_m=0.1).volume_l == 300.0
    yard.clock.on(1 / 60)
    with pytest.raises(RootcaseError, match=r"no load may be filled from it at that time .*between 2016-05-03 08:40"):
        fill_load(book, batch.id, 300.0, "rs", air_gap_m=0.1)
    assert len(batches(book)[0].loads) == 1


class RunningClock(Clock):
    """One that goes on whenever somebody looks at it."""

    def __call__(self) -> datetime:
        self.on(1 / 60_000)
        return self.at


def test_a_clock_that_goes_on_meanwhile_is_no_clock_that_is_ahead(tmp_path: Path) -> None:
    yard = Yard(tmp_path / "book.sqlite", RunningClock())
    with yard.open() as book:
        batch = fit(book, yard.clock)
        fill_load(book, batch.id, 300.0, "rs", air_gap_m=0.1)
        assert len(call_back(book, batch.id, "wrong heap", "rs").loads) == 1


def test_without_an_air_gap_on_record_no_load_is_released(book: Fieldbook, yard: Yard) -> None:
    batch = fit(book, yard.clock)
    for gap in (None, 0.0, float("nan")):
        with pytest.raises(RootcaseError, match=r"Air gap not recorded\. Load is not released\."):
            fill_load(book, batch.id, 300.0, "rs", air_gap_m=gap)


def test_a_batch_that_is_not_judged_refused_or_called_back_gives_no_load(book: Fieldbook, yard: Yard) -> None:
    batch = made(book, yard.clock)
    with pytest.raises(RootcaseError, match="not judged"):
        tell(book, load(batch, yard.clock))
    sour = made(book, yard.clock)
    tell_step(book, sour.id, "smell", {}, {"smell": "sour"}, "rs")
    refused = judge_batch(book, sour.id, "rs")
    assert refused.judgement is not None
    assert refused.judgement.why == ("Smell sour. Started 01:40. Right: a new make in a clean vat.",)
    with pytest.raises(RootcaseError, match="batch 2: it is refused"):
        tell(book, load(sour, yard.clock))
    judged = judge_batch(book, batch.id, "rs")
    tell(book, load(judged, yard.clock))
    call_back(book, judged.id, "wrong heap", "rs")
    with pytest.raises(RootcaseError, match="called back"):
        tell(book, load(judged, yard.clock, "l2"))
    with pytest.raises(RootcaseError, match="no such batch"):
        tell(book, replace(load(judged, yard.clock, "l3"), batch="nowhere"))


def test_a_late_laboratory_result_over_the_limit_calls_the_batch_back_in_the_same_turn(book: Fieldbook,
                                                                                       yard: Yard) -> None:
    batch = fit(book, yard.clock)
    clean = tell_step(book, batch.id, "lab", {"e_coli_per_100_ml": 126.0}, {"lab": "county"}, "rs")
    assert clean.refused_since == ""
    assert clean.may_be_loaded
    dirty = tell_step(book, batch.id, "lab", {"e_coli_per_100_ml": 2400.0, "enterococci_per_100_ml": 10.0}, {}, "rs")
    assert dirty.refused_since == "E. coli 2,400 per 100 mL; limit 126"
    assert not dirty.may_be_loaded
    with pytest.raises(RootcaseError, match="called back"):
        fill_load(book, batch.id, 300.0, "rs", air_gap_m=0.1)
    note_ring(book, batch.id, "p1", "rs", "told the owner")
    assert batch_named(book, "1").rung[0].note == "told the owner"


def test_the_end_is_never_told_later_than_it_was_first_written_down(book: Fieldbook, yard: Yard) -> None:
    batch = made(book, yard.clock)
    first = yard.clock.at
    yard.clock.on(90)
    with pytest.raises(RootcaseError, match=r"no later than it was first written down.* 08:\d\d UTC or before"):
        tell_step(book, batch.id, "end", {"volume_l": 900.0}, {}, "rs")
    earlier = first - timedelta(minutes=2)
    assert tell_step(book, batch.id, "end", {"volume_l": 900.0}, {}, "rs", at=earlier).newest("end") is not None
    refused = judge_batch(book, batch.id, "rs").judgement
    assert refused is not None
    assert refused.verdict == "refused"


def test_a_heap_that_is_held_since_gives_no_load(book: Fieldbook, yard: Yard) -> None:
    heap = HeapStarted(slot="h4", heap="h4", name="4", shape="windrow", rule="cfr_503", by="rs", time_zone="UTC",
                       complete_at=written(yard.clock.at - timedelta(days=30)))
    tell(book, heap)
    batch = fit(book, yard.clock)
    now = written(yard.clock.at)
    tell(book, HeapHeld(slot="hold", heap="h4", reason="weedkiller", at=now, by="rs"))
    with pytest.raises(RootcaseError, match=r"its heap is held.* weedkiller"):
        fill_load(book, batch.id, 300.0, "rs", air_gap_m=0.1)
    tell(book, HeapFreed(slot="free", heap="h4", reason="beans grew straight", at=now, by="rs"))
    assert fill_load(book, batch.id, 300.0, "rs", air_gap_m=0.1).volume_l == 300.0


def test_a_number_is_given_once_and_a_verdict_too(book: Fieldbook, yard: Yard) -> None:
    batch = fit(book, yard.clock)
    with pytest.raises(RootcaseError, match=r"given once .*the next is 2"):
        tell(book, BatchStarted(slot="x", batch="x", number=1, heap="h4", at=written(yard.clock.at), by="rs"))
    with pytest.raises(RootcaseError, match="judged already: fit"):
        judge_batch(book, batch.id, "rs")
    with pytest.raises(RootcaseError, match="a new make takes a new number"):
        tell_step(book, batch.id, "end", {"volume_l": 900.0}, {}, "rs")
    with pytest.raises(RootcaseError, match=r"judged already: fit .*a new make takes a new number"):
        tell(book, BatchStepTold(slot="s", batch=batch.id, step="smell", at=written(yard.clock.at), by="rs"))
    assert start_batch(book, "h4", "rs").number == 2


def verdict(batch: Batch, clock: Clock, **otherwise: object) -> BatchJudged:
    end = batch.newest("end")
    assert end is not None
    return replace(BatchJudged(slot="j", batch=batch.id, verdict="fit", at=written(clock.at), by="rs",
                               ended_at=written(end.at), good_until=written(end.at + timedelta(hours=1))),
                   **otherwise)  # type: ignore[arg-type]


@pytest.mark.parametrize(("otherwise", "right"), [
    (lambda end: {"good_until": written(end + timedelta(hours=1, milliseconds=1))}, "may not be used for so long"),
    (lambda end: {"good_until": written(end + timedelta(hours=2)), "own_limit_h": 2.0}, "may not be used for so long"),
    (lambda end: {"good_until": written(end)}, "may not be used for so long"),
    (lambda end: {"ended_at": written(end + timedelta(minutes=5)), "good_until": written(end + timedelta(hours=1))},
     "not when its extraction ended"),
    (lambda end: {"why": ("sour",)}, "not when its extraction ended"),
    (lambda end: {"verdict": "refused"}, "refused with a reason"),
    (lambda end: {"at": written(end - timedelta(minutes=1))}, "after extraction ended"),
    (lambda end: {"at": "2016-05-03T09:00:00Z"}, "not written as such"),
    (lambda end: {"at": written(end + timedelta(days=1))}, "lies ahead"),
    (lambda end: {"by": "two words"}, "code"),
], ids=("a moment too long", "own limit nobody told", "no time at all", "another end", "fit with a reason",
        "refused without one", "before the end", "no moment", "ahead", "no code"))
def test_a_verdict_that_cannot_be_is_refused(book: Fieldbook, yard: Yard, right: str,
                                             otherwise: Callable[[object], dict[str, object]]) -> None:
    batch = made(book, yard.clock)
    end = batch.newest("end")
    assert end is not None
    with pytest.raises(RootcaseError, match=right):
        tell(book, verdict(batch, yard.clock, **otherwise(end.at)))
    assert batches(book)[0].judgement is None


def test_the_practices_own_longer_limit_is_a_verdicts_only_where_it_was_told(book: Fieldbook, yard: Yard) -> None:
    batch = made(book, yard.clock)
    end = batch.newest("end")
    assert end is not None
    longer = verdict(batch, yard.clock, good_until=written(end.at + timedelta(hours=2)), own_limit_h=2.0)
    with pytest.raises(RootcaseError, match="so long"):
        tell(book, longer)
    tell_rules(book, BatchRules(oxygen_floor_mg_l=6.0, holding_h=2.0), "rs")
    tell(book, longer)
    yard.clock.on(120)
    with pytest.raises(RootcaseError, match="rests on measured oxygen"):
        fill_load(book, batch.id, 300.0, "rs", air_gap_m=0.1)
    assert fill_load(book, batch.id, 300.0, "rs", air_gap_m=0.1, oxygen_mg_l=6.0).batch_id == batch.id


def test_loads_are_told_once_with_a_volume(book: Fieldbook, yard: Yard) -> None:
    batch = fit(book, yard.clock)
    tell(book, load(batch, yard.clock))
    with pytest.raises(RootcaseError, match="on record already"):
        tell(book, load(batch, yard.clock))
    with pytest.raises(RootcaseError, match="more than 0 L"):
        tell(book, replace(load(batch, yard.clock, "l2"), volume_l=0.0))
    with pytest.raises(RootcaseError, match="lies ahead"):
        tell(book, load(batch, yard.clock, "l2", minutes=1))


def test_what_became_of_it_is_told_of_a_refused_batch_with_its_place_and_once(book: Fieldbook, yard: Yard) -> None:
    good = fit(book, yard.clock)
    with pytest.raises(RootcaseError, match="may still be loaded"):
        end_batch(book, good.id, "poured_out", "gravel by the yard", "rs")
    with pytest.raises(RootcaseError, match="nobody to ring"):
        note_ring(book, good.id, "p1", "rs")
    bad = judge_batch(book, start_batch(book, "h4", "rs").id, "rs")
    with pytest.raises(RootcaseError, match="tell where it went"):
        end_batch(book, bad.id, "compost_water", " ", "rs")
    ended = end_batch(book, bad.id, "compost_water", "own bed behind the yard", "rs")
    assert (ended.ended_as, ended.ended_where) == ("compost_water", "own bed behind the yard")
    with pytest.raises(RootcaseError, match="on record already"):
        end_batch(book, bad.id, "poured_out", "drain", "rs")


def test_the_rest_of_a_batch_over_its_age_or_called_back_is_poured_out_and_never_loaded(book: Fieldbook,
                                                                                         yard: Yard) -> None:
    back = fit(book, yard.clock)
    call_back(book, back.id, "wrong heap", "rs")
    assert end_batch(book, back.id, "poured_out", "gravel", "rs").ended_as == "poured_out"
    old = fit(book, yard.clock)
    yard.clock.on(51)
    assert end_batch(book, old.id, "compost_water", "own bed", "rs").ended_as == "compost_water"
    yard.clock.on(-10)
    with pytest.raises(RootcaseError, match="what became of it is on record already"):
        fill_load(book, old.id, 300.0, "rs", air_gap_m=0.1)


def test_oxygen_below_the_floor_after_the_verdict_calls_the_batch_back_in_the_same_turn(book: Fieldbook,
                                                                                        yard: Yard) -> None:
    batch = fit(book, yard.clock)
    tell_step(book, batch.id, "oxygen", {"oxygen_mg_l": 6.0, "temperature_c": 18.0}, {"air": "off"}, "rs")
    assert fill_load(book, batch.id, 300.0, "rs", air_gap_m=0.1)
    low = tell_step(book, batch.id, "oxygen", {"oxygen_mg_l": 5.2, "temperature_c": 18.0}, {"air": "off"}, "rs")
    assert low.refused_since == "Oxygen 5.2 mg/L; floor 6.0"
    with pytest.raises(RootcaseError, match="called back"):
        fill_load(book, batch.id, 300.0, "rs", air_gap_m=0.1)


def test_a_tank_with_oxygen_below_the_practices_floor_is_not_loaded(book: Fieldbook, yard: Yard) -> None:
    tell_rules(book, BatchRules(oxygen_floor_mg_l=7.0), "rs")
    batch = fit(book, yard.clock)
    for straight in (lambda: tell(book, replace(load(batch, yard.clock), oxygen_mg_l=6.9)),
                     lambda: fill_load(book, batch.id, 300.0, "rs", air_gap_m=0.1, oxygen_mg_l=float("nan"))):
        with pytest.raises(RootcaseError, match=r"oxygen in the tank is below the floor.*7 mg/L or more"):
            straight()
    assert fill_load(book, batch.id, 300.0, "rs", air_gap_m=0.1, oxygen_mg_l=7.0).oxygen_mg_l == 7.0


def test_a_heap_that_may_no_longer_be_used_gives_no_load(book: Fieldbook, yard: Yard,
                                                         monkeypatch: pytest.MonkeyPatch) -> None:
    batch = fit(book, yard.clock)
    twisted = replace(HEAP, may_be_used=False, why_not=("beans twisted",))
    monkeypatch.setattr(make_batch, "heap_use", lambda events, heap: twisted)
    with pytest.raises(RootcaseError, match=r"heap 4 may not be used.* beans twisted"):
        fill_load(book, batch.id, 300.0, "rs", air_gap_m=0.1)


def test_a_hold_told_by_a_clock_that_is_set_back_holds(book: Fieldbook, yard: Yard) -> None:
    def said(minutes: float) -> str:
        return written(yard.clock.at + timedelta(minutes=minutes))

    tell(book, HeapStarted(slot="h4", heap="h4", name="4", shape="windrow", rule="cfr_503", by="rs", time_zone="UTC",
                           complete_at=said(-9000)))
    tell(book, HeapHeld(slot="hold", heap="h4", reason="hay", at=said(0), by="rs"),
         HeapFreed(slot="free", heap="h4", reason="hay known", at=said(1), by="rs"))
    batch = fit(book, yard.clock)
    tell(book, HeapHeld(slot="again", heap="h4", reason="weedkiller", at=said(-600), by="rs"))
    for straight in (lambda: fill_load(book, batch.id, 300.0, "rs", air_gap_m=0.1),
                     lambda: tell(book, load(batch, yard.clock))):
        with pytest.raises(RootcaseError, match=r"its heap is held.* weedkiller"):
            straight()


def test_a_load_is_told_as_it_is_filled(book: Fieldbook, yard: Yard) -> None:
    batch = fit(book, yard.clock)
    yard.clock.on(60)  # over its age
    with pytest.raises(RootcaseError, match="as it is filled, not afterwards"):
        tell(book, load(batch, yard.clock, minutes=-30))
    other = fit(book, yard.clock)
    yard.clock.on(2)
    with pytest.raises(RootcaseError, match="as it is filled, not afterwards"):
        tell(book, load(other, yard.clock, minutes=-1.1))
    tell(book, load(other, yard.clock, minutes=-0.9))


def test_a_gap_under_an_inch_and_a_tank_that_nobody_has_are_refused(book: Fieldbook, yard: Yard) -> None:
    batch = fit(book, yard.clock)
    with pytest.raises(RootcaseError, match=r"too small.* 0\.79 in \(2 cm\).* 1 in \(2\.5 cm\) or more"):
        fill_load(book, batch.id, 300.0, "rs", air_gap_m=0.02)
    for volume_l in (100_001.0, float("inf")):
        with pytest.raises(RootcaseError, match="at most 100,000 L"):
            fill_load(book, batch.id, volume_l, "rs", air_gap_m=0.0254)


def test_water_is_not_told_anew_once_compost_is_in_it(book: Fieldbook, yard: Yard) -> None:
    batch = made(book, yard.clock, until="neutraliser")
    yard.clock.on(1)
    tell_step(book, batch.id, "water", {"volume_l": 900.0}, {"origin": "mains"}, "rs")
    with pytest.raises(RootcaseError, match="Total chlorine was not tested"):
        tell_step(book, batch.id, "compost", {"mass_kg": 110.0}, {}, "rs")
    other = made(book, yard.clock, until="compost")
    with pytest.raises(RootcaseError, match="not told anew once compost is in it"):
        tell_step(book, other.id, "water", {"volume_l": 900.0}, {"origin": "mains"}, "rs")


def test_test_batches_of_an_additive_are_made_and_never_loaded_until_two_are_clean(book: Fieldbook,
                                                                                   yard: Yard) -> None:
    def with_molasses() -> Batch:
        batch = made(book, yard.clock, until="compost")
        tell_step(book, batch.id, "additive", {"mass_kg": 1.0}, {"additive": "molasses"}, "rs")
        for step, figures, words in STEPS[STEPS.index(next(each for each in STEPS if each[0] == "start")):]:
            tell_step(book, batch.id, step, figures, words, "rs")
        return judge_batch(book, batch.id, "rs")

    for found in (0, 1):
        batch = with_molasses()
        assert batch.judgement is not None
        assert batch.judgement.verdict == "refused"
        assert [line for line in batch.judgement.why if f"{found} of 2 laboratory tests" in line] == [
            *batch.judgement.why]
        assert "This is a test batch" in batch.judgement.why[0]
        for count in (12.0, 20.0):
            tell_step(book, batch.id, "lab", {"e_coli_per_100_ml": count}, {}, "rs")
        with pytest.raises(RootcaseError, match="it is refused"):
            fill_load(book, batch.id, 300.0, "rs", air_gap_m=0.1)
    third = with_molasses().judgement
    assert third is not None
    assert third.verdict == "fit"


def test_what_is_told_at_once_is_kept_at_once_or_not_at_all(book: Fieldbook, yard: Yard) -> None:
    batch = fit(book, yard.clock)
    with pytest.raises(RootcaseError, match="on record already"):
        tell(book, load(batch, yard.clock), load(batch, yard.clock))
    assert batches(book)[0].loads == ()


@pytest.mark.parametrize(("rules", "wrong"), [
    (BatchRules(oxygen_floor_mg_l=-1.0), "a practice cannot set this (got -1 mg/L)"),
    (BatchRules(oxygen_floor_mg_l=4.9), "5 – 20 mg/L"),
    (BatchRules(oxygen_floor_mg_l=20.1), "5 – 20 mg/L"), (BatchRules(oxygen_floor_mg_l=float("nan")), "5 – 20 mg/L"),
    (BatchRules(oxygen_floor_mg_l=6.0, holding_h=0.05), "0.1 – 24 h"),
    (BatchRules(oxygen_floor_mg_l=6.0, holding_h=25.0), "0.1 – 24 h"),
    (BatchRules(oxygen_floor_mg_l=6.0, elevation_m=-401.0), "-400 – 6000 m"),
    (BatchRules(oxygen_floor_mg_l=6.0, elevation_m=6001.0), "-400 – 6000 m")])
def test_a_practice_sets_no_limit_that_no_batch_could_be_judged_by(book: Fieldbook, rules: BatchRules,
                                                                   wrong: str) -> None:
    with pytest.raises(RootcaseError, match=re.escape(wrong)):
        tell_rules(book, rules, "rs")


def test_a_heap_that_is_judged_in_earnest_gives_a_load_until_its_beans_twist(tmp_path: Path,
                                                                             monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the stand-in for the heap's own verdict."""
    monkeypatch.setattr(make_batch, "heap_use", heap_use)
    now = datetime(2016, 1, 15, 12, tzinfo=UTC)
    with_batches(tmp_path / "book.sqlite", now)
    with Yard(tmp_path / "book.sqlite", Clock(now)).open() as book:
        batch = batches(book)[0]
        assert fill_load(book, batch.id, 100.0, "rs", air_gap_m=0.15).batch_id == batch.id
        twisted = BeansReadOff(slot="beans", heap=batch.heap_id, day=now.date(), seeds_a_pot=4, by="rs", twisted=9,
                               height_mm=(90.0,) * 12, control_mm=(98.0,) * 12, control_twisted=0)
        book.making.tell(lambda _: [twisted])
        with pytest.raises(RootcaseError, match="heap 6 may not be used"):
            fill_load(book, batch.id, 100.0, "rs", air_gap_m=0.15)
        with pytest.raises(RootcaseError, match="heap 6 may not be used"):
            start_batch(book, batch.heap_id, "rs")
    assert wrong_loads(tmp_path / "book.sqlite") == []
