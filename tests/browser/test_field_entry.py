"""The phone's entry in a browser: what is typed reads as at the desk, and a first look is kept with few taps."""

from __future__ import annotations

import json
import random
import re
import shutil
from base64 import b64encode
from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from rootcase.casework.first_answer.packed import packed
from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.fieldbook.intake.faults import Refused
from rootcase.fieldbook.intake.grid import Cell
from rootcase.fieldbook.intake.values import read_value
from rootcase.fieldbook.sound import Sent
from rootcase.fieldbook.taking_in import take_in
from rootcase.ground.errors import TypedError
from rootcase.ground.quantity import interval, number
from rootcase.ground.units import convert
from rootcase.services.field_kinds import field_catalogue
from rootcase.tables.readings import check, kind_of, kinds, message
from tests.browser.looking import CHECKS, RULES
from tests.browser.pages import Known
from tests.casework.random_sheet import random_sheet

PHONE = {"width": 360, "height": 800}
IMPORTED = """async () => {
  const { learnCatalogue, catalogue } = await import("/static/field/catalogue.js");
  const { learnWords } = await import("/static/field/words.js");
  await Promise.all([learnCatalogue(), learnWords()]);
  Object.assign(window, { catalogue }, await import("/static/field/units.js"), await import("/static/field/doubts.js"),
                await import("/static/field/typed.js"));
}"""
READ = """cases => cases.map(([code, text, system]) => {
  try { const { said, ...found } = readValue(catalogue.kinds[code], text, system, "2015-11-04") ?? {}; return found; }
  catch (error) { if (!(error instanceof Refused)) throw error; return "refused"; }
})"""
TEXTS = ("18", "3 1/2", "3½", "19 ½", "1-1/2", "½", "0", ".5", "5.", "5'6\"", "5' 11 1/2", "6'12", "18\"", "3'",
         "1,250", "1.250,5", "12,5", "1 250", "<1", ">36", "~30", "36+", "-4", "3-4", "1/0", "7/3", "none seen",
         "Not read", "", "n/a", "1e3", "2x10^3", "0.3", "300", "2062", "99999999", "1..2", "1/2/3", "3/4/2015",
         "12 cm", "12 furlong")
KINDS = ("shoot_length_last", "probe_depth", "dbh", "tree_height", "penetration_profile", "soil_ph", "crown_dieback",
         "slope", "planting_year", "air_temperature", "bulk_density", "soil_temperature")


@pytest.fixture(scope="module")
def scripts(browser: Browser, demo: Known) -> Iterator[Page]:
    page = browser.new_page()
    page.goto(f"{demo.address}/practice/rules")
    page.evaluate(IMPORTED)
    yield page
    page.context.close()


def at_the_desk(code: str, text: str, system: str) -> object:
    try:
        value = read_value(kind_of(code), Cell(text), "", system, date(2015, 11, 4))  # type: ignore[arg-type]
    except (Refused, TypedError):
        return "refused"
    if value is None:
        return {}
    if value.nothing:
        return {"typed": text, "nothing": value.nothing}
    return {"typed": value.typed, "value": value.value, "sign": value.sign, "doubts": list(value.doubts)}


def test_what_is_typed_reads_as_at_the_desk(scripts: Page) -> None:
    cases = [(code, text, system) for code in KINDS for text in TEXTS for system in ("us", "metric")]
    read = scripts.evaluate(READ, cases)
    for case, found in zip(cases, read, strict=True):
        assert found == at_the_desk(*case), case


@pytest.fixture(scope="module")
def numbers() -> list[float]:
    chance = random.Random(8)
    return [float(f"{chance.uniform(-1, 1) * 10 ** chance.randint(-4, 5):.{chance.randint(1, 9)}g}")
            for _ in range(400)] + [0.5, 1.5, 2.5, 0.25, 1000.0, 999.5, 0.0, 125.0, 12.25]


def test_numbers_are_written_as_at_the_desk(scripts: Page, numbers: list[float]) -> None:
    assert scripts.evaluate("ns => ns.map(n => number(n))", numbers) == [number(n) for n in numbers]
    ends = [tuple(sorted(pair)) for pair in pairwise(numbers)]
    assert scripts.evaluate("ps => ps.map(([a, b]) => interval(a, b))", ends) == [interval(a, b) for a, b in ends]


def test_units_convert_to_the_last_bit(scripts: Page, numbers: list[float]) -> None:
    pairs = [(name, si) for si, group in field_catalogue()["units"].items() for name in group]
    cases = [(n, *pairs[at % len(pairs)]) for at, n in enumerate(numbers * 2)]
    found = scripts.evaluate("cs => cs.map(([n, from, to]) => [convert(n, from, to), convert(n, to, from)])", cases)
    assert [tuple(each) for each in found] == [(convert(n, a, b), convert(n, b, a)) for n, a, b in cases]


def test_doubts_are_worded_as_at_the_desk(scripts: Page) -> None:
    chance, cases = random.Random(3), []
    for code, kind in kinds().items():
        if code not in field_catalogue()["kinds"] or not kind.us_unit or kind.si_unit == "money":
            continue
        for limit in (kind.lower_hard, kind.lower_doubt, kind.upper_doubt, kind.upper_hard):
            value = round((limit or 0.0) * chance.choice((0.3, 0.9, 1.1, 7)) + chance.choice((-1, 0, 1)), 3)
            cases.append((code, value, chance.choice(kind.pair)))
    told = """cs => cs.map(([code, value, unit]) => { const kind = catalogue.kinds[code];
      return [check(kind, convert(value, unit, kind.si_unit)), message(kind, value, unit)]; })"""
    wrong = [(case, found) for case, found in zip(cases, scripts.evaluate(told, cases), strict=True)
             if found != [check(kind_of(case[0]), convert(case[1], case[2], kind_of(case[0]).si_unit)),
                          message(kind_of(case[0]), case[1], case[2])]]
    assert wrong == []


TODAY = "() => import('/static/field/keeping.js').then(book => book.unsent()).then(({ events }) => events)"
NO_ROOM = "() => { IDBObjectStore.prototype.add = () => { throw new DOMException('', 'QuotaExceededError'); }; }"
SHEET = """async ([base64, classes]) => {
  const book = await import("/static/field/keeping.js");
  await book.takeSheet("sheet", Uint8Array.from(atob(base64), (each) => each.charCodeAt(0)).buffer);
  const { start: { properties } } = await book.self();
  const { property: { weather_station: station } } = await book.ofProperty(properties[0].id);
  const told = (growth_class) => ({ name: "sheet", growth_class, texture: "", station, yardstick: "" });
  await book.setSelf({ sheets: classes.map(told) });
}"""
SHOOTS, PUSHES = ("4", "3½", "5"), (("17", "hard soil"), ("19½", "stone"), ("18", "hard soil"))
MOST_TAPS = 25
LONG_AFTER = datetime(2100, 1, 1, tzinfo=UTC)
PATIENCE_MS = 10_000


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
    page.wait_for_function(HEARD, arg=demo.ids["property_id"])
    context.set_offline(True)
    page.reload()
    yield Phone(page, demo.address)
    context.close()


AT_HAND = "() => navigator.serviceWorker.controller?.state === 'activated'"
HEARD = """id => import('/static/field/keeping.js').then(book => book.grounds())
  .then(all => all.some(one => one.id === id))"""


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
        taken = take_in(book.store, [Sent(**each) for each in phone.events()], LONG_AFTER)
    assert [each.error for each in taken if each.state != "new"] == []


def test_the_first_answer_comes_from_the_sheet_and_without_one_says_so(phone: Phone, demo: Known) -> None:
    where = f"answer/{demo.ids['property_id']}/{demo.ids['tree_id']}"
    phone.go(where)
    expect(phone.page.locator("main")).to_contain_text("Causes come when the phone has signal.")
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


def test_two_taps_on_wet_glass_are_one(phone: Phone, demo: Known) -> None:
    phone.go(f"look/{demo.ids['property_id']}/{demo.ids['healthy_id']}/rod")
    phone.page.get_by_role("button", name="7", exact=True).evaluate("key => { key.click(); key.click(); }")
    expect(phone.page.locator(".typed")).to_have_text("7")


@pytest.mark.parametrize("card", ["species", "shoots", "rod", "ground", "flare"])
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
