"""The invented yard: what a person who looks at Make for the first time finds there."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.report.text.batch import batch_lede, batch_lines
from rootcase.services.batch_seen import batch_seen
from rootcase.services.demo import DAY
from rootcase.services.demo_yard import make_yard
from rootcase.services.heap import heaps, judged_heap
from rootcase.services.log import accounts, verified
from rootcase.services.make_batch import batches
from rootcase.services.people import DEMO_CODE
from rootcase.services.slides import seen, slides
from rootcase.services.week import broken_now
from rootcase.services.week_known import Gathered, gather


@pytest.fixture(scope="module")
def yard(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Fieldbook]:
    path: Path = tmp_path_factory.mktemp("yard") / "demo.sqlite"
    make_yard(path)
    with open_fieldbook(path) as book:
        yield book


def test_its_heap_met_its_rule_and_may_be_used(yard: Fieldbook) -> None:
    heap, found = judged_heap(yard, heaps(yard)[0].id)
    assert (found.verdict, found.may_be_used, found.beans, heap.invented) == ("met", True, "sound", True)
    assert ({each.probe for each in heap.readings}, len(heap.parts)) == ({1, 2}, 2)


def test_one_batch_is_refused_for_its_oxygen_and_one_went_out_in_its_hour(yard: Fieldbook) -> None:
    fit, refused = batches(yard)
    assert refused.judgement
    assert fit.judgement
    assert fit.judgement.good_until
    assert (refused.judgement.verdict, refused.loads) == ("refused", ())
    assert refused.judgement.why[0].startswith("Oxygen 4.1 mg/L")
    assert (fit.judgement.verdict, [each.tank for each in fit.loads]) == ("fit", ["truck 1"])
    assert fit.loads[0].at < fit.judgement.good_until
    assert (fit.ended_as, refused.ended_as) == ("compost_water", "compost_water")
    assert fit.judgement.good_until.date() <= DAY


def test_no_id_is_shown_whole_and_what_is_long_over_age_is_told_by_its_hours(yard: Fieldbook) -> None:
    found = batch_seen(yard, "2")
    now = datetime(2026, 5, 1, 12, tzinfo=UTC)
    assert batch_lede(found, now) == (
        "Extraction ended 14 January 2016, 14:10. It was over age from 14 January 2016, 15:10 on: no load any more.")
    slide, = slides(yard)
    lines = " ".join(batch_lines(found, now, "us"))
    assert slide.id not in lines
    assert f"slide: {slide.id[-8:]}" in lines


def test_its_slide_is_of_the_batch_that_went_out(yard: Fieldbook) -> None:
    slide, = slides(yard)
    found = seen(yard, slide.id)
    assert (found.batch, found.lacking) == (2, "")
    assert found.count is not None


@pytest.fixture(scope="module")
def week(yard: Fieldbook) -> Gathered:
    return gather(yard, DAY)


def test_rounds_are_given_for_its_day_and_the_next_and_break_nothing(week: Gathered) -> None:
    crews = {each.id: each.name for each in week.known.fleet.crews}
    given = {(each.day.isoformat(), crews[each.crew_id]): each for each in week.known.given}
    assert set(given) == {("2016-01-15", "crew 1"), ("2016-01-15", "crew 2"), ("2016-01-18", "crew 2")}
    assert {each.given_by for each in given.values()} == {DEMO_CODE}
    first = given["2016-01-15", "crew 1"]
    assert [each.kind for each in first.steps] == ["fill", "stop", "stop", "rest", "fill", "stop"]
    assert max(each.load_age_minutes or 0.0 for each in first.steps) < 60.0
    assert broken_now(week.known) == ()


def test_every_job_of_its_rounds_waits_and_may_be_done_that_day_and_one_is_left_to_plan(week: Gathered) -> None:
    waits = {each.job.id: each for each in week.known.waiting}
    given = {job: each.day for each in week.known.given for step in each.steps for job in step.job_ids}
    assert all(day in waits[job].days for job, day in given.items())
    assert [waits[job].job.remedy for job in waits.keys() - given.keys()] == ["gypsum"]


def test_what_was_put_on_yesterday_stands_in_its_record_one_piece_too_late_and_every_liter_is_found(
        yard: Fieldbook) -> None:
    told = {each.number: (each.remedy, each.flags, bool(each.not_done)) for each in yard.recording.applications()}
    assert told == {1: ("extract", (), False), 2: ("extract", ("late",), False), 3: ("mulch", (), True)}
    assert verified(yard).fault is None
    (batch, of_batch), = accounts(yard)
    assert (batch.number, round(of_batch.unaccounted_l, 1)) == (2, 0.0)


def test_all_of_it_is_told_by_who_everybody_is_there_and_before_its_day_is_over(yard: Fieldbook) -> None:
    told = yard.making.events()
    assert {each.body.by for each in told} == {DEMO_CODE}  # type: ignore[attr-defined]  # every kind of them has it
    assert max(each.made_at for each in told) < DAY.isoformat() + "T24"
