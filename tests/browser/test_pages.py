"""Each page as people meet it: light and dark, narrow, with large letters, by keyboard, without script."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.routing import APIRoute, iter_route_contexts
from playwright.sync_api import Browser, BrowserContext

from rootcase.web.app import create_app
from rootcase.web.desk import Desk
from tests.browser.looking import Window, signed_in, window
from tests.browser.pages import NOT_LOOKED_AT, SEEN, Known, Seen
from tests.web.conftest import NOW

MOST_TABS, MOST_TABS_QUICK = 400, 40
WIDTHS = (360, 1280, 1680)
Contexts = dict[tuple[str, bool], BrowserContext]


@pytest.fixture(scope="session")
def desks(demo: Known, own: Known) -> dict[str, Known]:
    return {"demo": demo, "own": own, "nobody": Known(own.address, own.ids)}


@pytest.fixture(scope="session")
def contexts(browser: Browser, desks: dict[str, Known]) -> Iterator[Contexts]:
    """A browser for each desk, with script and without."""
    made = {(name, script): signed_in(browser, known, script)
            for name, known in desks.items() for script in (True, False)}
    yield made
    for context in made.values():
        context.close()


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
def test_a_page(contexts: Contexts, desks: dict[str, Known], seen: Seen, long: bool) -> None:
    with window(contexts[seen.desk, True], desks[seen.desk]) as opened:
        opened.go(seen)
        found = {"weight": opened.too_heavy(), "keyboard": opened.tab_through(MOST_TABS if long else MOST_TABS_QUICK),
                 "laptop": on_a_laptop(opened),
                 "phone": on_a_phone_at_dusk(opened), "faults": opened.faults()}
        with_script = opened.ways_on()
    with window(contexts[seen.desk, False], desks[seen.desk]) as plain:
        plain.go(seen)
        found["lost without script"] = sorted(with_script - plain.ways_on())
    wrong = [f"{what}: {each}" for what, faults in found.items() for each in faults]
    assert not wrong, "\n".join(wrong)


def on_a_laptop(opened: Window) -> list[str]:
    opened.page.set_viewport_size({"width": 1280, "height": 900})
    wrong = opened.check("smallTargets", "faintText")
    opened.page.evaluate("document.documentElement.style.fontSize = '200%'")
    wrong += opened.check("lostSideways", "spilled")
    opened.page.evaluate("document.documentElement.style.fontSize = ''")
    return wrong


def on_a_phone_at_dusk(opened: Window) -> list[str]:
    opened.page.set_viewport_size({"width": 320, "height": 640})
    opened.page.emulate_media(color_scheme="dark")
    return opened.check("lostSideways", "spilled", "smallTargets", "faintText") + opened.axe()


@pytest.mark.slow
@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("width", WIDTHS)
@every_page
def test_a_page_everywhere(contexts: Contexts, desks: dict[str, Known], seen: Seen, width: int, theme: str,
                           long: bool) -> None:
    if not long:
        pytest.skip("with --long")
    with window(contexts[seen.desk, True], desks[seen.desk]) as opened:
        opened.page.set_viewport_size({"width": width, "height": 900})
        opened.page.emulate_media(color_scheme="dark" if theme == "dark" else "light")
        opened.go(seen)
        assert opened.check("lostSideways", "spilled", "smallTargets", "faintText") + opened.axe(contrast=True) == []
