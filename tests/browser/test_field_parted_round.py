"""A job in two parts through the real desk: without a network each part is a stop with a log of its own, and both
arrive."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.day_desk import GROUND, SEND, UNSENT, Day, day_desk, offline, phone_of, until

LOG = "Log what was put on"


@pytest.fixture(scope="module")
def day(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Day]:
    with day_desk(tmp_path_factory.mktemp("parts")) as opened:
        fill, wet, rest, _ = opened.steps()
        first = replace(wet, job_ids=wet.job_ids[:1], litres=55.0, part=1)
        second = replace(first, starts_min=700.0, ends_min=735.0, part=2)
        opened.give([fill, first, rest, second])
        yield opened


def to(page: Page, *where: str) -> None:
    page.evaluate("hash => { location.hash = hash; }", "/".join(("#", where[0], "2016-05-02", *where[1:])))


def log(page: Page, day: Day, step: str, volume: str) -> None:
    to(page, "log", step, day.jobs["extract"].id)
    form = page.locator("form.log")
    form.get_by_text("The plan says 14.5 gal.").wait_for()
    form.locator("[name=volume]").fill(volume)
    form.get_by_role("button", name=LOG, exact=True).click()
    page.locator("main h2", has_text="Squeeze").wait_for()


def test_each_part_is_logged_at_its_own_stop_without_a_network_and_both_arrive(browser: Browser, day: Day) -> None:
    job = day.jobs["extract"].id
    with phone_of(browser, day) as page:
        until(page, GROUND, True, day.property_id)
        offline(page.context, page)
        shown = page.locator("section.round h1")
        expect(shown).to_have_text("crew 1, 2 May: 2 stops, 0 done")
        log(page, day, job, "50 L")
        to(page, "log", job, job)
        page.get_by_text("This is logged already.").wait_for()
        to(page, "log", f"{job}-2", job)
        expect(page.locator("form.log [name=volume]")).to_have_value("14.53")
        page.evaluate("location.hash = '#/today'")
        expect(shown).to_have_text("crew 1, 2 May: 2 stops, 1 done")
        log(page, day, f"{job}-2", "60 L")
        page.evaluate("location.hash = '#/today'")
        page.get_by_text("Every stop of the round is logged.").wait_for()
        assert day.logged() == []
        page.context.set_offline(False)
        page.evaluate(SEND)
        until(page, UNSENT, 0)
    assert [(each.jobs, each.part, each.volume_l) for each in day.logged()] == [((job,), 1, 50.0), ((job,), 2, 60.0)]
