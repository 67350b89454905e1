"""Which day it is: where the practice's ground lies, whatever the machine's own clock goes by."""

from __future__ import annotations

import shutil
import time
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from rootcase.web.desk import OWN, Desk
from tests.web.conftest import NOW

EVENING = datetime(2016, 1, 16, 0, 30, tzinfo=UTC)
"""Half past four in the afternoon of the 15th in Seattle."""


@pytest.fixture
def path(desk_folder: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(desk_folder / "demo.sqlite", tmp_path / "own.sqlite"))


@pytest.mark.skipif(not hasattr(time, "tzset"), reason="Windows keeps one clock for all")
@pytest.mark.parametrize("machine", ["UTC", "Pacific/Auckland"])
def test_the_day_is_that_of_the_ground(path: Path, tmp_path: Path, machine: str,
                                       monkeypatch: pytest.MonkeyPatch) -> None:
    desk = Desk(path, lambda: EVENING, tmp_path)
    assert {each.time_zone for each in desk.grounds(OWN).values()} >= {"America/Los_Angeles"}
    with monkeypatch.context() as clock:
        clock.setenv("TZ", machine)
        time.tzset()
        days = desk.today(OWN), desk.run(OWN).today
    time.tzset()
    assert days == (date(2016, 1, 15), date(2016, 1, 15))


def test_a_practice_without_ground_goes_by_the_machine(tmp_path: Path) -> None:
    desk = Desk(tmp_path / "new.sqlite", lambda: NOW, tmp_path)
    assert desk.today(OWN) == NOW.astimezone().date()
