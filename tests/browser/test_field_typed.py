"""What is typed on the phone reads as at the desk: numbers, units, doubts, held to the desk's own functions."""

from __future__ import annotations

import random
from collections.abc import Iterator
from datetime import date
from itertools import pairwise

import pytest
from playwright.sync_api import Browser, Page

from rootcase.fieldbook.intake.faults import Refused
from rootcase.fieldbook.intake.grid import Cell
from rootcase.fieldbook.intake.values import read_value
from rootcase.ground.errors import TypedError
from rootcase.ground.quantity import interval, number
from rootcase.ground.units import convert
from rootcase.services.field_kinds import field_catalogue
from rootcase.tables.readings import check, kind_of, kinds, message
from tests.browser.pages import Known

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
