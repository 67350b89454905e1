"""What was told of a batch by mistake is taken back with a reason, and no verdict, call back or hold moves by it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.made.batches import BatchStepTakenBack
from rootcase.fieldbook.people.tokens import written
from rootcase.ground.errors import RootcaseError
from rootcase.records.make.batch import Batch
from rootcase.services import make_batch
from rootcase.services.make_batch import batch_named, finding, judge_batch, tell_step
from rootcase.services.taken_back import take_step_back, told_step
from tests.fieldbook.making.batch_world import Yard, fit, load, made, tell, usable_heap

LOW = ({"oxygen_mg_l": 0.7, "temperature_c": 18.0}, {"air": "on"})
RIGHT = ({"oxygen_mg_l": 7.0, "temperature_c": 18.0}, {"air": "on"})
WHY = "typed .7 for 7.0"


@pytest.fixture
def yard(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Yard:
    monkeypatch.setattr(make_batch, "heap_use", usable_heap)
    return Yard(tmp_path / "book.sqlite")


@pytest.fixture
def book(yard: Yard) -> Iterator[Fieldbook]:
    with yard.open() as opened:
        yield opened


def back(batch: Batch, book: Fieldbook, step: str = "oxygen") -> Batch:
    return take_step_back(book, batch, told_step(batch, step).id, WHY, "jk")


def test_a_low_reading_counts_until_it_is_taken_back_and_told_anew(book: Fieldbook, yard: Yard) -> None:
    batch = made(book, yard.clock)
    batch = tell_step(book, batch.id, "oxygen", *LOW, "rs")
    assert finding(book, batch.id).why[0].startswith("Oxygen 0.7 mg/L")
    batch = back(batch, book)
    assert [(each.reason, each.by, each.since) for each in batch.taken_back] == [(WHY, "jk", ())]
    (why,) = finding(book, batch.id).why
    assert why.startswith("Taken back, and not told anew: Oxygen 0.7 mg/L; floor 6.0. Right:")
    tell_step(book, batch.id, "smell", {}, {"smell": "earthy"}, "rs")
    assert finding(book, batch.id).verdict == "refused", "another step is not that one"
    tell_step(book, batch.id, "oxygen", *RIGHT, "rs")
    assert finding(book, batch.id).verdict == "fit"
    assert [each.step for each in batch_named(book, batch.id).taken_back[0].since] == ["oxygen"]


def test_what_is_told_anew_and_taken_back_again_is_not_told_anew(book: Fieldbook, yard: Yard) -> None:
    batch = back(tell_step(book, made(book, yard.clock).id, "oxygen", *LOW, "rs"), book)
    back(tell_step(book, batch.id, "oxygen", *RIGHT, "rs"), book)
    assert finding(book, batch.id).verdict == "refused"


def test_what_is_not_of_the_liquid_or_cannot_be_is_not_told_anew(book: Fieldbook, yard: Yard) -> None:
    batch = made(book, yard.clock)
    back(tell_step(book, batch.id, "oxygen", *LOW, "rs"), book)
    compost = batch.told("compost")[0].at
    tell_step(book, batch.id, "oxygen", {"oxygen_mg_l": 9.0, "temperature_c": 18.0}, {"air": "on"}, "rs",
              at=compost - timedelta(minutes=1))
    assert finding(book, batch.id).why[-1].startswith("Taken back, and not told anew: Oxygen 0.7"), "the water's own"
    tell_step(book, batch.id, "oxygen", {"oxygen_mg_l": 19.0, "temperature_c": 18.0}, {"air": "on"}, "rs")
    assert finding(book, batch.id).why[-1].startswith("Taken back, and not told anew: Oxygen 0.7"), "it cannot be"
    tell_step(book, batch.id, "oxygen", *RIGHT, "rs")
    assert finding(book, batch.id).verdict == "fit"


def test_as_many_are_told_anew_as_were_taken_back(book: Fieldbook, yard: Yard) -> None:
    batch = made(book, yard.clock)
    for _ in range(2):
        back(tell_step(book, batch.id, "oxygen", *LOW, "rs"), book)
    tell_step(book, batch.id, "oxygen", *RIGHT, "rs")
    assert len(finding(book, batch.id).why) == 1
    tell_step(book, batch.id, "oxygen", *RIGHT, "rs")
    assert finding(book, batch.id).verdict == "fit"


def test_a_laboratory_repeats_each_organism_that_was_over(book: Fieldbook, yard: Yard) -> None:
    batch = tell_step(book, made(book, yard.clock).id, "lab", {"e_coli_per_100_ml": 2400.0,
                                                               "enterococci_per_100_ml": 90.0}, {}, "rs")
    back(batch, book, "lab")
    assert "E. coli 2,400 per 100 mL; limit 126; Enterococci 90" in finding(book, batch.id).why[0]
    tell_step(book, batch.id, "lab", {"enterococci_per_100_ml": 1.0}, {}, "rs")
    (why,) = finding(book, batch.id).why
    assert why.startswith("Taken back, and not told anew: E. coli 2,400 per 100 mL; limit 126. Right:")
    tell_step(book, batch.id, "lab", {"e_coli_per_100_ml": 1.0}, {}, "rs")
    assert finding(book, batch.id).verdict == "fit"


def test_a_dirty_test_of_an_additive_counts_for_later_batches_until_it_is_told_anew(book: Fieldbook,
                                                                                     yard: Yard) -> None:
    tests = []
    for count in (10.0, 12.0, 2400.0):
        tests.append(tell_step(book, made(book, yard.clock).id, "additive", {}, {"additive": "kelp"}, "rs"))
        judge_batch(book, tests[-1].id, "rs")
        tests[-1] = tell_step(book, tests[-1].id, "lab", {"e_coli_per_100_ml": count}, {}, "rs")
    back(tests[-1], book, "lab")
    batch = tell_step(book, made(book, yard.clock).id, "additive", {}, {"additive": "kelp"}, "rs")
    assert finding(book, batch.id).why[0].startswith("Additive kelp: mean of 3 tests 807.3 E. coli")
    tell_step(book, tests[-1].id, "lab", {"enterococci_per_100_ml": 1.0}, {}, "rs")
    assert finding(book, batch.id).verdict == "refused", "another organism"
    tell_step(book, tests[-1].id, "lab", {"e_coli_per_100_ml": 24.0}, {}, "rs")
    assert finding(book, batch.id).verdict == "fit"


def test_a_test_known_only_from_below_stays_so_when_it_is_taken_back(book: Fieldbook, yard: Yard) -> None:
    for count, sign in ((10.0, ""), (12.0, ""), (100.0, ">")):
        test = tell_step(book, made(book, yard.clock).id, "additive", {}, {"additive": "kelp"}, "rs")
        words = {"e_coli_sign": sign} if sign else {}
        test = tell_step(book, test.id, "lab", {"e_coli_per_100_ml": count}, words, "rs")
    back(test, book, "lab")
    batch = tell_step(book, made(book, yard.clock).id, "additive", {}, {"additive": "kelp"}, "rs")
    assert "E. coli lie above its figure" in finding(book, batch.id).why[0]


def test_a_refused_batch_stays_refused(book: Fieldbook, yard: Yard) -> None:
    batch = tell_step(book, made(book, yard.clock).id, "oxygen", *LOW, "rs")
    judge_batch(book, batch.id, "rs")
    back(batch, book)
    after = tell_step(book, batch.id, "oxygen", *RIGHT, "rs")
    assert after.judgement is not None
    assert after.judgement.verdict == "refused"
    for late in (lambda: judge_batch(book, batch.id, "rs"), lambda: tell(book, load(batch, yard.clock))):
        with pytest.raises(RootcaseError, match=r"judged already|is refused"):
            late()


def test_a_batch_that_was_called_back_stays_called_back(book: Fieldbook, yard: Yard) -> None:
    batch = fit(book, yard.clock)
    batch = tell_step(book, batch.id, "lab", {"e_coli_per_100_ml": 2400.0}, {}, "rs")
    batch = back(batch, book, "lab")
    assert not batch.told("lab")
    assert batch.refused_since.startswith("E. coli 2,400")
    with pytest.raises(RootcaseError, match="called back"):
        tell(book, load(batch, yard.clock))


def test_only_what_stands_of_a_few_steps_is_taken_back_and_with_a_reason(book: Fieldbook, yard: Yard) -> None:
    batch = tell_step(book, made(book, yard.clock).id, "smell", {}, {"smell": "sour"}, "rs")
    told, slots = told_step(batch, "oxygen"), {each.id: each.body.slot for each in book.making.events()}
    good = BatchStepTakenBack(slot=slots[told.id], supersedes=told.id, batch=batch.id, at=written(yard.clock.at),
                              by="jk", reason=WHY)
    sour, end = batch.told("smell")[-1].id, batch.told("end")[-1].id
    for odd in (replace(good, slot="other"), replace(good, supersedes=None), replace(good, reason="  "),
                replace(good, supersedes=sour, slot=slots[sour]), replace(good, supersedes=end, slot=slots[end])):
        with pytest.raises(RootcaseError, match=r"not taken back|not said what was wrong"):
            tell(book, odd)
    tell(book, good)
    with pytest.raises(RootcaseError, match="not taken back"):
        tell(book, good)
    with pytest.raises(RootcaseError, match="not said what was wrong"):
        take_step_back(book, batch, told.id, " ", "jk")
    assert "Smell sour" in " ".join(finding(book, batch.id).why)
