"""Each page as people meet it: light and dark, narrow, with large letters, by keyboard, without script."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Literal

import pytest
from fastapi.routing import APIRoute, iter_route_contexts
from playwright.sync_api import Browser

from rootcase.web.app import create_app
from rootcase.web.desk import Desk
from tests.browser.looking import LAPTOP, Window, opened
from tests.browser.pages import NOT_LOOKED_AT, SEEN, Known, Seen
from tests.web.conftest import NOW

MOST_TABS, MOST_TABS_QUICK = 400, 15
WIDTHS = (360, 1280, 1680)
NAMES_OF_THE_PROGRAM = ("/practice/tables", "/practice/tables/{name:path}")
"""Pages that show tables as they are kept, with the names of their columns."""
Windows = dict[tuple[str, bool], Window]


@pytest.fixture(scope="session")
def desks(demo: Known, own: Known) -> dict[str, Known]:
    return {"demo": demo, "own": own, "nobody": Known(own.address, own.ids)}


@pytest.fixture(scope="module")
def windows(browser: Browser, desks: dict[str, Known]) -> Iterator[Windows]:
    """A browser for each desk, with script and without."""
    made = {(name, script): opened(browser, known, script) for name, known in desks.items() for script in (True, False)}
    yield made
    for window in made.values():
        window.page.context.close()


def named(seen: Seen) -> str:
    return f"{seen.desk}:{seen.at or seen.route}"


every_page = pytest.mark.parametrize("seen", SEEN, ids=named)


def test_every_page_is_looked_at() -> None:
    app = create_app(Desk(Path("none"), lambda: NOW, Path("none")))
    shown = {each.path for each in iter_route_contexts(app.routes) if isinstance(each.original_route, APIRoute)
             and "GET" in each.methods and not each.path.startswith("/api/")}
    looked_at = {seen.route for seen in SEEN if seen.status == 200 or seen.route in shown}
    assert shown - looked_at - NOT_LOOKED_AT.keys() == set()
    assert (looked_at | NOT_LOOKED_AT.keys()) - shown == set()


@every_page
def test_a_page(windows: Windows, seen: Seen, long: bool) -> None:
    window, plain = windows[seen.desk, True], windows[seen.desk, False]
    window.go(seen)
    words = () if seen.route in NAMES_OF_THE_PROGRAM else ("codeNames",)
    found = {"weight": window.too_heavy(), "words": window.check(*words),
             "keyboard": window.tab_through(MOST_TABS if long else MOST_TABS_QUICK),
             "laptop": on_a_laptop(window), "phone": on_a_phone_at_dusk(window), "faults": window.faults()}
    plain.go(seen)
    found["lost without script"] = sorted(window.ways_on() - plain.ways_on())
    wrong = [f"{what}: {each}" for what, faults in found.items() for each in faults]
    assert not wrong, "\n".join(wrong)


def on_a_laptop(window: Window) -> list[str]:
    wrong = window.check("smallTargets", "faintText", "brokenKeys")
    window.page.evaluate("document.documentElement.style.fontSize = '200%'")
    wrong += window.check("lostSideways", "spilled")
    window.page.evaluate("document.documentElement.style.fontSize = ''")
    return wrong


def on_a_phone_at_dusk(window: Window) -> list[str]:
    window.page.set_viewport_size({"width": 320, "height": 640})
    window.page.emulate_media(color_scheme="dark")
    return window.check("lostSideways", "spilled", "smallTargets", "faintText") + window.axe()


@pytest.mark.full
@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("width", WIDTHS)
@every_page
def test_a_page_everywhere(windows: Windows, seen: Seen, width: int, theme: Literal["light", "dark"]) -> None:
    window = windows[seen.desk, True]
    window.go(seen)
    window.page.set_viewport_size({"width": width, "height": LAPTOP["height"]})
    window.page.emulate_media(color_scheme=theme)
    assert window.check("lostSideways", "spilled", "smallTargets", "faintText") + window.axe(whole=True) == []
