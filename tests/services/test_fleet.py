"""Trucks, crews, fill points, drives and batches as they are typed: kept, or told back by field."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.ground.errors import RootcaseError
from rootcase.records.make.batch import BatchRules
from rootcase.services.fleet import cells_of, fleet, planned_batches, take, usual_cells, yard_of
from rootcase.services.make_batch import tell_rules
from rootcase.services.travel_table import read_drives, table_text
from tests.services.yard_told import CREW, TRUCK, YARD, tell_yard


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Fieldbook]:
    with open_fieldbook(tmp_path / "own.sqlite", now=lambda: datetime(2016, 5, 2, 16, tzinfo=UTC)) as opened:
        tell_yard(opened)
        yield opened


def test_what_was_typed_stands_and_comes_back_into_its_form(book: Fieldbook) -> None:
    there = fleet(book)
    assert there.trucks[0].tank_l == pytest.approx(300 * 3.785411784)
    assert there.crews[0].people == ("rs", "hz")
    assert (there.crews[0].leaves_min, there.crews[0].works_days) == (420.0, (0, 1, 2, 3, 4))
    yard = yard_of(there)
    assert yard is not None
    assert (yard.fill_minutes, yard.time_zone) == (15.0, "America/Los_Angeles")
    for what, thing in (("truck", there.trucks[0]), ("crew", there.crews[0]), ("fill_point", yard)):
        for system in ("us", "metric"):
            assert not take(book, what, cells_of(thing, system), "rs", system)  # type: ignore[arg-type]
    assert fleet(book).crews == there.crews
    assert fleet(book).trucks[0].tank_l == pytest.approx(there.trucks[0].tank_l, rel=1e-4)


def test_a_place_that_is_told_anew_stays_where_it_is_to_the_last_digit(book: Fieldbook) -> None:
    take(book, "fill_point", YARD | {"where": "47.4512345, -122.3123456"}, "rs", "us")
    take(book, "fill_point", cells_of(fleet(book).fill_points[0], "us") | {"fill": "20"}, "rs", "us")
    yard = fleet(book).fill_points[0]
    assert (yard.latitude_deg, yard.longitude_deg, yard.fill_minutes) == (47.4512345, -122.3123456, 20.0)


def test_the_same_name_is_told_anew_and_what_is_gone_is_not_there(book: Fieldbook) -> None:
    assert not take(book, "truck", TRUCK | {"tank": "1000 L"}, "rs", "us")
    assert [each.tank_l for each in fleet(book).trucks] == [1000.0]
    assert "a crew drives this truck" in take(book, "truck", TRUCK | {"gone": "yes"}, "rs", "us")[""]
    assert not take(book, "crew", CREW | {"gone": "yes"}, "rs", "us")
    assert not take(book, "truck", TRUCK | {"gone": "yes"}, "rs", "us")
    assert (fleet(book).trucks, fleet(book).crews) == ((), ())


@pytest.mark.parametrize(("what", "cells", "field", "line"), [
    ("truck", TRUCK | {"tank": "0"}, "tank", "cannot be"),
    ("truck", TRUCK | {"tank": "3 acres"}, "tank", "cannot become L"),
    ("truck", TRUCK | {"name": " "}, "name", "nothing was typed"),
    ("truck", TRUCK | {"name": "x" * 5000}, "name", "long"),
    ("crew", CREW | {"truck": "truck 9"}, "truck", "one of truck 1"),
    ("crew", CREW | {"people": "a" * 90}, "people", "code"), ("crew", CREW | {"leaves": "25:00"}, "leaves", "no time"),
    ("crew", CREW | {"back": "6:00"}, "back", "(got 06:00); after 07:00"),
    ("crew", CREW | {"rest_to": "10:00"}, "rest_to", "after 11:00"),
    ("crew", CREW | {"days": "someday"}, "days", "mon"),
    ("fill_point", YARD | {"where": "north"}, "where", "no place"),
    ("fill_point", YARD | {"where": "95, 200"}, "where", "no place"),
    ("fill_point", YARD | {"name": "yard 2"}, "yard", "there is a yard already (got yard)"),
    ("fill_point", YARD | {"time_zone": "Here"}, "time_zone", "no time zone"),
    ("travel", {"road": "50"}, "road", "between 100 % and 500 %"), ("travel", {"speed": "500"}, "speed", "mph"),
    ("travel", {"table": ",yard,elm\nyard,0,1\nelm,1,0"}, "table", "no property and no fill point"),
    ("travel", {"table": ",yard\nhydrant,0"}, "table", "not the same"),
    ("travel", {"table": ",yard,hydrant\nyard,0\nhydrant,1,0"}, "table", "another number of drives"),
    ("travel", {"table": ",yard\nyard,nan"}, "table", "no time of a drive"),
    ("batch", {"day": "soon", "ready": "7:30", "volume": "300"}, "day", "soon"),
    ("batch", {"day": "2016-05-03", "ready": "7:30", "volume": ""}, "volume", "nothing was typed"),
    ("batch", {"day": "2016-05-01", "ready": "7:30", "volume": "300"}, "day", "yard (got 1 May 2016); 2 May"),
    ("batch", {"day": "2016-05-03", "ready": "7:30", "volume": "300", "gone": "yes"}, "id", "no such planned batch")])
def test_what_is_wrong_is_told_by_field_and_nothing_is_kept(book: Fieldbook, what: str, cells: dict[str, str],
                                                            field: str, line: str) -> None:
    before = book.applying.practice_events()
    wrong = take(book, what, cells, "rs", "us")  # type: ignore[arg-type]
    assert line in wrong[field]
    assert book.applying.practice_events() == before


def test_a_name_is_no_code(book: Fieldbook) -> None:
    assert "" in take(book, "truck", TRUCK, "Rowan Doe", "us")


def test_a_planned_batch_ages_by_the_practice_own_rule_or_the_hour(book: Fieldbook) -> None:
    cells = {"day": "2016-05-03", "ready": "7:30 am", "volume": "200 gal"}
    assert not take(book, "batch", cells, "rs", "us")
    planned, = planned_batches(book)
    assert (planned.day, planned.ready_min, planned.use_by_min) == (date(2016, 5, 3), 450.0, 510.0)
    tell_rules(book, BatchRules(oxygen_floor_mg_l=6.0, holding_h=0.5), "rs")
    assert not take(book, "batch", cells | {"id": planned.id, "ready": "8:00"}, "rs", "us")
    assert [each.use_by_min for each in planned_batches(book)] == [510.0]
    assert not take(book, "batch", cells | {"id": planned.id, "gone": "yes"}, "rs", "us")
    assert planned_batches(book) == ()


def test_a_table_of_drives_is_kept_and_comes_back(book: Fieldbook) -> None:
    for between in (",", ";", "\t"):
        typed = ",yard,hydrant\nyard,0,7.5\nhydrant,9,0\n".replace(",", between)
        assert not take(book, "travel", {"table": typed, "road": "140"}, "rs", "us")
        travel = fleet(book).travel
        assert (travel.places, travel.minutes) == (("yard", "hydrant"), ((0.0, 7.5), (9.0, 0.0)))
    assert travel.road_factor == pytest.approx(1.4)
    assert read_drives(table_text(travel), travel.places) == (travel.places, travel.minutes)
    with pytest.raises(RootcaseError, match="not the same"):
        read_drives("yard", ["yard"])


def test_what_is_usual_of_drives_begins_the_form_as_a_person_would_say_it() -> None:
    assert usual_cells("travel", "us") == {"road": "130", "speed": "25", "table": ""}
    assert usual_cells("travel", "metric")["speed"] == "40"


def test_the_day_of_a_batch_is_over_by_the_clock_of_the_yard(tmp_path: Path) -> None:
    """It is six in the evening of the 1st in the yard, and the 2nd by UTC."""
    cells = {"day": "2016-05-01", "ready": "7:30", "volume": "300 gal"}
    clock = [datetime(2016, 5, 2, 1, tzinfo=UTC)]
    with open_fieldbook(tmp_path / "evening.sqlite", now=lambda: clock[0]) as book:
        tell_yard(book)
        assert not take(book, "batch", cells, "rs", "us")
        clock[0] = datetime(2016, 5, 2, 7, tzinfo=UTC)
        planned, = planned_batches(book)
        assert set(take(book, "batch", cells | {"id": planned.id}, "rs", "us")) == {"day"}
        assert not take(book, "batch", cells | {"id": planned.id, "gone": "yes"}, "rs", "us")
        assert planned_batches(book) == ()
