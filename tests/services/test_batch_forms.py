"""A time of the clock typed for a step of a batch is the newest moment that showed it, or is asked about."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from rootcase.services import batch_heap, make_batch
from rootcase.services.batch_forms import take_step
from rootcase.services.batch_seen import batch_seen
from rootcase.services.make_batch import start_batch
from tests.fieldbook.making.batch_world import Clock, Yard, usable_heap

Typed = Callable[..., datetime | dict[str, str]]


@pytest.fixture
def typed_at(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Typed:
    """When a step was told to be, or what was wrong; the place is Los Angeles."""
    for module in (batch_heap, make_batch):
        monkeypatch.setattr(module, "heap_use", usable_heap)

    def tell(now: datetime, text: str, which: str = "") -> datetime | dict[str, str]:
        clock = Clock(now)
        with Yard(tmp_path / f"{now:%m%d%H%M}{text}{which}.sqlite".replace(":", ""), clock).open() as book:
            batch = start_batch(book, "h4", "rs")
            wrong = take_step(book, batch_seen(book, batch.id), "vat", {"cleaned": "yes", "at": text, "which": which},
                              "rs", "us")
            told = make_batch.batches(book)[0].newest("vat")
            return told.at if told else dict(wrong)

    return tell


@pytest.mark.parametrize(("now", "text", "at"), [
    (datetime(2016, 5, 3, 16, 30, tzinfo=UTC), "9:05", datetime(2016, 5, 3, 16, 5, tzinfo=UTC)),
    (datetime(2016, 5, 3, 16, 30, tzinfo=UTC), "", datetime(2016, 5, 3, 16, 30, tzinfo=UTC)),
    (datetime(2016, 5, 3, 8, 0, tzinfo=UTC), "11:50 pm", datetime(2016, 5, 3, 6, 50, tzinfo=UTC)),
    # The second 1:30 of that night is still to come.
    (datetime(2016, 11, 6, 9, 10, tzinfo=UTC), "1:30", datetime(2016, 11, 6, 8, 30, tzinfo=UTC)),
    # The hour that is left out lies ahead, so that it is yesterday's.
    (datetime(2017, 3, 12, 9, 0, tzinfo=UTC), "2:30", datetime(2017, 3, 11, 10, 30, tzinfo=UTC)),
], ids=("today", "now", "over midnight", "once so far", "yesterday"))
def test_a_time_of_the_clock_is_the_newest_moment_that_showed_it(typed_at: Typed, now: datetime, text: str,
                                                                 at: datetime) -> None:
    assert typed_at(now, text) == at


def test_an_hour_that_came_twice_is_asked_about_beside_its_field(typed_at: Typed) -> None:
    now = datetime(2016, 11, 6, 11, 0, tzinfo=UTC)
    asked = typed_at(now, "1:30")
    assert isinstance(asked, dict)
    assert list(asked) == ["which"]
    assert "came twice" in asked["which"]
    assert typed_at(now, "1:30", "first") == datetime(2016, 11, 6, 8, 30, tzinfo=UTC)
    assert typed_at(now, "1:30", "second") == datetime(2016, 11, 6, 9, 30, tzinfo=UTC)


def test_an_hour_that_never_was_is_refused_beside_its_field(typed_at: Typed) -> None:
    refused = typed_at(datetime(2017, 3, 12, 12, 0, tzinfo=UTC), "2:30")
    assert isinstance(refused, dict)
    assert list(refused) == ["at"]
    assert "never was" in refused["at"]
