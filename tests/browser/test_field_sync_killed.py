"""A browser killed by signal between the tap and the server's answer: what was said to be saved arrives once."""

from __future__ import annotations

import shutil
from collections.abc import Container
from pathlib import Path
from random import Random

import pytest

from rootcase.fieldbook.events import ReadingTaken
from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.web.desk import Desk
from tests.browser.field_killed import killing, missing
from tests.web.conftest import DRAWS, NOW

KILLS = 20
PLACES = 88
"""A place further on than the last is the end of the work."""


def record_killed(folder: Path, demo: Path, results: Path, browser: str, places: list[int]) -> dict[str, object]:
    """Record once a place, killed there; then open once more, send, and look at what is in the fieldbook."""
    shutil.copy(demo, folder / "demo.sqlite")
    desk = Desk(folder / "demo.sqlite", lambda: NOW, results, demo=True, draws=DRAWS)
    with open_fieldbook(desk.path) as book, killing(desk, folder / "profile", browser) as killed:
        before = marks(book)
        for place in places:
            what, said = killed.once(place, readings=2)
            assert what in ("kill", "done"), said
        what, said = killed.once(0, readings=0)
        assert (what, said.get("waiting"), said.get("why")) == ("done", 0, ""), said
        after = marks(book)
        arrived = {each: mark for each, mark in after.items() if each not in before}
        assert killed.said.items() <= arrived.items()
        assert arrived == {each["id"]: each["hash"] for each in said["held"]}
        photos = [body.attributes["photo"] for body in bodies(book, arrived) if body.attributes]
        assert all(book.photos.sound(mark) for mark in photos)
        return {"said": len(killed.said), "arrived": len(arrived), "photos": len(photos)}


def marks(book: Fieldbook) -> dict[str, str]:
    """The hash of each event of the first property, by its id."""
    with book.store.reading() as look:
        return {each.id: each.hash for each in look.events(book.properties()[0].id)}


def bodies(book: Fieldbook, wanted: Container[str]) -> list[ReadingTaken]:
    with book.store.reading() as look:
        return [each.body for each in look.events(book.properties()[0].id)
                if each.id in wanted and isinstance(each.body, ReadingTaken)]


@pytest.mark.full
@pytest.mark.parametrize("seed", range(50))
def test_a_browser_killed_at_many_places(tmp_path: Path, desk_folder: Path, desk_results: Path, seed: int) -> None:
    if why := missing("chromium"):
        pytest.skip(why)
    record_killed(tmp_path, desk_folder / "demo.sqlite", desk_results, "chromium",
                  Random(seed).sample(range(1, PLACES), 3))


@pytest.mark.full
@pytest.mark.parametrize("browser", ["chromium", "firefox", "webkit"])
def test_a_browser_killed_all_the_way(tmp_path: Path, desk_folder: Path, desk_results: Path, browser: str) -> None:
    """At every so many places from the tap to the answer."""
    if why := missing(browser):
        pytest.skip(why)
    places = [round(1 + at * (PLACES - 1) / (KILLS - 1)) for at in range(KILLS)]
    record_killed(tmp_path, desk_folder / "demo.sqlite", desk_results, browser, places)
