"""Drawing on the map: by pointer, by keyboard, without script; whatever way, the same corners are kept."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.pages import Known


@pytest.fixture
def page(browser: Browser, own: Known) -> Iterator[Page]:
    with browser.new_context(viewport={"width": 1280, "height": 1000}) as context:
        context.add_cookies([{"name": "rootcase", "value": own.cookie, "url": own.address}])
        opened = context.new_page()
        opened.on("pageerror", lambda error: pytest.fail(f"script: {error}"))
        yield opened


def open_map(page: Page, own: Known, tool: str) -> None:
    page.goto(f"{own.address}/properties/{own.ids['property_id']}/map?x=50&y=40&w=100&tool={tool}")


def corners(page: Page) -> list[tuple[float, ...]]:
    return [tuple(float(part) for part in line.split(",")) for line in page.input_value("#corners").splitlines()]


def test_a_touch_sets_a_corner_where_it_is_and_a_drag_moves_the_map(page: Page, own: Known) -> None:
    open_map(page, own, "line")
    box = page.locator("#map .wide svg").bounding_box()
    assert box is not None
    frame = page.locator("#map .wide .frame").bounding_box()
    assert frame is not None
    # The middle of the frame is what was asked for: 50 m east, 40 m north.
    middle = frame["x"] + frame["width"] / 2, frame["y"] + frame["height"] / 2
    page.mouse.click(*middle)
    page.mouse.click(middle[0] + frame["width"] / 4, middle[1])
    assert corners(page)[0] == pytest.approx((50 / 0.3048, 40 / 0.3048), abs=0.5)
    assert corners(page)[1] == pytest.approx((75 / 0.3048, 40 / 0.3048), abs=0.5)
    assert page.locator(".sketch circle").count() == 2
    page.mouse.move(*middle)
    page.mouse.down()
    page.mouse.move(middle[0] - frame["width"] / 10, middle[1], steps=4)
    page.mouse.up()
    page.wait_for_url(re.compile(r"x=(59|60|61)"))
    assert len(corners(page)) == 2, "a drag is no corner"
    page.fill("#name", "drawn by hand")
    page.click("button.weld")
    page.wait_for_url(re.compile(r"/map\?x=(59|60|61)"))
    assert page.get_by_role("row", name=re.compile("drawn by hand")).count() == 1


def test_everything_is_drawn_by_keys_and_esc_loses_nothing(page: Page, own: Known) -> None:
    open_map(page, own, "keep_off")
    page.focus("#map")
    for keys in (("ArrowUp",) * 3, ("ArrowRight",) * 5, ("ArrowDown",) * 4):
        for key in keys:
            page.keyboard.press(key)
        page.keyboard.press("Enter")
    assert len(corners(page)) == 3
    assert corners(page)[1][0] - corners(page)[0][0] == pytest.approx(5 * 100 / 60 / 0.3048, abs=0.02)
    page.keyboard.press("ArrowUp")
    page.keyboard.press("Enter")
    page.keyboard.press("Backspace")
    assert len(corners(page)) == 3
    assert "Corner" in (page.text_content("#live") or "") or page.text_content("#live") == "3"
    page.keyboard.press("Escape")
    assert page.evaluate("document.activeElement.id") == "corners"
    assert len(corners(page)) == 3
    page.keyboard.press("Shift+Tab")
    page.fill("#name", "drawn by keys")
    page.fill("#reason", "a test")
    page.press("#name", "Enter")
    page.wait_for_url(re.compile(r"/map\?x="))
    assert page.get_by_role("row", name=re.compile("drawn by keys")).count() == 1


def test_nearer_and_farther_by_keys_change_the_picture_and_the_address(page: Page, own: Known) -> None:
    open_map(page, own, "line")
    page.focus("#map")
    page.keyboard.press("+")
    page.wait_for_url(re.compile("w=50.00"))
    page.click("[data-move=farther]")
    page.wait_for_url(re.compile("w=100.00"))
    ground = page.locator("#map .wide .ground")
    assert float(ground.get_attribute("data-wide") or 0) == pytest.approx(100)


def test_without_script_the_links_move_the_map_and_the_form_draws(browser: Browser, own: Known) -> None:
    with browser.new_context(java_script_enabled=False) as context:
        context.add_cookies([{"name": "rootcase", "value": own.cookie, "url": own.address}])
        page = context.new_page()
        open_map(page, own, "line")
        page.click("[data-move=nearer]")
        assert "w=50.00" in page.url
        page.fill("#name", "drawn by typing")
        page.fill("#corners", "0, 0\n10, 20")
        page.click("button.weld")
        page.get_by_role("row", name=re.compile("drawn by typing")).wait_for()
