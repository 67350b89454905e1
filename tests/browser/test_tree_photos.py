"""Mending what was found on a photo of a tree: whatever is clicked, the form holds what is seen."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.pages import Known


@pytest.fixture
def page(browser: Browser, demo: Known) -> Iterator[Page]:
    with browser.new_context(viewport={"width": 360, "height": 800}) as context:
        opened = context.new_page()
        opened.on("pageerror", lambda error: pytest.fail(f"script: {error}"))
        yield opened


def open_photo(page: Page, demo: Known, name: str) -> None:
    page.goto(f"{demo.address}/properties/{demo.ids['property_id']}/trees/{demo.ids['tree_id']}/photos/"
              f"{demo.ids[name]}")


def test_a_click_leaves_a_leaf_out_and_clicks_round_one_outline_it(page: Page, demo: Known) -> None:
    open_photo(page, demo, "measured_id")
    page.locator("[data-line='1'] .grab").dispatch_event("click")
    assert page.is_checked("[name='gone.1']")
    assert "gone" in (page.get_attribute("[data-line='1'] polygon", "class") or "")
    page.check("[data-larger]")
    for x, y in ((10, 10), (60, 10), (40, 40)):
        page.locator("[data-over]").click(position={"x": x, "y": y})
    page.click("[data-end]")
    box = page.locator("[data-over]").bounding_box()
    assert box is not None
    assert box["width"] > 2 * page.locator(".over").bounding_box()["width"]  # type: ignore[index]
    assert float(page.input_value("#drawn").split()[0]) == pytest.approx(10 * 1600 / box["width"], abs=2.0)
    assert page.input_value("#drawn").count(",") == 2
    assert page.locator(".over polygon.hand").count() == 1


def test_a_click_points_to_one_place_of_soil(page: Page, demo: Known) -> None:
    open_photo(page, demo, "soil_id")
    for x, y in ((20, 20), (100, 80)):
        page.locator("[data-over]").click(position={"x": x, "y": y})
    assert len(page.input_value("#drawn").split()) == 2
    assert page.locator(".over .hand").count() == 1
