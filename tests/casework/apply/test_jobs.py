"""Jobs of a signed plan: which season, done or not, and how long they take."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from rootcase.casework.apply.jobs import jobs_of_plan, pace_of
from rootcase.records.apply.done import Application
from rootcase.records.apply.jobs import Job
from rootcase.records.estimate import Estimate
from rootcase.records.field import PutOn
from rootcase.records.observe import Place, Property, PropertyRecord, Tree
from rootcase.records.offer import SignedPlan, Signing
from rootcase.records.prescribe import Dose, Plan, PlanItem, Step

OWNER = Property("p", "practice", "green", 47.0, -122.0, 10.0, "America/Los_Angeles", "USD", "", "us", True)
RECORD = PropertyRecord(OWNER, (Place("lawn", "p", "lawn", "lawn"),), (Tree("t", "p", "lawn", "oak 4", None, None),),
                        (), (), (), (), (), {})
EXTRACT = [Step(year, "spring_or_autumn", "extract", Dose(50.0, litres=110.0), None, "as_trial") for year in (1, 2)]
WATER = [Step(1, "may_september", "water", Dose(50.0), None, "set_up"),
         Step(2, "may_september", "water", Dose(50.0), None, "goes_on")]


def jobs(steps: list[Step], *put_on: PutOn, until: date = date(2018, 12, 31)) -> tuple[Job, ...]:
    item = PlanItem("t", steps[0].remedy, steps[0].dose, 0.0, Estimate(1.0, 1.0, 0.0, 2.0, 0.5, 1.5), tuple(steps))
    plan = Plan("p", (item,), 0.0, 0.0, None, "USD", 0.0, 0.0, (), (), True, (), date(2016, 1, 20), 100, 1)
    signed = SignedPlan("s", "mark", "rs", date(2016, 1, 21), Signing(plan, (), "", "", "", 100, None), "standing")
    return jobs_of_plan(signed, RECORD, put_on, (), until)


def put(day: date, not_done: str = "", remedy: str = "extract", litres: float | None = None) -> PutOn:
    return PutOn("x", "t", "", remedy, day, "rs", "", "", not_done, "", litres=litres)


@pytest.mark.reference
def test_a_job_a_season_with_its_litres() -> None:
    assert [(job.first, job.last, job.litres, job.product) for job in jobs(EXTRACT)] == [
        (date(2016, 3, 15), date(2016, 11, 30), 110.0, "extract"),
        (date(2017, 3, 15), date(2017, 11, 30), 110.0, "extract")]
    assert len(jobs(EXTRACT, until=date(2016, 12, 31))) == 1


@pytest.mark.reference
def test_put_on_in_its_season_it_is_done_and_the_next_year_is_not() -> None:
    assert [job.done for job in jobs(EXTRACT, put(date(2016, 5, 1)))] == [True, False]
    assert [job.done for job in jobs(EXTRACT, put(date(2017, 5, 1)))] == [False, True]
    for nothing in (put(date(2016, 5, 1), "rain"), put(date(2016, 3, 1)), put(date(2016, 5, 1), remedy="mulch")):
        assert not any(job.done for job in jobs(EXTRACT, nothing))


@pytest.mark.reference
def test_extract_is_done_by_its_liters_and_what_is_left_stays() -> None:
    def left(*litres: float | None, remedy: str = "extract", not_done: str = "") -> tuple[bool, float, float, int]:
        job = jobs(EXTRACT, *(put(date(2016, 5, 1), not_done, remedy, each) for each in litres))[0]
        return job.done, job.litres, job.applied_l, job.parts_before

    assert left(40.0) == (False, 70.0, 40.0, 1)
    assert left(40.0, 50.0) == (False, 20.0, 90.0, 2)
    assert left(40.0, 59.0)[:2] == (True, 110.0)  # 99 of 110 is nine tenths
    assert left(40.0, None)[0]  # a short form that tells no amount
    assert left(40.0, not_done="rain") == (False, 110.0, 0.0, 0)
    part = jobs(EXTRACT, put(date(2016, 5, 1), litres=55.0))[0]
    assert part.pace.minutes == pytest.approx(jobs(EXTRACT)[0].pace.minutes / 2)
    assert part.dose == EXTRACT[0].dose


@pytest.mark.reference
def test_nobody_comes_for_what_goes_on_by_itself() -> None:
    assert [(job.first.year, job.product) for job in jobs(WATER)] == [(2016, "")]


@pytest.mark.property
def test_a_job_keeps_its_id_and_no_two_share_one() -> None:
    ids = [job.id for job in jobs(EXTRACT)]
    assert len(set(ids)) == 2
    assert ids == [job.id for job in jobs(EXTRACT, put(date(2016, 5, 1)))]


@pytest.mark.reference
def test_the_pace_is_the_tables_until_five_own_records_say_otherwise() -> None:
    # 50 m2 at 0.0095 hours of one person a square metre, by two people: 14.25 minutes.
    assert pace_of(EXTRACT[0], ()).minutes == pytest.approx(14.25, abs=0.06)
    start = datetime(2016, 5, 2, 8, tzinfo=UTC)
    own = [Application(id=str(n), slot=str(n), day=start.date(), property_id="q", place_id="", tree_ids=(),
                       remedy="extract", started=start,
                       ended=start + timedelta(minutes=20 + n), time_zone="UTC", applicator="rs", area_m2=40.0)
           for n in range(5)]
    assert pace_of(EXTRACT[0], own[:4]).how_known == "computed"
    mine = pace_of(EXTRACT[0], own)
    assert (mine.minutes, mine.how_known, mine.records) == (pytest.approx(22 / 40 * 50), "own", 5)
    assert pace_of(EXTRACT[0], [replace(each, not_done="rain") for each in own]).how_known == "computed"
