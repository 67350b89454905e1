"""The day of the practice: by the clock of most of its properties, on every machine."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from rootcase.cli.options import today_of
from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.records.observe import Property
from rootcase.services.practice_day import practice_day
from rootcase.web.desk import Desk
from tests.fieldbook.sheets import whole_property

EVENING = datetime(2016, 5, 2, 1, tzinfo=UTC)
"""Six in the evening of the 1st on the west coast."""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    with open_fieldbook(tmp_path / "book.sqlite", now=lambda: EVENING) as book, book.store.writing() as turn:
        turn.add(whole_property())
    return tmp_path / "book.sqlite"


def test_commands_and_pages_have_one_day(path: Path) -> None:
    with open_fieldbook(path, now=lambda: EVENING) as book:
        assert today_of(book) == date(2016, 5, 1)
    desk = Desk(path, lambda: EVENING, path.parent / "results")
    assert desk.today("own") == date(2016, 5, 1)
    desk.close()


def test_most_properties_say_which_day_it_is(path: Path) -> None:
    with open_fieldbook(path, now=lambda: EVENING) as book:
        west: Property = book.properties()[0]
    sydney = replace(west, id="s", time_zone="Australia/Sydney")
    assert practice_day([west, sydney, sydney], EVENING) == date(2016, 5, 2)
    assert practice_day([west, west, sydney], EVENING) == date(2016, 5, 1)
    nowhere = replace(west, time_zone="")
    assert practice_day([nowhere], EVENING) == practice_day([], EVENING) == EVENING.astimezone().date()
