"""Wishes asked at the desk: read as a sheet's cells are, kept with day and who asked, tried without being kept."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from rootcase.casework.prescribe.wishes import ceiling_of, told_and_not
from rootcase.fieldbook.events import ProgrammeStarted
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.records.observe import Property
from rootcase.services.offer import programmes_of
from rootcase.services.run import Run
from rootcase.services.standing import Standings
from rootcase.services.wishes import Key, Tried, answers, keep_wishes, read_tried
from tests.fieldbook.sheets import PROPERTY, open_book, write_sheet

DAY = date(2016, 1, 15)
PAGES = {
    "property": PROPERTY,
    "places": [["place", "place_kind", "wish_lawn", "wish_chips", "budget_year"],
               ["lawn", "lawn", "part", "yes", "3200"], ["bed", "bed", "", "", ""], ["wood", "woodland", "", "", ""]],
    "visits": [["visit", "date", "observer"], ["autumn", "2015-11-05", "reader 1"]],
    "trees": [["tree", "place", "visit", "yardstick", "compare_with"], ["oak 1", "wood", "autumn", "wood oaks", ""],
              ["oak 4", "lawn", "autumn", "", "wood oaks"], ["oak 5", "bed", "autumn", "", "wood oaks"]],
}


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Fieldbook]:
    with open_book(tmp_path / "book.sqlite") as opened:
        opened.import_sheet(write_sheet(tmp_path / "in", PAGES))
        yield opened


def keys(book: Fieldbook) -> tuple[Property, Key, Key]:
    ground = book.properties()[0]
    lawn = next(place.id for place in book.record(ground.id).places if place.name == "lawn")
    return ground, (lawn, "wish_lawn"), ("", "budget_year")


def keep(book: Fieldbook, typed: dict[Key, str], by: str = "rs", day: date = DAY) -> dict[Key, str]:
    return keep_wishes(book, book.properties()[0], Run(day), typed, by)


def test_only_places_with_trees_to_plan_for_are_asked_about_and_what_stands_is_shown(book: Fieldbook) -> None:
    ground, lawn, money = keys(book)
    stands = answers(book.record(ground.id))
    assert (stands[lawn], stands[money], stands["", "crew_hours_year"]) == ("part", "3200", "")
    names = {place.id: place.name for place in book.record(ground.id).places}
    assert {names[place] for place, _ in stands if place} == {"lawn", "bed"}


def test_what_is_typed_otherwise_is_tried_and_what_cannot_be_is_told_beside_its_field(book: Fieldbook) -> None:
    ground, lawn, money = keys(book)
    record = book.record(ground.id)
    assert read_tried(record, answers(record)) == (Tried(), {})
    tried, wrong = read_tried(record, {lawn: "stays", money: "1500"})
    assert (tried, wrong) == (Tried(((lawn[0], "wish_lawn", "stays"),), (("budget", 1500.0),)), {})
    assert read_tried(record, {money: ""})[0].ceilings == (("budget", None),)
    tried, wrong = read_tried(record, {lawn: "perhaps", money: "-3", ("", "crew_hours_year"): "8"})
    assert tried == Tried((), (("crew_hours", 8.0),))
    assert set(wrong) == {lawn, money}
    assert "perhaps" in wrong[lawn]
    assert all("\n" not in line for line in wrong.values())


def test_days_in_use_that_cannot_be_read_are_refused_beside_their_field_and_stay_typed(book: Fieldbook) -> None:
    ground, lawn, _ = keys(book)
    field = (lawn[0], "closed_days")
    wrong = keep_wishes(book, ground, Run(DAY), {field: "Sat: matches; when the fair is on"}, "rs")
    assert list(wrong) == [field]
    assert "no day can be read in it (got when the fair is on)" in wrong[field]
    assert answers(book.record(ground.id))[field] == ""
    assert keep_wishes(book, ground, Run(DAY), {field: "Sat: matches; 12 Jun 2016 to 14 Jun 2016: fair"}, "rs") == {}
    assert answers(book.record(ground.id))[field].startswith("Sat: matches")


def test_kept_wishes_bind_with_their_day_and_who_asked(book: Fieldbook) -> None:
    ground, lawn, money = keys(book)
    assert keep(book, {lawn: "stays", money: "900"}) == {}
    record = book.record(ground.id)
    assert (lawn[0], "wish_lawn", "stays") in told_and_not(record)[0]
    assert ceiling_of(record, "budget_year") == 900.0
    told = max(record.of(lawn[0], kind="wish_lawn"), key=lambda reading: reading.day)
    assert (told.day, told.observer, told.typed) == (DAY, "rs", "stays")
    assert len(record.of(lawn[0], kind="wish_lawn")) == 2  # what was said before stays


def test_of_one_day_the_last_answer_holds_whoever_asked(book: Fieldbook) -> None:
    ground, lawn, _ = keys(book)
    for by, answer in (("rs", "stays"), ("kb", "free"), ("rs", "part"), ("rs", "part")):
        assert keep(book, {lawn: answer}, by) == {}
        assert answers(book.record(ground.id))[lawn] == answer
    today = [each for each in book.record(ground.id).of(lawn[0], kind="wish_lawn") if each.day == DAY]
    assert [each.typed for each in today] == ["part"]


def test_an_answer_of_the_sheet_s_own_day_is_corrected_not_doubled(book: Fieldbook) -> None:
    ground, lawn, _ = keys(book)
    assert keep(book, {lawn: "free"}, day=date(2015, 11, 5)) == {}
    (only,) = book.record(ground.id).of(lawn[0], kind="wish_lawn")
    assert (only.choice, only.observer) == ("free", "rs")


def test_a_ceiling_that_is_emptied_is_there_no_more_and_may_come_back(book: Fieldbook) -> None:
    ground, _, money = keys(book)
    keep(book, {money: "900"})
    assert keep(book, {money: ""}) == {}
    assert ceiling_of(book.record(ground.id), "budget_year") is None
    assert keep(book, {money: "700"}) == {}
    assert ceiling_of(book.record(ground.id), "budget_year") == 700.0


def test_what_is_wrong_keeps_all_from_being_written(book: Fieldbook) -> None:
    _, lawn, money = keys(book)
    before = book.state_hash()
    wrong = keep(book, {lawn: "stays", money: "much"})
    assert set(wrong) == {money}
    assert book.state_hash() == before


def test_where_a_property_stands_is_looked_up_anew_only_where_something_came(book: Fieldbook) -> None:
    ground, lawn, _ = keys(book)
    at_hand = Standings()
    first = at_hand.of(book, ground, Run(DAY))
    assert at_hand.of(book, ground, Run(DAY)) is first
    keep(book, {lawn: "stays"})
    second = at_hand.of(book, ground, Run(DAY))
    assert second is not first
    assert at_hand.of(book, ground, Run(DAY)) is second
    assert at_hand.of(book, ground, Run(date(2016, 1, 16))) is not second


def test_who_only_asks_makes_no_visit_of_a_programme(book: Fieldbook) -> None:
    ground, lawn, _ = keys(book)
    book.tell_programme(ground.id, ProgrammeStarted(slot="", offer_mark="ab" * 32, option=1, visits_a_year=4,
                                                    day=date(2016, 1, 1), price_until=date(2017, 1, 1)))
    keep(book, {lawn: "stays"})
    visits = programmes_of(book, ground, DAY)[1][0].visits
    assert {visit.state for visit in visits} == {"ahead"}
