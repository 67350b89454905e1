"""What is known late, told anew or taken back of a batch: bad news stands, and nothing that was read is lost."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from rootcase.casework.make.additive import additive_of
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.made.batches import BatchRulesTold, BatchStepTold
from rootcase.fieldbook.made.heaps import HeapFreed, HeapHeld, HeatTakenBack
from rootcase.fieldbook.making.batch_log import rules_of
from rootcase.fieldbook.people.tokens import written
from rootcase.ground.errors import RootcaseError
from rootcase.records.make.batch import LOWEST_FLOOR_MG_L, BatchRules
from rootcase.services import make_batch
from rootcase.services.make_batch import (
    batches,
    call_back,
    end_batch,
    fill_load,
    finding,
    judge_batch,
    note_ring,
    start_batch,
    tell_rules,
    tell_step,
)
from tests.fieldbook.making.batch_world import STEPS, Yard, fit, load, made, tell, usable_heap
from tests.fieldbook.sheets import event


@pytest.fixture(autouse=True)
def heap_is_fit(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(make_batch, "heap_use", usable_heap)


def test_a_batch_whose_rest_was_poured_out_is_still_called_back_by_a_late_result(book: Fieldbook, yard: Yard) -> None:
    batch = fit(book, yard.clock)
    fill_load(book, batch.id, 300.0, "rs", air_gap_m=0.1)
    other = fit(book, yard.clock)
    yard.clock.on(51)
    for each in (batch, other):
        end_batch(book, each.id, "poured_out", "gravel", "rs")
    late = tell_step(book, batch.id, "lab", {"e_coli_per_100_ml": 2400.0}, {}, "rs")
    assert late.refused_since == "E. coli 2,400 per 100 mL; limit 126"
    assert note_ring(book, batch.id, "p1", "rs").rung
    assert call_back(book, other.id, "wrong heap", "rs").refused_since == "wrong heap"


def test_a_start_told_anew_wipes_no_reading_out(book: Fieldbook, yard: Yard) -> None:
    batch = made(book, yard.clock, until="start")
    first = yard.clock.at
    for mg_l in (4.1, 8.4):
        yard.clock.on(5)
        batch = tell_step(book, batch.id, "oxygen", {"oxygen_mg_l": mg_l, "temperature_c": 18.0}, {"air": "on"}, "rs")
    with pytest.raises(RootcaseError, match=r"did not start after oxygen .* 08:35 UTC or before"):
        tell_step(book, batch.id, "start", {}, {}, "rs", at=first + timedelta(minutes=7))
    later = BatchStepTold(slot="s", batch=batch.id, step="start", at=written(first + timedelta(minutes=4)), by="rs")
    tell(book, later)
    yard.clock.on(5)
    tell_step(book, batch.id, "end", {"volume_l": 900.0}, {}, "rs")
    with pytest.raises(RootcaseError, match="did not start after oxygen"):
        tell(book, replace(later, slot="t", at=written(yard.clock.at)))
    judged = judge_batch(book, batch.id, "rs").judgement
    assert judged is not None
    assert judged.why[0].startswith("Oxygen 4.1 mg/L")


def test_bad_news_that_was_told_once_stands(book: Fieldbook, yard: Yard) -> None:
    batch = made(book, yard.clock)
    for smell in ("sour", "earthy"):
        tell_step(book, batch.id, "smell", {}, {"smell": smell}, "rs")
    for additive in ("molasses", "none"):
        tell_step(book, batch.id, "additive", {}, {"additive": additive}, "rs")
    judged = judge_batch(book, batch.id, "rs").judgement
    assert judged is not None
    assert [line.split(":")[0].split(".")[0] for line in judged.why] == ["Additive molasses", "Smell sour"]
    slip = made(book, yard.clock, until="compost")
    for additive in ("molasses", "none"):
        tell_step(book, slip.id, "additive", {}, {"additive": additive}, "rs")
    tell_step(book, slip.id, "start", {}, {}, "rs")
    assert additive_of(batches(book)[0]) == ""


def test_a_vat_that_was_cleaned_with_the_water_in_it_asks_for_other_water(book: Fieldbook, yard: Yard) -> None:
    batch = start_batch(book, "h4", "rs")
    tell_step(book, batch.id, "vat", {}, {"cleaned": "no"}, "rs")
    for step, figures, words in STEPS[1:4]:
        yard.clock.on(5)
        tell_step(book, batch.id, step, figures, words, "rs")
    tell_step(book, batch.id, "vat", {}, {"cleaned": "yes"}, "rs", at=batch.started_at)
    with pytest.raises(RootcaseError, match="cleaned after its water was let in"):
        tell_step(book, batch.id, "compost", {"mass_kg": 110.0}, {}, "rs")
    for step, figures, words in STEPS[1:5]:
        yard.clock.on(5)
        tell_step(book, batch.id, step, figures, words, "rs")
    assert batches(book)[0].newest("compost") is not None


def test_a_low_figure_of_a_tank_is_kept_and_calls_the_batch_back(book: Fieldbook, yard: Yard) -> None:
    batch = fit(book, yard.clock)
    for air_gap_m in (None, 0.1):
        with pytest.raises(RootcaseError, match=r"Oxygen 5\.2 mg/L; floor 6\.0.* the batch is called back|called back"):
            fill_load(book, batch.id, 300.0, "rs", air_gap_m=air_gap_m, oxygen_mg_l=5.2)
        with pytest.raises(RootcaseError, match="called back"):
            fill_load(book, batch.id, 300.0, "rs", air_gap_m=0.1)
    kept = batches(book)[0]
    assert (kept.refused_since, kept.told("oxygen")[-1].figure("oxygen_mg_l")) == ("Oxygen 5.2 mg/L; floor 6.0", 5.2)
    assert finding(book, batch.id).sums.share_of_saturation_pct is None  # nobody read how warm it is


def test_a_batch_is_judged_by_the_strictest_floor_since_it_was_started(book: Fieldbook, yard: Yard) -> None:
    tell_rules(book, BatchRules(oxygen_floor_mg_l=5.5), "rs")
    batch = made(book, yard.clock, instead={"oxygen": ({"oxygen_mg_l": 5.6, "temperature_c": 18.0}, {"air": "on"})})
    assert finding(book, batch.id).verdict == "fit"
    for floor in (6.0, 5.0):
        tell_rules(book, BatchRules(oxygen_floor_mg_l=floor), "rs")
    assert finding(book, batch.id).why[0].startswith("Oxygen 5.6 mg/L")
    judged = judge_batch(book, start_batch(book, "h4", "rs").id, "rs").judgement
    assert judged is not None
    assert any("5 mg/L or more" in line for line in judged.why)


def test_a_floor_that_came_past_the_gate_is_never_under_the_lowest() -> None:
    told = event("r", BatchRulesTold(slot="r", at="2016-05-03T08:00:00.000Z", by="rs", oxygen_floor_mg_l=0.0))
    assert rules_of([told]).oxygen_floor_mg_l == LOWEST_FLOOR_MG_L == 5.0


def test_a_clock_that_is_set_back_loads_nothing(book: Fieldbook, yard: Yard) -> None:
    batch = fit(book, yard.clock)
    yard.clock.on(61)
    start_batch(book, "h4", "rs")
    yard.clock.on(-30)
    for straight in (lambda: fill_load(book, batch.id, 300.0, "rs", air_gap_m=0.1),
                     lambda: tell(book, load(batch, yard.clock))):
        with pytest.raises(RootcaseError, match=r"clock stands before what was told .* 09:51 UTC or later"):
            straight()


def test_a_hold_and_its_end_are_not_taken_back(book: Fieldbook, yard: Yard) -> None:
    now = written(yard.clock.at)
    tell(book, HeapHeld(slot="hold", heap="h4", reason="hay", at=now, by="rs"),
         HeapFreed(slot="free", heap="h4", reason="known hay", at=now, by="rs"))
    for slot in ("hold", "free"):
        with pytest.raises(RootcaseError, match="a hold is not taken back"):
            tell(book, HeatTakenBack(slot=slot, heap="h4", reason="slip", by="rs"))
