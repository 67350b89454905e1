"""The browser killed by signal at the first look's own Save key: what it said is saved is there, and arrives once."""

from __future__ import annotations

import os
import shutil
import signal
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from typing import Any

import pytest
from playwright.sync_api import Browser, Error, Page

from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.web.desk import Desk
from tests.browser.conftest import QUIET, answering
from tests.browser.field_phone import MODEL
from tests.web.conftest import DRAWS, NOW

READINGS = ("shoot_length_last", "shoot_position")
PLACES = {False: 52, True: 73}
"""By whether there is a network; the last is further on than the end of the work."""
AT_ONCE = 4
"""Kills of one profile."""
WATCH = """globalThis.dieAt = (place) => {
    let at = 0;
    watchPlaces(() => { at += 1; if (at === place) debugger; });
};"""
SAID = """document.body.innerText.includes("Saved on this phone")
    || Boolean(document.querySelector("main .count")?.textContent)"""
READY = """async (id) => navigator.serviceWorker.controller?.state === "activated"
    && (await (await import("/static/field/keeping.js")).grounds()).some((one) => one.id === id)"""
UNSENT = "async () => (await (await import('/static/field/keeping.js')).unsent()).events.length"
OWN = "async (id) => (await (await import('/static/field/keeping.js')).events(id)).map(({ id, hash }) => [id, hash])"
PATIENCE = 1200
"""Times to look, 25 ms apart: only what never comes takes so long."""


@dataclass
class Dying:
    """A phone whose profile stays, and each of whose browsers is killed."""

    browser: Browser
    profile: Path
    address: str
    property_id: str
    trees: Iterator[str]
    said: list[str] = field(default_factory=list)
    """Trees of which it said that a reading is saved."""

    @contextmanager
    def opened(self, *, online: bool) -> Iterator[Page]:
        context = self.browser.browser_type.launch_persistent_context(
            self.profile, executable_path=shutil.which("chromium"), args=list(QUIET), offline=not online,
            viewport={"width": 360, "height": 800}, has_touch=True)
        page = context.pages[0]
        page.add_init_script((MODEL / "places.js").read_text(encoding="utf-8"))
        page.add_init_script(WATCH)
        try:
            yield page
        finally:
            self.kill()
            with suppress(Error):
                context.close()

    def kill(self) -> None:
        """Kill every process of the browser, as a system does that wants the room."""
        for process in Path("/proc").glob("[0-9]*"):
            with suppress(OSError):
                if f"--user-data-dir={self.profile}" in (process / "cmdline").read_text().split("\0"):
                    os.kill(int(process.name), signal.SIGKILL)

    def save(self, place: int, *, online: bool) -> None:
        """Tap Save at a tree that had none, stand still at the place, see what is said there, and die."""
        tree = next(self.trees)
        with self.opened(online=online) as page:
            page.goto(f"{self.address}/field#/look/{self.property_id}/{tree}/shoots")
            for key in ("4", "upper"):
                page.get_by_role("button", name=key, exact=True).click()
            session = page.context.new_cdp_session(page)
            session.send("Debugger.enable")
            told: list[bool] = []

            def stopped(at: dict[str, Any]) -> None:
                asked = {"callFrameId": at["callFrames"][0]["callFrameId"], "expression": SAID}
                told.append(session.send("Debugger.evaluateOnCallFrame", asked)["result"]["value"])
                self.kill()

            session.on("Debugger.paused", stopped)
            page.evaluate("place => dieAt(place)", place)
            with suppress(Error):
                page.get_by_role("button", name="Save 4 in", exact=True).click()
                page.locator(".saved").wait_for()
                if place < PLACES[online]:
                    page.wait_for_timeout(5000)
                told.append(page.evaluate(SAID))
            if told[0]:
                self.said.append(tree)


def looked_killed(browser: Browser, folder: Path, demo: Path, results: Path, places: list[tuple[int, bool]]) -> None:
    """Save once a place, killed there; then open once more with a network, and look at what is in the fieldbook."""
    shutil.copy(demo, folder / "demo.sqlite")
    desk = Desk(folder / "demo.sqlite", lambda: NOW, results, demo=True, draws=DRAWS)
    with open_fieldbook(desk.path) as book, answering(desk) as address:
        record, before = book.record(book.properties()[0].id), taken(book)
        dying = Dying(browser, folder / "profile", address, record.property.id, (tree.id for tree in record.trees))
        with dying.opened(online=True) as page:
            page.goto(f"{address}/field")
            until(page, READY, True, record.property.id)
        for place, online in places:
            dying.save(place, online=online)
        with dying.opened(online=True) as page:
            page.goto(f"{address}/field")
            until(page, UNSENT, 0)
            own = page.evaluate(OWN, record.property.id)
        arrived = [each for each in taken(book) if each not in before]
        assert sorted([each[0], each[1]] for each in arrived) == sorted(own)
        of = Counter((of, kind) for _, _, of, kind in arrived if kind in READINGS)
        assert set(of.values()) <= {1}
        assert {(tree, kind) for tree in dying.said for kind in READINGS} <= set(of)


def taken(book: Fieldbook) -> list[tuple[str, str, str, str]]:
    """Id and hash of each event, and of readings what they are of and their kind."""
    with book.store.reading() as look:
        return [(each.id, each.hash, getattr(each.body, "of", ""), getattr(each.body, "kind", ""))
                for each in look.events(book.properties()[0].id)]


def until(page: Page, look: str, wanted: object, given: object = None) -> None:
    found = None
    for _ in range(PATIENCE):
        with suppress(Error):  # the page is just being loaded
            found = page.evaluate(look, given)
        if found == wanted:
            return
        page.wait_for_timeout(25)
    raise AssertionError(found)


def test_a_save_key_that_was_killed_loses_and_doubles_nothing(browser: Browser, tmp_path: Path, desk_folder: Path,
                                                             desk_results: Path) -> None:
    place = Random(8).randrange(1, PLACES[False])
    looked_killed(browser, tmp_path, desk_folder / "demo.sqlite", desk_results, [(place, False)])


@pytest.mark.full
@pytest.mark.parametrize("first", range(1, PLACES[False], AT_ONCE))
def test_a_save_key_killed_at_every_place(browser: Browser, tmp_path: Path, desk_folder: Path, desk_results: Path,
                                          first: int) -> None:
    """Without a network at each place, and with one at random."""
    places = [(place, False) for place in range(first, first + AT_ONCE)]
    places.append((Random(first).randrange(1, PLACES[True]), True))
    looked_killed(browser, tmp_path, desk_folder / "demo.sqlite", desk_results, places)
