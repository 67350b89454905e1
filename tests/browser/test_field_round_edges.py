"""The edges of the day on the phone: a stop of tomorrow, work that was taken back, answers that cannot be kept, meters
that cannot be read, what was typed by hand, a job that is logged already."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.day_desk import GROUND, TOMORROW, UNSENT, Day, day_desk, offline, phone_of, until

TODAY, NEXT = "2016-05-02", "2016-05-03"
LOG, NOT_DONE = "Log what was put on", "Not done, because"
FULL_DISK = """() => {
  window.undoFull = IDBObjectStore.prototype.add;
  IDBObjectStore.prototype.add = () => { throw new DOMException("no room", "QuotaExceededError"); }; }"""


@pytest.fixture(scope="module")
def day(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Day]:
    with day_desk(tmp_path_factory.mktemp("edges")) as opened:
        steps = opened.steps()
        gone = replace(steps[3], job_ids=("none",), starts_min=800.0, ends_min=830.0)
        opened.give([*steps, gone])
        opened.give(steps, TOMORROW)
        yield opened


@pytest.fixture(scope="module")
def phone(browser: Browser, day: Day) -> Iterator[Page]:
    with phone_of(browser, day) as page:
        until(page, GROUND, True, day.property_id)
        offline(page.context, page)
        yield page


def go(page: Page, where: str) -> None:
    before = page.locator("main h1, main p").first.element_handle()
    page.evaluate("hash => { location.hash = hash; }", where)
    page.wait_for_function("before => !before.isConnected", arg=before)


def tap(page: Page, name: str) -> None:
    page.locator("main").get_by_role("button", name=name, exact=True).click()


def to_stop(page: Page, day: Day, remedy: str = "extract", on: str = TODAY) -> None:
    go(page, "#/settings")
    go(page, f"#/stop/{on}/{day.jobs[remedy].id}")


def to_log(page: Page, day: Day, remedy: str = "extract", more: str = "") -> None:
    of = "extract" if remedy == "mulch" else remedy
    go(page, "#/settings")
    go(page, f"#/log/{TODAY}/{day.jobs[of].id}/{day.jobs[remedy].id}{more}")


def test_a_stop_of_tomorrow_is_neither_started_nor_squeezed_nor_logged_today(phone: Page, day: Day) -> None:
    to_stop(phone, day, on=NEXT)
    expect(phone.locator("main")).to_contain_text("This stop is for 3 May 2016. It is started and logged on its day.")
    for name in ("Start stop", "Yes, drips"):
        assert phone.get_by_role("button", name=name).count() == 0, name
    assert phone.locator("main a[href^='#/log/']").count() == 0
    go(phone, f"#/log/{NEXT}/{day.jobs['extract'].id}/{day.jobs['extract'].id}")
    expect(phone.locator("main")).to_contain_text("It is logged on its day.")
    go(phone, f"#/round/{NEXT}")
    assert phone.locator("main .weld").count() == 0


def test_a_stop_whose_work_was_taken_back_is_not_told_as_done(phone: Page) -> None:
    go(phone, "#/today/1")
    expect(phone.locator("section.round h1")).to_have_text("crew 1, 2 May: 3 stops, 0 done")
    go(phone, f"#/stop/{TODAY}/none")
    expect(phone.locator(".at-foot")).to_contain_text("The work was taken back. Ask the office")


def test_the_gate_closes_where_what_was_seen_cannot_be_kept(phone: Page, day: Day) -> None:
    to_stop(phone, day)
    phone.evaluate(FULL_DISK)
    tap(phone, "Yes, drips")
    expect(phone.locator(".caution.stop", has_text="Too wet for liquid and air here.")).to_be_visible()
    expect(phone.locator("main")).to_contain_text("Not saved")
    phone.evaluate("() => { IDBObjectStore.prototype.add = window.undoFull; }")


def test_two_answers_tapped_fast_are_one_squeeze(phone: Page, day: Day) -> None:
    to_stop(phone, day)
    phone.evaluate("""() => { for (const words of ["No, holds", "Yes, drips"])
      [...document.querySelectorAll("main button")].find((each) => each.textContent === words).click(); }""")
    expect(phone.locator(".caution.stop", has_text="Too wet")).to_be_visible()
    until(phone, UNSENT, 2)
    slots = phone.evaluate("""async (id) => (await (await import("/static/field/keeping.js")).events(id))
      .map(({ body }) => [body.slot, body.state])""", day.property_id)
    assert [state for _, state in slots] == ["fit", "saturated"]
    assert len({slot for slot, _ in slots}) == 1
    tap(phone, "No, holds")
    until(phone, UNSENT, 3)
