"""The edges of the day on the phone: a stop of tomorrow, work that was taken back, answers that cannot be kept, meters
that cannot be read, what was typed by hand, a job that is logged already."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from playwright.sync_api import Browser, Page, expect

from rootcase.fieldbook.applied.ground_use import SqueezeTold
from tests.browser.day_desk import GROUND, SEND, TOMORROW, UNSENT, Day, day_desk, offline, phone_of, until

TODAY, NEXT = "2016-05-02", "2016-05-03"
LOG, NOT_DONE = "Log what was put on", "Not done, because"
GROUND_LOADS = """async (id) => (await (await import("/static/field/keeping.js")).ofProperty(id)).extract.loads"""
REORDER = """async () => { const book = await import("/static/field/keeping.js");
  const turned = (step) => (step.tasks.length > 1 ? { ...step, tasks: step.tasks.toReversed(), id: step.tasks[1].id }
    : step);
  await book.setSelf(({ rounds }) => ({ rounds: { ...rounds, told: { ...rounds.told,
    rounds: rounds.told.rounds.map((each) => ({ ...each, steps: each.steps.map(turned) })) } } })); }"""
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


def test_a_load_is_prefilled_only_where_one_can_be_meant(phone: Page, day: Day) -> None:
    loads = """async ([id, loads]) => { const book = await import("/static/field/keeping.js");
      await book.changeGround(id, { extract: { loads, missing: "" } }); }"""
    known = phone.evaluate(GROUND_LOADS, day.property_id)
    one = next(each for each in known if each["batch_id"] == day.batch)
    chosen = phone.locator("[name=load]")
    for told, load in (([one], one["id"]), ([one | {"id": "other"}, one], ""),
                       ([one | {"id": "late", "filled": "2016-05-02T23:00:00.000Z"}, one], one["id"]), ([], "")):
        phone.evaluate(loads, [day.property_id, told])
        to_log(phone, day)
        expect(chosen).to_have_value(load)
        expect(phone.locator("[name=note]")).to_have_value("")
        said = phone.locator("label", has=phone.locator("[name=load]")).locator(".help")
        expect(said).to_contain_text("Batch" if load else "kept under its batch: Batch 4.")
    phone.evaluate(loads, [day.property_id, known])


def test_another_order_of_a_stop_leaves_its_clock_and_a_lost_stop_its_numbers(phone: Page, day: Day) -> None:
    to_stop(phone, day)
    tap(phone, "Start stop")
    phone.locator(".timer").wait_for()
    phone.evaluate(REORDER)
    to_stop(phone, day, "mulch")
    phone.locator(".timer", has_text="Working since 08:1").wait_for()
    phone.evaluate(REORDER)
    go(phone, f"#/wrong/{TODAY}/nothing/{day.property_id}")
    expect(phone.get_by_role("link", name="Hazel Doe")).to_be_visible()
    expect(phone.locator("textarea")).to_be_visible()


def test_a_load_of_which_nothing_went_out_is_accounted_for_too(phone: Page) -> None:
    go(phone, f"#/tank/{TODAY}")
    expect(phone.locator("form.log")).to_contain_text("300 gal unaccounted for")


def test_a_meter_that_cannot_be_read_or_falls_leaves_no_amount_and_keeps_nothing(phone: Page, day: Day) -> None:
    to_log(phone, day)
    before, box = phone.evaluate(UNSENT), phone.locator("[name=volume]")
    phone.get_by_text("From the meter").click()
    for first, second, wrong in (("200", "22o9", "This is no amount: 22o9."),
                                 ("229", "200", "The meter after is less than the meter before"),
                                 ("1,200", "", "Read the meter before and after, or leave both empty")):
        phone.locator("[name=before]").fill(first)
        phone.locator("[name=after]").fill(second)
        tap(phone, LOG)
        expect(phone.locator("[data-wrong=after]")).to_contain_text(wrong)
        expect(box).to_have_value("")
        assert phone.evaluate(UNSENT) == before
    phone.locator("[name=after]").fill("1,229 gal")
    expect(box).to_have_value("29")
    phone.locator("[name=before]").fill("100 L")
    phone.locator("[name=after]").fill("208 L")
    expect(box).to_have_value("28.5306")


def test_what_went_on_by_hand_does_not_fall_away_with_what_was_not_done(phone: Page, day: Day) -> None:
    to_log(phone, day, "extract", "/not")
    before = phone.evaluate(UNSENT)
    for name in ("before", "after"):
        phone.locator(f"[name={name}]").fill("")
    phone.locator("[name=volume]").fill("15")
    phone.locator("[name=not_done]").fill("rain")
    tap(phone, "Log that it was not done")
    expect(phone.locator("[data-wrong=volume]")).to_have_text("Log what went on first, then the rest as not done")
    assert phone.evaluate(UNSENT) == before


def test_a_job_is_logged_once_and_then_corrected_or_its_rest_told(phone: Page, day: Day) -> None:
    to_log(phone, day)
    phone.locator("[name=not_done]").fill("")
    phone.get_by_text("A product with a label").click()
    phone.locator("[name=site]").fill("lawn")
    phone.locator("[name=licence]").fill("ABC-9")
    tap(phone, LOG)
    phone.locator("main h2", has_text="Squeeze").wait_for()
    phone.go_back()
    expect(phone.locator("main")).to_contain_text("This is logged already.")
    assert phone.locator("form.log").count() == 0
    expect(phone.locator("main li").first).to_have_text("15 gal")
    phone.get_by_role("link", name="Correct it").click()
    phone.locator("form.log").wait_for()
    expect(phone.locator("[name=volume]")).to_have_value("15 gal")
    phone.locator("[name=volume]").fill("16 gal")
    tap(phone, LOG)
    phone.locator("main h2", has_text="Squeeze").wait_for()
    phone.get_by_role("link", name="See the log").click()
    expect(phone.locator("main li").first).to_have_text("16 gal")
    phone.get_by_role("link", name="The rest was not done").click()
    phone.locator("[name=not_done]").fill("rain")
    tap(phone, "Log that it was not done")
    phone.locator("main h2", has_text="Squeeze").wait_for()
    phone.go_back()
    expect(phone.locator("main")).to_contain_text("This is logged already.")
    go(phone, f"#/tank/{TODAY}")
    expect(phone.locator("form.log")).to_contain_text("put on 16 gal")
    expect(phone.locator("form.log")).to_have_count(1)
    phone.context.set_offline(False)
    phone.evaluate(SEND)
    until(phone, UNSENT, 0)
    first, second, rest = day.logged()
    assert (first.amount, first.site, first.licence) == ("15 gal", "lawn", "ABC-9")
    assert (second.amount, second.site, second.licence) == ("16 gal", "lawn", "ABC-9")
    assert (second.slot, rest.not_done) == (first.slot, "rain")
    assert rest.slot != first.slot
    assert [each.amount for each in day.book.recording.applications(day.property_id)
            if each.applicator == "crew1" and not each.not_done] == ["16 gal"]
    assert [each.state for each in day.told(SqueezeTold)] == ["fit", "saturated", "fit"]


def test_a_round_stays_past_midnight_until_all_of_it_is_logged(phone: Page, day: Day) -> None:
    phone.clock.fast_forward("24:00:00")
    heard = phone.evaluate("""async () => { const { heardRounds } = await import("/static/field/round.js");
      const book = await import("/static/field/keeping.js"), { rounds, practice, person } = await book.self();
      const now = rounds.told.rounds.filter(({ day }) => day > "2016-05-02");
      const found = heardRounds(rounds, { ...rounds.told, rounds: now }, { practice, person }, "2016-05-03");
      return [found.told.rounds.map(({ day }) => day), found.changed.length]; }""")
    assert heard == [[TODAY, NEXT], 0]
    go(phone, "#/today/3")
    phone.get_by_role("link", name="Not all logged: 2 May 2016, crew 1").click()
    phone.locator("main .weld").first.click()
    phone.locator("main", has_text="Stop").locator("h1").wait_for()
    assert phone.get_by_role("button", name="Start stop").count() == 0
