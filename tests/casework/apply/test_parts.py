"""What of a job is done where it goes out in parts: enough of it, and at which stops it is logged."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from rootcase.casework.apply.parts import is_enough, logged_jobs, part_left, stops_logged
from rootcase.records.apply.done import Application
from rootcase.records.apply.jobs import EXTRACT, Job, Pace
from rootcase.records.apply.rounds import GivenRound, GivenStep
from rootcase.records.prescribe import Dose
from tests.casework.apply.weeks import MONDAY

JOB = Job(id="j", property_id="p", place_id="lawn", tree_id="t", tree_label="oak 4", plan="m", remedy=EXTRACT,
          dose=Dose(50.0, litres=1000.0), first=MONDAY, last=date(2026, 5, 31), product=EXTRACT, litres=1000.0,
          pace=Pace(minutes=60.0, source="", how_known="own"))
CHIPS = replace(JOB, id="k", remedy="mulch", product="", litres=0.0)
WAITING = {"j": JOB, "k": CHIPS}
PEOPLE = {"c0": ("rs",), "c1": ("hz",)}


def stop(part: int, *jobs: str) -> GivenStep:
    return GivenStep(kind="stop", starts_min=500.0, ends_min=520.0, property_id="p", job_ids=jobs or ("j",),
                     litres=500.0, part=part)


def given(*steps: GivenStep, crew: str = "c0") -> GivenRound:
    return GivenRound(id=crew, day=MONDAY, crew_id=crew, steps=steps, given_by="rs")


def record(number: int, part: int = 0, by: str = "rs", **more: object) -> Application:
    one = Application(id=str(number), slot=str(number), property_id="p", place_id="", tree_ids=("t",), remedy=EXTRACT,
                      day=MONDAY, applicator=by, number=number, job_ids=("j",), part=part)
    return replace(one, **more)  # type: ignore[arg-type]  # as they are called


def logged(rounds: list[GivenRound], *told: Application, waiting: dict[str, Job] | None = None) -> list[list[int]]:
    found = stops_logged(rounds, logged_jobs(rounds, WAITING if waiting is None else waiting, told, PEOPLE))
    return [sorted(found[each.day, each.crew_id]) for each in rounds]


@pytest.mark.reference
def test_nine_tenths_of_the_liters_are_enough_and_what_is_left_takes_its_share_of_the_time() -> None:
    assert (is_enough(900.0, 1000.0), is_enough(899.9, 1000.0)) == (True, False)
    left = part_left(JOB, 250.0)
    assert (left.litres, left.pace.minutes, left.dose) == (250.0, 15.0, JOB.dose)


def test_one_part_that_is_logged_leaves_the_other() -> None:
    two = [given(stop(1), stop(2))]
    assert logged(two) == [[]]
    assert logged(two, record(1, 1)) == [[0]]
    assert logged(two, record(1, 2)) == [[1]]
    assert logged(two, record(1), record(2)) == [[0, 1]]
    assert logged(two, record(1), record(2, 1)) == [[0, 1]]
    assert logged(two, record(1, 1, not_done="rain"), record(2, day=date(2026, 4, 5))) == [[]]


def test_what_is_done_is_logged_at_all_its_stops_and_a_stop_when_all_of_it_is() -> None:
    assert logged([given(stop(1), stop(2))], waiting={}) == [[0, 1]]
    both = [given(stop(0, "j", "k"))]
    assert logged(both, record(1)) == [[]]
    assert logged(both, record(1), record(2, job_ids=(), remedy="mulch")) == [[0]]
    assert logged_jobs(both, WAITING, [record(1)], PEOPLE)[MONDAY, "c0"] == {0: {"j"}}


def test_a_record_is_of_the_stops_of_who_made_it() -> None:
    two = [given(stop(1)), given(stop(2), crew="c1")]
    assert logged(two, record(1, 1)) == [[0], []]
    assert logged(two, record(1, by="hz")) == [[], [0]]
    assert logged(two, record(1, by="office")) == [[0], []]


def test_a_round_that_was_given_for_what_is_left_is_not_logged_by_what_was_before() -> None:
    assert logged([given(stop(2))], record(1, 1)) == [[]]
    assert logged([given(stop(2))], record(1, 1), record(2, 2)) == [[0]]
