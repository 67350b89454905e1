"""What is told of the ground: each told once holds until it is told anew or holds no more."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from rootcase.fieldbook.applied.ground_use import BloomTold, LocateTold, SqueezeTold, UseTold
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.ground.errors import Missing
from rootcase.records.apply.told import Use
from tests.fieldbook.sheets import SHEET, open_book, write_sheet

FIRST, LAST = date(2016, 5, 2), date(2016, 5, 6)
LOCATE = LocateTold(slot="l", by="rs", number="412", first=FIRST, last=LAST)


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Fieldbook]:
    with open_book(tmp_path / "book.sqlite") as book:
        book.import_sheet(write_sheet(tmp_path / "sheet", SHEET))
        yield book


def test_a_locate_told_anew_takes_the_place_of_the_one_before(book: Fieldbook) -> None:
    ground = book.properties()[0].id
    first = book.applying.tell_ground(ground, LOCATE)
    book.applying.tell_ground(ground, replace(LOCATE, supersedes=first.id, last=date(2016, 5, 9)))
    assert [(each.number, each.last) for each in book.applying.ground(ground).locates] == [("412", date(2016, 5, 9))]


def test_what_holds_no_more_is_left_out(book: Fieldbook) -> None:
    ground = book.properties()[0].id
    first = book.applying.tell_ground(ground, LOCATE)
    book.applying.tell_ground(ground, replace(LOCATE, supersedes=first.id, holds=False))
    assert book.applying.ground(ground).locates == ()


def test_only_ground_that_is_there_is_spoken_of(book: Fieldbook) -> None:
    ground = book.properties()[0].id
    for body in (UseTold(slot="u", by="rs", name="match", first=FIRST, last=LAST, place="nowhere"),
                 BloomTold(slot="b", by="rs", of="nothing", first=FIRST, last=LAST),
                 SqueezeTold(slot="s", by="rs", place="nowhere", day=FIRST, state="fit")):
        with pytest.raises(Missing, match="no such place or tree"):
            book.applying.tell_ground(ground, body)
    with pytest.raises(Missing, match="no such property"):
        book.applying.tell_ground("nowhere", LOCATE)


def test_what_is_told_of_the_ground_outdates_no_plan(book: Fieldbook) -> None:
    ground = book.properties()[0].id
    before = book.arrivals.reach(ground)
    book.applying.tell_ground(ground, LOCATE)
    assert book.arrivals.since(ground, before.received) == ()
    assert book.arrivals.anything_since(ground, before.received)


def test_days_of_a_use_follow_on_each_other_or_come_every_week() -> None:
    days = Use(id="u", name="camp", first=FIRST, last=LAST)
    assert [days.on(day) for day in (FIRST, LAST, date(2016, 5, 7))] == [True, True, False]
    assert days.until(FIRST) == LAST
    matches = Use(id="m", name="match", first=FIRST, last=date(2016, 6, 30), weekdays=(5, 6))
    assert [matches.on(day) for day in (date(2016, 5, 7), FIRST)] == [True, False]
    assert matches.until(date(2016, 5, 7)) == date(2016, 5, 8)
