"""Counting by keys and mending lines over a photo: whatever way, the form holds what is seen."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.pages import Known


@pytest.fixture
def page(browser: Browser, demo: Known) -> Iterator[Page]:
    with browser.new_context(viewport={"width": 1280, "height": 1000}) as context:
        opened = context.new_page()
        opened.on("pageerror", lambda error: pytest.fail(f"script: {error}"))
        yield opened


def test_keys_count_into_the_text_and_back(page: Page, demo: Known) -> None:
    page.goto(f"{demo.address}/make/slides/new?method=chamber")
    for key in ("Space", "Space", "Space", "Enter", "Space", "Backspace", "Space", "Space"):
        page.keyboard.press(key)
    assert page.input_value("#counts") == "3 2"
    page.click("[data-one]")
    assert page.input_value("#counts") == "3 3"
    assert page.text_content(".fields-so-far") == "field 2"
    page.fill("#counts", "0-3 mm: 4 5\n3-6 mm: 2")
    page.click("[data-next]")
    page.click("[data-one]")
    assert page.input_value("#counts") == "0-3 mm: 4 5\n3-6 mm: 2 1"
    page.focus("#source_id")
    page.keyboard.press("Space")
    assert page.input_value("#counts").endswith("2 1"), "what is typed elsewhere counts nothing"


def test_feeding_groups_are_counted_by_number_aliquot_by_aliquot(page: Page, demo: Known) -> None:
    page.goto(f"{demo.address}/make/slides/new?method=sieve")
    for key in ("1", "1", "2", "Enter", "1", "3"):
        page.keyboard.press(key)
    groups = [page.input_value(f"[id='counts.{name}']") for name in ("bacterivore", "fungivore", "herbivore")]
    assert groups == ["2 1", "1 0", "0 1"]


def test_a_button_keeps_its_own_keys_and_a_tally_counts_for_itself(page: Page, demo: Known) -> None:
    page.goto(f"{demo.address}/make/slides/new?method=sieve")
    first, second = page.locator("[data-one]").nth(0), page.locator("[data-one]").nth(1)
    second.focus()
    page.keyboard.press("Space")
    assert (first.text_content() or "").startswith("0")
    assert (second.text_content() or "").startswith("1")
    page.focus("[data-next]")
    page.keyboard.press("Space")
    page.focus("[data-back]")
    page.keyboard.press("Enter")
    assert page.text_content(".fields-so-far") == "field 1"
    page.evaluate("addEventListener('submit', (event) => event.preventDefault())")
    for key in ("Space", "1", "Backspace"):
        page.focus("button[value='try']")
        page.keyboard.press(key)
    assert [page.input_value(f"[id='counts.{name}']") for name in ("bacterivore", "fungivore")] == ["", "1"]


def test_a_click_deletes_a_line_and_clicks_beside_it_draw(page: Page, demo: Known) -> None:
    page.goto(f"{demo.address}/make/slides/{demo.ids['photos_id']}/photos/{demo.ids['photo_id']}")
    first = page.locator("[data-line='0'] .grab")
    first.dispatch_event("click")
    assert page.is_checked("[name='gone.0']")
    assert "gone" in (page.get_attribute("[data-line='0'] polyline", "class") or "")
    first.dispatch_event("click")
    assert not page.is_checked("[name='gone.0']")
    box = page.locator("[data-over]").bounding_box()
    assert box is not None
    for x, y in ((10, 10), (60, 40)):
        page.locator("[data-over]").click(position={"x": x, "y": y})
    page.click("[data-end]")
    page.locator("[data-over]").click(position={"x": 30, "y": 90})
    lines = page.input_value("#drawn").split("; ")
    assert [line.count(",") + 1 for line in lines] == [2, 1]
    assert float(lines[0].split()[0]) == pytest.approx(10 * 800 / box["width"], abs=1.0)
    page.click("[data-last]")
    assert page.locator(".over .hand").count() == 1
