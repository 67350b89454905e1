"""The shopping list: sums by hand beside what the rounds take."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from rootcase.casework.apply.shopping import batches_needed, needs_of
from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.records.apply.jobs import Job, Pace
from rootcase.records.apply.rounds import GivenRound, GivenStep, PlannedBatch
from rootcase.records.apply.shopping import Behind, Shopping
from rootcase.records.prescribe import Dose
from rootcase.report.text.shopping import shopping_lines, shopping_told
from rootcase.services import shopping
from rootcase.services.shopping import shopping_of
from rootcase.services.week import Week, plan_week, whole_week
from rootcase.services.week_known import gather
from tests.services.week_told import NOW, a_week
from tests.web.batches import FIT, REFUSED, Clock, yard

MONDAY, TUESDAY = date(2016, 5, 2), date(2016, 5, 3)
DAYS = (MONDAY, TUESDAY)


def job(an_id: str, remedy: str, dose: Dose, litres: float = 0.0) -> Job:
    return Job(id=an_id, property_id="p", place_id="", tree_id="t", tree_label=f"oak {an_id}", plan="m", remedy=remedy,
               dose=dose, first=MONDAY, last=date(2016, 6, 30), product="extract" if litres else "", litres=litres,
               pace=Pace(minutes=60.0, source="", how_known="own"))


JOBS = {each.id: each for each in (
    job("1", "mulch", Dose(50.0, volume_m3=4.0)), job("2", "air_tillage", Dose(50.0, volume_m3=1.5, cover_m=0.03)),
    job("3", "gypsum", Dose(50.0, mass_kg=40.0)), job("4", "extract", Dose(50.0, litres=1200.0), 1200.0),
    job("5", "gypsum", Dose(50.0, unknown="gypsum_lab")), job("6", "chelate", Dose(50.0, unknown="label")),
    job("7", "turf_off", Dose(20.0)))}


def stop(start: float, *jobs: str, litres: float = 0.0) -> GivenStep:
    return GivenStep(kind="stop", starts_min=start, ends_min=start + 60, property_id="p", job_ids=jobs, litres=litres)


def fill(start: float, litres: float) -> GivenStep:
    return GivenStep(kind="fill", starts_min=start, ends_min=start + 10, fill_point_id="yard", batch_id="b",
                     litres=litres)


TWO_TANKS = (fill(480, 600), stop(500, "4", litres=600), fill(600, 600), stop(620, "4", litres=600))
ROUNDS = (GivenRound(id="r", day=MONDAY, crew_id="c", steps=(*TWO_TANKS, stop(700, "1", "7"))),
          GivenRound(id="s", day=TUESDAY, crew_id="c", steps=(stop(500, "2", "3"), stop(600, "5", "6"))))


def test_each_product_by_day_and_in_sum() -> None:
    found = {each.product: each for each in needs_of(ROUNDS, JOBS, DAYS)}
    assert list(found) == ["chips", "gypsum", "extract", "chelate"]
    assert found["chips"].amounts == (4.0, 1.5)
    assert found["gypsum"].amounts == (0.0, 40.0)
    assert found["gypsum"].not_known == ("5",)
    assert found["extract"].amounts == pytest.approx((1200.0, 0.0))  # two tanks of one job
    assert found["chelate"].not_known == ("6",)


def test_a_job_that_stands_in_two_rounds_counts_once() -> None:
    twice = (ROUNDS[0], replace(ROUNDS[1], steps=(*ROUNDS[1].steps, stop(700, "1"))))
    assert next(each for each in needs_of(twice, JOBS, DAYS) if each.product == "chips").amounts == (4.0, 1.5)


def test_a_batch_takes_compost_as_one_before_did_and_a_made_one_none() -> None:
    batch = PlannedBatch(id="b", day=MONDAY, ready_min=470, use_by_min=530, litres=1500, fill_point_id="yard")
    (need,) = batches_needed(ROUNDS, [batch], {}, 0.05)
    short = Shopping(days=DAYS, needs=(), batches=batches_needed(ROUNDS, [replace(batch, litres=1000)], {}, 0.05))
    assert "317 gal (1200 L), more than there is" in shopping_told(short, JOBS, "us").batches[0]
    assert (need.taken_l, need.compost_kg) == (1200, pytest.approx(75.0))
    assert batches_needed(ROUNDS, [batch], {}, None)[0].compost_kg is None
    assert batches_needed(ROUNDS, [replace(batch, made=True)], {}, 0.05)[0].compost_kg is None
    other = replace(batch, id="made", made=True)
    assert batches_needed(ROUNDS, [other], {"b": "made"}, 0.05)[0].taken_l == 1200
    assert batches_needed(ROUNDS[1:], [batch], {}, 0.05) == ()


def test_trees_that_are_left_of_a_stop_take_their_own_dose() -> None:
    both = {each: job(each, "extract", Dose(50.0, litres=100.0), 100.0) for each in "ab"}
    rounds = (GivenRound(id="r", day=MONDAY, crew_id="c", steps=(fill(480, 200), stop(500, "a", "b", litres=200))),)
    for waiting, litres in ((both, 200.0), ({"b": both["b"]}, 100.0)):
        assert needs_of(rounds, waiting, DAYS)[0].amounts == (litres, 0.0)


def test_what_was_loaded_or_is_behind_logged_work_is_not_taken_again() -> None:
    steps = (fill(480, 400), stop(500, "1", litres=400), fill(600, 400), stop(620, "4", litres=400))
    rounds = (GivenRound(id="r", day=MONDAY, crew_id="c", steps=steps),)
    left = PlannedBatch(id="b", day=MONDAY, ready_min=470, use_by_min=530, litres=400, fill_point_id="yard", made=True)

    first = {(MONDAY, "c"): frozenset({1})}

    def taken(**behind: object) -> float:
        return batches_needed(rounds, [left], {}, None, Behind(**behind))[0].taken_l  # type: ignore[arg-type]

    assert taken() == 800
    assert taken(loaded_l={"b": 400.0}) == taken(logged=first) == 400
    assert taken(loaded_l={"b": 400.0}, logged=first) == 400
    both = {each: job(each, "extract", Dose(50.0, litres=400.0), 400.0) for each in "14"}
    assert needs_of(rounds, both, DAYS)[0].total == 800
    assert needs_of(rounds, both, DAYS, Behind(logged=first))[0].total == 400
    assert batches_needed(rounds, [left], {}, None, Behind(loaded_l={"b": 800.0})) == ()


def test_what_rounds_take_of_a_refused_batch_is_to_be_made_anew() -> None:
    (need,) = batches_needed(ROUNDS, [], {"b": ""}, 0.05, Behind(loaded_l={"b": 600.0}))
    assert (need.day, need.ready_min, need.litres, need.compost_kg) == (MONDAY, 480, 1200, pytest.approx(60.0))
    told = shopping_told(Shopping(days=DAYS, needs=(), batches=(need,)), JOBS, "metric")
    assert told.batches[0].startswith("To be made anew for Mon 2 May, 08:00: 1200 L (317 gal) of extract")
    assert told.batches[0].endswith("Compost 60 kg (132.3 lb), water 1200 L (317 gal).")
    assert told.finding == "The rounds of these days take nothing along."


def test_the_list_in_words_in_the_trades_units() -> None:
    needs = needs_of(ROUNDS, JOBS, DAYS)
    lines = list(shopping_lines(shopping_told(Shopping(days=DAYS, needs=needs, batches=(), left_out=2), JOBS, "us")))
    assert lines[0] == "Shopping list, Mon 2 May to Tue 3 May"
    assert lines[2].startswith("wood chips: 7.19 yd³ (5.5 m³), 33 barrows of 6 ft³ (Mon 2 May 5.23 yd³")
    assert "gypsum: 88.2 lb (40 kg), 2 sacks of 50 lb" in lines[3]
    assert "not known how much at oak 5" in lines[4]
    assert "Pieces of work in no round: 2. Nothing here is for them." in lines
    metric = shopping_told(Shopping(days=DAYS, needs=needs, batches=()), JOBS, "metric")
    assert metric.rows[0].total == "5.5 m³ (7.19 yd³)"
    none = shopping_told(Shopping(days=DAYS, needs=(), batches=()), {}, "us")
    assert none.finding == "The rounds of these days take nothing along."


def test_the_list_of_a_planned_week(tmp_path: Path) -> None:
    with open_fieldbook(a_week(tmp_path), now=lambda: NOW) as book:
        found = gather(book, MONDAY)
        week = whole_week(found.known, plan_week(found.known, tmp_path / "results", 1.0))
        listed = shopping_of(book, found, week)
    assert {each.product: round(each.total, 3) for each in listed.needs} == {"chips": 4.0, "extract": 110.0}
    assert listed.as_batch == 0
    assert listed.batches[0].compost_kg is None  # no batch of this practice says how much
    assert listed.left_out == 1  # air tillage without a locate


def test_the_practices_own_batch_tells_how_much_compost(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    yard(tmp_path / "own.sqlite", NOW)
    with open_fieldbook(tmp_path / "own.sqlite", now=Clock(NOW)) as book:
        found = gather(book, MONDAY)
        refused_first = sorted(shopping.batches(book), key=lambda each: str(each.number) != REFUSED)
        monkeypatch.setattr(shopping, "batches", lambda _: refused_first)
        batch = PlannedBatch(id="b", day=MONDAY, ready_min=470, use_by_min=530, litres=1000, fill_point_id="yard")
        known = replace(found.known, extract=replace(found.known.extract, batches=(batch,)))
        week = Week(days=DAYS, rounds=ROUNDS, left_out=(), drive_minutes=0.0)
        listed = shopping_of(book, replace(found, known=known), week)
    assert str(listed.as_batch) == FIT
    assert listed.batches[0].compost_kg
