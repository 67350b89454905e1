"""The day on the phone without a network: the round, a stop, its gate, its meter and its log; then all arrives once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import httpx2 as httpx
import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from rootcase.fieldbook.applied.ground_use import SqueezeTold
from rootcase.fieldbook.applied.wrong import WentWrongTold
from rootcase.fieldbook.events import ReadingTaken
from rootcase.services.make_batch import call_back
from tests.browser.day_desk import GROUND, ROUNDS, SEND, UNSENT, Day, day_desk, offline, phone_of, until
from tests.browser.looking import RULES

LOG, NOT_DONE, START = "Log what was put on", "Not done, because", "Start stop"
MARKS = f"async (before) => (await ({ROUNDS})()) !== before"
CACHED = """async () => {
  const book = await import("/static/field/keeping.js");
  const steps = (await book.self()).rounds.told.rounds.flatMap((each) => each.steps).filter((each) => each.map);
  return (await Promise.all(steps.map((each) => book.mapOf(each.property_id, each.map)))).every(Boolean); }"""

LEFT_BEHIND = """async () => {
  const book = await import("/static/field/keeping.js");
  const { asked, looking } = await import("/static/field/database.js");
  await book.forgetClear();
  const kept = await looking(["sheets"], ({ sheets }) => asked(sheets.getAllKeys()));
  return [(await book.self()).rounds === undefined, kept.length]; }"""
SHOWN_TO = """async (people) => {
  const book = await import("/static/field/keeping.js");
  const { roundsHere } = await import("/static/field/round.js");
  const field = { book, day: () => "2016-05-02" }, found = [];
  for (const person of [...people, people[0]]) {
    await book.setSelf({ person });
    found.push((await roundsHere(field)).rounds.length);
  }
  return found.slice(0, people.length); }"""


@pytest.fixture(scope="module")
def day(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Day]:
    with day_desk(tmp_path_factory.mktemp("day")) as opened:
        opened.give(opened.steps())
        yield opened


@pytest.fixture(scope="module")
def phone(browser: Browser, day: Day) -> Iterator[Page]:
    """The crew's phone; it has heard its day, and is out of reach since."""
    with phone_of(browser, day) as page:
        until(page, GROUND, True, day.property_id)
        until(page, CACHED, True)
        offline(page.context, page)
        yield page


def main_key(page: Page) -> str:
    return page.locator("main .weld").last.inner_text()


def to_stop(page: Page, day: Day, remedy: str) -> None:
    page.evaluate("hash => { location.hash = hash; }", f"#/stop/2016-05-02/{day.jobs[remedy].id}")
    page.locator("main.entry h2", has_text="Squeeze").wait_for()


def to_log(page: Page, day: Day, remedy: str, of: str = "extract") -> None:
    where = f"#/log/2016-05-02/{day.jobs[of].id}/{day.jobs[remedy].id}"
    page.evaluate("hash => { location.hash = hash; }", where)
    page.locator("form.log").wait_for()


def tap(page: Page, name: str) -> None:
    page.locator("main").get_by_role("button", name=name, exact=True).click()


def back_in_reach(page: Page) -> None:
    page.context.set_offline(False)
    page.evaluate(SEND)
    until(page, UNSENT, 0)


def test_today_shows_the_round_as_it_was_given(phone: Page) -> None:
    shown = phone.locator("section.round")
    expect(shown.locator("h1")).to_have_text("crew 1, 2 May: 2 stops, 0 done")
    expect(shown.locator(".weld")).to_have_text("Next: Alder Bank, 08:15")
    said = shown.inner_text()
    for words in ("Fill at yard: extract", "58.1 gal", "refuse from 09:00", "40 min old at the end, 10 min in hand",
                  "29.1 gal from the tank: 58.1 gal before, 29.1 gal after", "11:00", "Rest"):
        assert words in said, words


def test_soil_that_drips_closes_what_is_wet_and_leaves_the_chips(phone: Page, day: Day) -> None:
    to_stop(phone, day, "extract")
    assert "4417 star" in phone.locator("main").inner_text()
    assert phone.evaluate("document.querySelector('.ground-map').naturalWidth") > 300
    assert main_key(phone) == START
    tap(phone, "Yes, drips")
    said = phone.locator(".caution.stop", has_text="Too wet for liquid and air here. Chips may still go")
    expect(said.locator("li")).to_have_text(["oak 4: compost extract"])
    first, second = (phone.locator("section.visit", has_text=name) for name in ("compost extract", "wood-chip mulch"))
    expect(first.get_by_role("link", name=NOT_DONE)).to_be_visible()
    expect(second.get_by_role("link", name=LOG)).to_be_visible()
    assert main_key(phone) == START
    tap(phone, "People")
    expect(phone.locator("main .weld").last).to_have_text(NOT_DONE)
    tap(phone, "People")
    tap(phone, "No, holds")
    expect(said).to_have_count(0)
    expect(first.get_by_role("link", name=LOG)).to_be_visible()


def test_without_a_locate_number_the_key_is_taken_away_until_it_is_told(phone: Page, day: Day) -> None:
    to_stop(phone, day, "air_tillage")
    expect(phone.locator(".caution.stop")).to_contain_text("Whoever has the number and the last day frees it")
    assert main_key(phone) == NOT_DONE
    phone.locator("main .weld").last.click()
    expect(phone.locator("form.log [name=not_done]")).to_have_value("Nobody told a locate number that holds then.")
    assert main_key(phone) == "Log that it was not done"
    to_stop(phone, day, "air_tillage")
    phone.get_by_label("Utility locate number").fill("2016-0412")
    phone.get_by_label("Locate marks good until").fill("2016-05-20")
    tap(phone, "Save number")
    expect(phone.locator(".caution.stop")).to_have_count(0)
    assert main_key(phone) == START


def test_liters_typed_for_gallons_are_asked_about_before_anything_is_kept(phone: Page, day: Day) -> None:
    to_log(phone, day, "extract")
    before = phone.evaluate(UNSENT)
    box = phone.locator("[name=volume]")
    expect(box).to_have_value("29.06")
    box.fill("110")
    tap(phone, LOG)
    expect(phone.locator(".notice p")).to_have_text("Plan 29.1 gal, meter 110. Liters? 110 L is 29.1 gal.")
    keys = phone.locator("form.log .notice button")
    assert keys.all_inner_texts() == ["Change to 110 L", "110 gal is right"]
    first, second = (keys.nth(at).bounding_box() for at in (0, 1))
    assert first
    assert second
    assert (round(first["width"]), first["height"]) == (round(second["width"]), second["height"])
    assert phone.evaluate(UNSENT) == before
    phone.reload()  # half-typed stays
    phone.locator("form.log").wait_for()
    expect(phone.locator("[name=volume]")).to_have_value("110")
    phone.get_by_text("From the meter").click()
    phone.locator("[name=before]").fill("40")
    phone.locator("[name=after]").fill("69")
    expect(phone.locator("[name=volume]")).to_have_value("29")


def test_each_screen_of_the_day_fits_a_gloved_thumb_and_a_small_phone(phone: Page, day: Day) -> None:
    stop, air = (f"2016-05-02/{day.jobs[each].id}" for each in ("extract", "air_tillage"))
    wrong = []
    for where in ("today/1", f"stop/{stop}", f"stop/{air}", f"log/{stop}/{day.jobs['extract'].id}", f"wrong/{stop}",
                  "tank/2016-05-02"):
        before = phone.locator("main h1").element_handle()
        phone.evaluate("hash => { location.hash = hash; }", f"#/{where}")
        phone.wait_for_function("h1 => !h1.isConnected", arg=before)
        found = phone.evaluate("[...lostSideways(), ...spilled(), ...smallTargets(), ...faintText()]")
        found += phone.evaluate("[...document.querySelectorAll('main .weld')].slice(1).map(() => 'two main keys')")
        found += [f"axe {each['id']} {each['nodes'][0]['html'][:120]}"
                  for each in Axe().run(phone, None, RULES).response["violations"]]
        phone.set_viewport_size({"width": 320, "height": 640})
        found += phone.evaluate("[...lostSideways(), ...spilled()]")
        phone.evaluate("document.documentElement.style.fontSize = '200%'")
        found += phone.evaluate("[...lostSideways(), ...spilled()]")
        phone.evaluate("document.documentElement.style.fontSize = ''")
        phone.set_viewport_size({"width": 360, "height": 780})
        wrong += [f"{where}: {each}" for each in found]
    assert wrong == []


def test_what_went_wrong_is_said_first_and_then_noted(phone: Page, day: Day) -> None:
    to_stop(phone, day, "extract")
    phone.get_by_role("link", name="Something went wrong").click()
    expect(phone.locator("main h1")).to_have_text("Line hit or someone hurt: stop, make safe, ring first.")
    expect(phone.get_by_role("link", name="Ring 911")).to_have_attribute("href", "tel:911")
    expect(phone.get_by_role("link", name="Hazel Doe")).to_have_attribute("href", "tel:2065550100")
    phone.locator("textarea").fill("hose burst")
    tap(phone, "Save the note")
    phone.locator("main h2", has_text="Squeeze").wait_for()


def test_the_whole_day_is_logged_offline_and_arrives_once(phone: Page, day: Day) -> None:
    to_stop(phone, day, "extract")
    tap(phone, START)
    phone.locator(".timer", has_text="Working since 08:1").wait_for()
    phone.clock.fast_forward("00:20:00")
    phone.reload()
    phone.locator(".timer", has_text="Working since 08:1").wait_for()
    phone.locator("input[type=file]").first.set_input_files({"name": "done.jpg", "mimeType": "image/jpeg",
                                                            "buffer": b"a photo of the ground"})
    phone.locator("main").get_by_text("Photo saved on this phone").wait_for()
    tap(phone, "End stop")
    for remedy in ("extract", "mulch"):
        expect(phone.locator("main .weld").last).to_have_text(LOG)
        phone.locator("main .weld").last.click()
        phone.locator("form.log").wait_for()
        if remedy == "extract":
            phone.locator("[name=volume]").fill("110 L")
            assert "Batch" in phone.locator("[name=load] option:checked").inner_text()
            phone.locator("[name=no_helper]").check()
        tap(phone, LOG)
        phone.locator("main h2", has_text="Squeeze").wait_for()
    expect(phone.locator("main .weld").last).to_have_text("The round")
    to_log(phone, day, "air_tillage", "air_tillage")
    phone.locator("[name=not_done]").fill("the hose burst")
    tap(phone, "Log that it was not done")
    phone.locator("main h2", has_text="Squeeze").wait_for()
    phone.locator("main .weld").last.click()
    phone.get_by_text("Every stop of the round is logged.").wait_for()
    phone.get_by_role("link", name="What is left in the tank").click()
    phone.locator("form.log").get_by_text("271 gal unaccounted for. Where did they go?").wait_for()
    phone.locator("[name=left]").fill("270.94")
    phone.get_by_text("All of it is told.").wait_for()
    phone.locator("[name=where]").fill("own beds")
    tap(phone, "Keep where it went")
    phone.locator("section.round").wait_for()
    back_in_reach(phone)
    phone.evaluate(SEND)
    wet, chips, air = day.logged()
    assert (wet.remedy, wet.volume_l, wet.amount, wet.no_helper) == ("extract", 110.0, "110 L", True)
    assert (wet.jobs, wet.plan) == ((day.jobs["extract"].id,), day.jobs["extract"].plan)
    assert (wet.started[:15], wet.ended[:15]) == ("2016-05-02T15:1", "2016-05-02T15:3")
    assert wet.load
    assert (chips.remedy, chips.amount, chips.area) == ("mulch", "5.2 yd³", "538.2 ft²")
    assert (air.remedy, air.amount, air.volume_l) == ("air_tillage", "", None)
    assert air.not_done == "the hose burst"
    left, = [each for each in day.book.recording.litres() if each.by == "crew1"]
    assert (left.batch, left.what, left.where) == (day.batch, "left", "own beds")
    assert [each.kind for each in day.told(ReadingTaken) if each.typed == "done.jpg"] == ["tree_photo"]
    assert [each.state for each in day.told(SqueezeTold)] == ["saturated", "fit"]
    assert [each.note for each in day.told(WentWrongTold)] == ["hose burst"]
    assert "hose burst" in httpx.get(day.address, cookies={"rootcase": day.cookies["owner1"]}).text
    assert {each.remedy: each.flags for each in day.book.recording.applications(day.property_id)
            if each.applicator == "crew1"} == {"extract": (), "mulch": (), "air_tillage": ()}


def test_another_person_is_shown_nothing_of_it(browser: Browser, phone: Page, day: Day) -> None:
    with phone_of(browser, day, "crew2") as page:
        page.locator("main h1").wait_for()
        until(page, "async () => Boolean((await (await import('/static/field/keeping.js')).self()).rounds)", True)
        assert page.locator("section.round").count() == 0
        assert "Alder Bank" not in page.locator("main").inner_text()
    assert phone.evaluate(SHOWN_TO, ["crew1", "crew2"]) == [1, 0]  # the same phone, which somebody else has in hand


def test_a_round_that_the_office_changed_is_heard_and_said(phone: Page, day: Day) -> None:
    before = phone.evaluate(ROUNDS)
    fill, stop, rest, _ = day.steps()
    day.give([fill, rest, replace(stop, starts_min=900.0, ends_min=940.0)])
    phone.evaluate("location.hash = '#/today'")
    phone.evaluate(SEND)
    until(phone, MARKS, True, before)
    expect(phone.locator(".notice.changed")).to_contain_text("The office changed the round of 2 May 2016.")
    expect(phone.locator("section.round h1")).to_contain_text("1 stop, 1 done")
    phone.evaluate("hash => { location.hash = hash; }", f"#/stop/2016-05-02/{day.jobs['air_tillage'].id}")
    phone.get_by_text("This stop is no longer in your round.").wait_for()
    phone.evaluate("location.hash = '#/today/2'")
    tap(phone, "I have seen it")
    expect(phone.locator(".notice.changed")).to_have_count(0)


def test_who_signs_out_leaves_neither_round_nor_map_behind(phone: Page) -> None:
    back_in_reach(phone)
    assert phone.evaluate(CACHED)
    assert phone.evaluate(LEFT_BEHIND) == [True, 0]


def test_extract_that_was_called_back_goes_nowhere(browser: Browser, day: Day) -> None:
    day.give(day.steps())
    call_back(day.book, day.batch, "the smell came late", "owner1")
    with phone_of(browser, day) as page:
        wet = page.locator(".day-step", has_text="1 Alder Bank")
        expect(wet.locator(".fault")).to_have_text("No extract here")
        expect(page.locator(".day-step.fill .fault")).to_contain_text("No extract from this tank: called back.")
        expect(page.locator(".day-step", has_text="2 Alder Bank").locator(".fault")).to_have_count(0)
