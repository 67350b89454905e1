"""The phone's entry in a browser: a first look is kept with few taps, and every screen fits a thumb."""

from __future__ import annotations

import json
import re
import shutil
from base64 import b64encode
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, ViewportSize, expect

from rootcase.casework.first_answer.packed import packed
from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.fieldbook.store.sent import Sent
from tests.browser.looking import CHECKS, RULES
from tests.browser.pages import Known
from tests.browser.walking import HEARD
from tests.casework.random_sheet import random_sheet

PHONE: ViewportSize = {"width": 360, "height": 800}
TODAY = """() => import('/static/field/keeping.js').then((book) => book.unsent())
  .then(({ events }) => events.map(({ practice, person, ...sent }) => sent))"""
NO_ROOM = "() => { IDBObjectStore.prototype.add = () => { throw new DOMException('', 'QuotaExceededError'); }; }"
SHEET = """async ([base64, classes]) => {
  const book = await import("/static/field/keeping.js");
  await book.takeSheet("sheet", Uint8Array.from(atob(base64), (each) => each.charCodeAt(0)).buffer);
  const { start: { properties } } = await book.self();
  const { property: { weather_station: station } } = await book.ofProperty(properties[0].id);
  const told = (growth_class) => ({ name: "sheet", growth_class, texture: "", station, yardstick: "" });
  await book.setSelf({ sheets: classes.map(told) });
}"""
RIVAL = """async ([id, tree]) => {
  const book = await import("/static/field/keeping.js");
  const { taken_at, ...ground } = (await book.grounds()).find(each => each.id === id);
  const told = ground.readings.find(each => each.of === tree);
  told.rivals = [{ id: "0", typed: "9 in", made_at: "2016-01-15T09:00:00.000Z", device: "B" }];
  await book.takeGround(id, ground);
}"""
MISSING = """missing => import("/static/field/keeping.js")
  .then(book => book.setSelf({ sheets: [], sheets_missing: missing ?? undefined }))"""
SHOOTS, PUSHES = ("4", "3½", "5"), (("17", "hard soil"), ("19½", "stone"), ("18", "hard soil"))
MOST_TAPS = 25
LONG_AFTER = datetime(2100, 1, 1, tzinfo=UTC)
PATIENCE_MS = 10_000


TOUCH = """([x, y, at]) => {
  const key = document.elementFromPoint(x, y).closest("button");
  key.dispatchEvent(new PointerEvent("pointerdown", { pointerType: "touch", bubbles: true }));
  const click = new MouseEvent("click", { bubbles: true, cancelable: true, detail: 1, clientX: x, clientY: y });
  key.dispatchEvent(Object.defineProperty(click, "timeStamp", { value: at }));
  return key.disabled;
}"""
AWAY = """async id => {
  const book = await import("/static/field/keeping.js");
  const { start } = await book.self(), ground = (await book.grounds()).find(each => each.id === id);
  const [first] = start.properties, other = { ...first, id: "quay", name: "Quay House" };
  await book.setSelf({ visits: {} });
  await book.takeStart({ ...start, properties: [first, other] });
  const property = { ...ground.property, id: "quay", latitude_deg: 10, longitude_deg: 20 };
  await book.takeGround("quay", { ...ground, property });
}"""


class Phone:
    """A phone in a gloved hand: every touch is counted."""

    def __init__(self, page: Page, address: str) -> None:
        self.page, self.address, self.taps = page, address, 0

    def tap(self, name: str) -> None:
        self.page.get_by_role("button", name=name, exact=True).click()
        self.taps += 1

    def tap_first_name(self) -> None:
        self.page.locator(".names button").first.click()
        self.taps += 1

    def touch(self, name: str, at_ms: float) -> tuple[list[float], bool]:
        box = self.page.get_by_role("button", name=name, exact=True).bounding_box()
        assert box
        return self.touch_at([box["x"] + box["width"] / 2, box["y"] + box["height"] / 2], at_ms)

    def touch_at(self, where: list[float], at_ms: float) -> tuple[list[float], bool]:
        """Touch a place at a moment; whether the key there is at work then."""
        return where, bool(self.page.evaluate(TOUCH, [*where, at_ms]))

    def type(self, digits: str) -> None:
        for digit in digits:
            self.tap(digit)

    def go(self, where: str) -> None:
        self.page.goto("about:blank")
        self.page.goto(f"{self.address}/field#/{where}")
        self.page.wait_for_selector("#main:not(:has(noscript)) h1")

    def asked(self, question: str) -> None:
        expect(self.page.locator("h1")).to_contain_text(question)

    def events(self) -> list[dict[str, str]]:
        found: list[dict[str, str]] = self.page.evaluate(TODAY)
        return found

    def read(self) -> list[dict[str, str]]:
        return [json.loads(each["body"]) for each in self.events() if each["kind"] == "reading_taken"]


@pytest.fixture(scope="module")
def phone(browser: Browser, demo: Known) -> Iterator[Phone]:
    """A phone that was once in reach, and is out of it since."""
    context = browser.new_context(viewport=PHONE, has_touch=True)
    page = context.new_page()
    page.set_default_timeout(PATIENCE_MS)
    page.add_init_script(CHECKS)
    page.goto(f"{demo.address}/field")
    page.wait_for_function(AT_HAND)
    page.evaluate(HEARD, demo.ids["property_id"])
    context.set_offline(True)
    page.reload()
    yield Phone(page, demo.address)
    context.close()


AT_HAND = "() => navigator.serviceWorker.controller?.state === 'activated'"


def first_look(phone: Phone, ids: dict[str, str]) -> dict[str, int]:
    """The five at the test's values; taps by card."""
    counts = {}

    def card(name: str, question: str, *touches: Callable[[], None]) -> None:
        phone.asked(question)
        before = phone.taps
        for touch in touches:
            touch()
        counts[name] = phone.taps - before

    def number(digits: str, at: int, choice: str = "") -> Callable[[], None]:
        def touches() -> None:
            expect(phone.page.locator(".which")).to_contain_text(f"{at} of 3")
            phone.type(digits)
            if choice:
                phone.tap(choice)
            phone.tap(f"Save {digits.replace('½', ' ½')} in")
        return touches

    phone.go(f"look/{ids['property_id']}/{ids['tree_id']}/species")
    card("species", "Which tree is it?", phone.tap_first_name)
    card("shoots", "How long a shoot?",
         *(number(each, at, "lower" if at == 1 else "") for at, each in enumerate(SHOOTS, 1)))
    card("rod", "How deep does the rod go?", *(number(each, at, stop) for at, (each, stop) in enumerate(PUSHES, 1)))
    card("ground", "What covers the ground", lambda: phone.tap("turf"))
    card("flare", "root flare", lambda: phone.tap("none, like a post"))
    expect(phone.page.locator("#of")).to_have_text("First answer")
    return counts


def test_a_first_look_takes_few_taps_and_is_kept_as_the_fieldbook_has_it(
        phone: Phone, demo: Known, desk_folder: Path, tmp_path: Path) -> None:
    counts = first_look(phone, demo.ids)
    print("taps by card:", counts, "in all", phone.taps)
    assert phone.taps <= MOST_TAPS, counts
    read = [(each["kind"], each.get("value", each.get("choice"))) for each in phone.read()]
    assert [value for kind, value in read if kind == "probe_depth"] == ["431.8", "495.3", "457.2"]
    assert [value for kind, value in read if kind == "shoot_length_last"] == ["101.6", "88.9", "127"]
    assert ("root_flare_state", "none") in read
    shutil.copy(desk_folder / "demo.sqlite", tmp_path / "demo.sqlite")
    with open_fieldbook(tmp_path / "demo.sqlite", now=lambda: LONG_AFTER) as book:
        taken = book.taking_in.take([Sent(**each) for each in phone.events()], LONG_AFTER)
    assert [each.error for each in taken if each.state != "new"] == []


def test_the_first_answer_comes_from_the_sheet_and_without_one_says_so(phone: Phone, demo: Known) -> None:
    where = f"answer/{demo.ids['property_id']}/{demo.ids['tree_id']}"
    for missing, told in ((None, "Causes come when the phone has signal."), (3, "the first-answer sheets, 3 to go")):
        phone.page.evaluate(MISSING, missing)
        phone.go(where)
        expect(phone.page.locator("main")).to_contain_text(told)
    expect(phone.page.locator("main .weld")).to_have_text("Next tree")
    sheet = b64encode(packed(random_sheet(np.random.default_rng(8)))).decode()
    phone.page.evaluate(SHEET, [sheet, ["slow", "medium", "fast"]])
    phone.go(where)
    expect(phone.page.locator("h1")).to_have_text(re.compile(r"oak 3 grows about .+ % of its kind \(.+ to .+\)\."))
    expect(phone.page.locator(".made")).to_have_text("First answer from the sheet of 15 January 2016.")
    expect(phone.page.locator(".answer-row")).to_have_count(5)
    wrong = phone.page.evaluate("[...lostSideways(), ...spilled(), ...faintText()]")
    assert wrong + [f"axe {each['id']}" for each in Axe().run(phone.page, None, RULES).response["violations"]] == []


def test_a_slip_is_undone_and_a_doubt_does_not_block(phone: Phone, demo: Known) -> None:
    phone.go(f"look/{demo.ids['property_id']}/{demo.ids['healthy_id']}/shoots")
    phone.type("98")
    expect(phone.page.locator(".said.doubt")).to_contain_text("is unusual")
    phone.tap("upper")
    phone.tap("Save 98 in")
    expect(phone.page.locator(".saved li")).to_contain_text("Saved on this phone")
    assert "is unusual" in phone.read()[-2]["doubts"][0]
    phone.tap("Undo")
    expect(phone.page.locator(".which")).to_contain_text("1 of 3")
    assert [each["kind"] for each in phone.events()].count("reading_taken_back") == 2


def test_a_slip_is_undone_from_the_next_card_too(phone: Phone, demo: Known) -> None:
    phone.go(f"look/{demo.ids['property_id']}/{demo.ids['healthy_id']}/ground")
    phone.tap("mulch")
    phone.asked("root flare")
    expect(phone.page.locator(".asked-line")).to_contain_text("Saved: mulch")
    phone.tap("Undo")
    phone.asked("What covers the ground")
    assert [each["kind"] for each in phone.events()][-2:] == ["reading_taken", "reading_taken_back"]


def test_a_key_that_wants_something_shows_what(phone: Phone, demo: Known) -> None:
    page = phone.page
    phone.go(f"look/{demo.ids['property_id']}/{demo.ids['healthy_id']}/rod")
    phone.tap("Save")
    expect(page.locator(".said")).to_have_text("Nothing typed yet")
    for key in ("3", "fraction"):
        phone.tap(key)
    assert page.locator(".pad button:disabled").all_text_contents() == ["½", "point", "8", "9", "0"]
    page.keyboard.press("6")
    expect(page.locator(".typed")).to_have_text("3 ¾")
    phone.tap("What stopped it?")
    expect(page.locator(".asked-for button").first).to_be_focused()
    phone.go(f"look/{demo.ids['property_id']}/{demo.ids['healthy_id']}/species")
    page.get_by_role("searchbox").fill("zzzz")
    expect(page.locator(".names")).to_contain_text("No name that is known begins with zzzz.")
    phone.go("trees/new")
    page.get_by_label("Name of the property").fill("alder bank  School ground")
    phone.tap("Start here")
    expect(page.locator(".fault")).to_contain_text("is on this phone already")


def test_what_could_not_be_kept_never_says_saved(phone: Phone, demo: Known) -> None:
    phone.go(f"look/{demo.ids['property_id']}/{demo.ids['healthy_id']}/rod")
    before = phone.events()
    phone.page.evaluate(NO_ROOM)
    phone.type("17")
    phone.tap("stone")
    phone.tap("Save 17 in")
    expect(phone.page.locator(".said")).to_contain_text("Not saved")
    expect(phone.page.locator(".typed")).to_have_text("17")
    phone.page.reload()
    assert phone.events() == before


def test_a_touch_that_wet_glass_repeats_counts_once(phone: Phone, demo: Known) -> None:
    phone.go(f"look/{demo.ids['property_id']}/{demo.ids['healthy_id']}/rod")
    where, _ = phone.touch("1", 1000)
    for at in (1070, 1200):
        phone.touch_at(where, at)
    expect(phone.page.locator(".typed")).to_have_text("11")


def test_a_repeated_touch_does_not_answer_the_next_card(phone: Phone, demo: Known) -> None:
    phone.go(f"look/{demo.ids['property_id']}/{demo.ids['healthy_id']}/ground")
    where, taken = phone.touch("turf", 5000)
    assert taken
    phone.asked("root flare")
    assert [phone.touch_at(where, at)[1] for at in (5300, 5340)] == [False, True]
    expect(phone.page.locator("#of")).to_have_text("First answer")


def test_all_that_was_read_at_a_tree_is_reached_and_leads_back(phone: Phone, demo: Known) -> None:
    page, (ground, tree) = phone.page, (demo.ids["property_id"], demo.ids["tree_id"])
    phone.go(f"trees/{ground}")
    expect(page.locator("li", has=page.locator("b:text-is('oak 3')"))).to_contain_text("9 read today")
    phone.go(f"tree/{ground}/{tree}")
    phone.asked("oak 3: first look is done.")
    row = page.locator(".read > li", has=page.get_by_role("link", name="Last full year's shoot"))
    row.locator("summary").click()
    assert row.locator("details a").all_text_contents()[:2] == ["3 ½ in", "4 in"]
    row.get_by_role("link", name="3 ½ in").click()
    phone.asked("3 ½ in")
    page.get_by_role("link", name="oak 3", exact=True).click()
    phone.asked("oak 3: first look is done.")
    page.evaluate(RIVAL, [ground, tree])
    phone.go(f"tree/{ground}/{tree}")
    expect(page.locator("main")).to_contain_text("Needs you: 2 corrections")
    phone.go("today")
    expect(page.locator(".notice")).to_contain_text("two corrections of one reading")


QUICK_CARDS, LONG_CARDS = ("species", "shoots"), ("rod", "ground", "flare")


@pytest.mark.parametrize("card", [*QUICK_CARDS, *(pytest.param(each, marks=pytest.mark.full) for each in LONG_CARDS)])
def test_a_card_fits_a_gloved_thumb(phone: Phone, demo: Known, card: str) -> None:
    page = phone.page
    page.set_viewport_size(PHONE)
    page.emulate_media(color_scheme="dark")
    phone.go(f"look/{demo.ids['property_id']}/{demo.ids['tree_id']}/{card}")
    wrong = page.evaluate(THUMB)
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)", "light at dusk too"
    wrong += page.evaluate("[...lostSideways(), ...spilled(), ...faintText()]")
    wrong += [f"axe {each['id']}" for each in Axe().run(page, None, RULES).response["violations"]]
    page.set_viewport_size({"width": 320, "height": 640})
    wrong += page.evaluate("[...lostSideways(), ...spilled()]")
    page.evaluate("document.documentElement.style.fontSize = '200%'")
    assert wrong + page.evaluate("[...lostSideways(), ...spilled()]") == []


THUMB = """() => {
  const keys = [...document.querySelectorAll('main :is(.pad, .six, .last, .pictures, .names) > *')]
    .filter(each => each.checkVisibility())
    .map(each => ({ name: each.textContent, ...each.getBoundingClientRect().toJSON() }));
  const small = keys.filter(each => each.height < 55.9).map(each => `${each.name} is ${each.height} high`);
  const near = keys.flatMap((one, at) => keys.slice(at + 1).filter(other => {
    const across = Math.max(one.left, other.left) - Math.min(one.right, other.right);
    const down = Math.max(one.top, other.top) - Math.min(one.bottom, other.bottom);
    return Math.max(across, down) < 7.9;
  }).map(other => `${one.name} and ${other.name} are near`));
  const hidden = document.querySelector('main .last').getBoundingClientRect().bottom
    > document.querySelector('.places').getBoundingClientRect().top ? ['the main key is below the fold'] : [];
  return [...small, ...near, ...hidden];
}"""


QUICK = ("today", "tree/{property_id}/{tree_id}", "trees/new")
LONG = ("trees", "trees/{property_id}", "trees/{property_id}/start", "settings", "trees/{property_id}/new", "waiting",
        "phone")


@pytest.mark.parametrize("screen", [*QUICK, *(pytest.param(each, marks=pytest.mark.full) for each in LONG)])
def test_a_screen_fits(phone: Phone, demo: Known, screen: str) -> None:
    page = phone.page
    page.set_viewport_size(PHONE)
    page.emulate_media(color_scheme="dark")
    phone.go(screen.format_map(demo.ids))
    wrong = page.evaluate("faintText()")
    page.emulate_media(color_scheme="light")
    wrong += page.evaluate("[...lostSideways(), ...spilled(), ...faintText(), ...smallTargets()]")
    wrong += [f"axe {each['id']}" for each in Axe().run(page, None, RULES).response["violations"]]
    wrong += page.evaluate("[...document.querySelectorAll('main .weld')].slice(1).map(() => 'more than one main key')")
    page.set_viewport_size({"width": 320, "height": 640})
    wrong += page.evaluate("[...lostSideways(), ...spilled()]")
    page.evaluate("document.documentElement.style.fontSize = '200%'")
    assert wrong + page.evaluate("[...lostSideways(), ...spilled()]") == []


def test_the_nearest_property_stands_first_for_who_lets_the_phone_look(phone: Phone, demo: Known) -> None:
    page, names = phone.page, phone.page.locator("[data-property] h2")
    page.evaluate(AWAY, demo.ids["property_id"])
    page.context.grant_permissions(["geolocation"])
    page.context.set_geolocation({"latitude": 10.1, "longitude": 20.1})
    phone.go("today")
    expect(page.locator(".near")).to_contain_text("Without it you choose the property by hand.")
    expect(names.last).to_have_text("Quay House")
    phone.tap("Nearest first")
    expect(names.first).to_have_text("Quay House")
    expect(page.locator("[data-property] .key").first).to_have_attribute("href", "#/trees/quay/start")
    expect(page.locator("main .weld")).to_contain_text("Next: ")  # of the round
    page.context.clear_permissions()
    phone.go("today")
    expect(page.locator(".near")).to_contain_text("Choose the property by hand.")
    expect(names.last).to_have_text("Quay House")
