"""The newest word of each truck, crew, fill point, batch and round holds, whatever the order they came in."""

from __future__ import annotations

from dataclasses import replace

from rootcase.fieldbook.applied.fleet import FLEET_EVENTS, CrewTold, RoundGiven, TruckTold
from rootcase.fieldbook.applying.fleet_log import fleet_of, planned_batches_of, rounds_of, standing_of
from rootcase.fieldbook.arrivals import NOT_DECIDING
from rootcase.records.apply.rounds import Travel
from tests.fieldbook.fleet_examples import DAY, FLEET
from tests.fieldbook.sheets import event


def test_what_was_told_stands() -> None:
    fleet = fleet_of(FLEET)
    assert [(each.name, each.tank_l) for each in fleet.trucks] == [("truck 1", 1135.6)]
    assert fleet.crews[0].people == ("hz", "rs")
    assert (fleet.crews[0].works_days, fleet.crews[0].licensed) == ((0, 1, 2, 3, 4), True)
    assert (fleet.fill_points[0].is_yard, fleet.fill_points[0].time_zone) == (True, "America/Los_Angeles")
    assert fleet.travel.minutes == ((0.0, 12.5), (14.0, 0.0))
    assert fleet.travel.road_factor == 1.4
    assert fleet_of(()).travel == Travel()
    assert [each.use_by_min for each in planned_batches_of(FLEET)] == [510.0]
    given, = rounds_of(FLEET)
    assert (given.day, given.given_by, given.moved_by_hand) == (DAY, "rs", True)
    assert given.steps[1].load_age_minutes == 50.0


def test_a_newer_word_takes_the_place_of_one_and_what_is_gone_is_not_there() -> None:
    truck, crew, given = (next(each.body for each in FLEET if isinstance(each.body, kind))
                          for kind in (TruckTold, CrewTold, RoundGiven))
    larger = event("g1", replace(truck, tank_l=1500.0, supersedes="f1"))
    gone = event("g2", replace(crew, gone=True, supersedes="f2"))
    arranged = event("g3", replace(given, given=False, supersedes="f6"))
    for events in ([*FLEET, larger, gone, arranged], [arranged, gone, larger, *FLEET]):
        fleet = fleet_of(events)
        assert [each.tank_l for each in fleet.trucks] == [1500.0]
        assert fleet.crews == ()
        assert [each.given_by for each in rounds_of(events)] == [""]
        assert standing_of(events, "t1") == "g1"
    assert rounds_of([*FLEET, event("g4", replace(given, gone=True, supersedes="f6"))]) == ()


def test_no_explanation_rests_on_who_drives() -> None:
    assert {kind.KIND for kind in FLEET_EVENTS} <= NOT_DECIDING
