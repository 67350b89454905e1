"""The crew's day: stops as wide as they last, a fuse a make, and the finding that the numbers bear."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rootcase.casework.apply.crew_day import crew_day
from rootcase.records.apply.crew_day import CrewDay, DayLoad
from rootcase.records.apply.rounds import GivenRound
from rootcase.report.pictures.day import draw_day
from rootcase.report.pictures.day_phone import draw_day_phone
from rootcase.report.svg import Picture
from rootcase.report.text.crew_day import day_finding, make_rows
from tests.report.days import BATCHES, DAY, JOBS, NAMES, ROUND, TOLD, fill, stop
from tests.report.pictures.marks import marks, points, root_of

AS_IT_IS = crew_day(ROUND, JOBS, 500.0, BATCHES, {}, TOLD)
OVER = crew_day(ROUND, JOBS, 500.0, (replace(BATCHES[0], use_by_min=530.0), *BATCHES[1:]), {}, TOLD)
REFUSED = crew_day(ROUND, JOBS, 500.0, BATCHES[1:], {"b33": ""}, {})
DRY = crew_day(replace(ROUND, steps=tuple(each for each in ROUND.steps if not each.batch_id)), JOBS, 500.0, (), {}, {})
NOTHING = crew_day(replace(ROUND, steps=()), JOBS, 500.0, (), {}, {})


def both(day: CrewDay) -> tuple[Picture, Picture]:
    return draw_day(day, NAMES, "us"), draw_day_phone(day, NAMES)


def test_a_makes_age_runs_over_all_its_loads() -> None:
    first, second, third = AS_IT_IS.makes
    assert [len(each.loads) for each in AS_IT_IS.makes] == [2, 1, 1]
    assert (first.ends_min, first.last_use_min, first.use_by_min, first.in_hand_min) == (488, 540, 548, 8)
    assert (first.number, first.starts_min) == (33, 435.0)
    assert (second.number, second.starts_min, third.in_hand_min) == (0, None, 17)


def test_a_stop_that_tells_no_batch_takes_of_the_fill_before() -> None:
    untold = replace(ROUND, steps=tuple(replace(each, batch_id="") if each.kind == "stop" else each
                                        for each in ROUND.steps))
    assert crew_day(untold, JOBS, 500.0, BATCHES, {}, TOLD) == AS_IT_IS


def test_two_stops_of_one_tank_are_one_load() -> None:
    steps = (fill(488, 494, "b33", 400), stop(500, 516, "school", "1", batch="b33", litres=200),
             stop(516, 530, "school", "2", batch="b33", litres=200))
    (make,) = crew_day(replace(ROUND, steps=steps), JOBS, 500.0, BATCHES, {}, TOLD).makes
    assert make.loads == (DayLoad(filled_min=494, last_use_min=530, litres=400),)


def test_the_tank_runs_even_and_is_empty_between() -> None:
    assert AS_IT_IS.tank[:5] == ((488, 0.0), (494, 400), (500, 400), (516, 0), (520, 0.0))
    assert AS_IT_IS.rests == ((740, 770),)
    assert (516, 520) in AS_IT_IS.drives


@pytest.mark.parametrize(("day", "finding"), [
    (AS_IT_IS, "3 makes of extract; each is out 8 min or more before it is too old."),
    (OVER, "Extract of batch 33 would be 10 min too old at its last tree; refuse it from 08:50."),
    (REFUSED, "Extract of a planned batch is not there: nothing of it may be loaded."),
    (DRY, "No extract on this round; chips and plain water have no clock."), (NOTHING, "No stop is in this round.")])
def test_the_finding_and_no_label_over_another(day: CrewDay, finding: str) -> None:
    assert day_finding(day) == finding
    for picture in both(day):
        assert picture.faults == ()
        assert finding in picture.alt


def test_a_batch_that_was_made_takes_the_planned_ones_place() -> None:
    made = replace(BATCHES[0], id="made", ready_min=495.0, use_by_min=555.0)
    day = crew_day(ROUND, JOBS, 500.0, (made, *BATCHES[1:]), {"b33": "made"}, {"made": (41, 440.0)})
    assert (day.makes[0].number, day.makes[0].in_hand_min) == (41, 15)
    rows = make_rows(day, "metric")
    assert rows[0] == ("batch 41", "ends 08:15", "400 L (105.7 gal), 400 L (105.7 gal)", "09:00", "refuse from 09:15",
                       "15 min in hand")


def test_marks_are_where_the_clock_says() -> None:
    root = root_of(draw_day(AS_IT_IS, NAMES, "us").bare)
    hours = [points(each)[0][0] for each in marks(root, "hour")]
    step = (hours[-1] - hours[0]) / 60 / (len(hours) - 1)
    for name, minutes in (("limit", [548, 745, 895]), ("ends", [488, 685, 835])):
        assert [points(each)[0][0] for each in marks(root, name)] == pytest.approx(
            [hours[0] + (each - 420) * step for each in minutes], abs=0.02)
    assert not marks(root, "not-there")
    assert len(marks(root_of(draw_day(REFUSED, NAMES, "us").bare), "not-there")) == 1


def test_many_short_stops_long_names_and_makes_side_by_side_lie_on_nothing() -> None:
    steps = tuple(stop(480 + 14 * at, 490 + 14 * at, "school", "11") for at in range(30))
    long = replace(NAMES, grounds=dict.fromkeys(NAMES.grounds, "Grounds of the upper school by the old river meadow"))
    day = crew_day(GivenRound(id="r", day=DAY, crew_id="c", steps=steps), JOBS, 500.0, (), {}, {})
    together = tuple(replace(each, ready_min=485.0, use_by_min=905.0) for each in BATCHES)
    for each in (day, crew_day(ROUND, JOBS, 500.0, together, {}, TOLD)):
        assert draw_day(each, long, "us").faults == ()
        assert draw_day_phone(each, long).faults == ()
