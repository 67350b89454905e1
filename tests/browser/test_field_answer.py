"""The phone's lookup of a first answer beside the server's, on readings of any kind."""

from __future__ import annotations

from base64 import b64encode
from dataclasses import asdict
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Browser

from rootcase.casework.first_answer.lookup import first_answer
from rootcase.casework.first_answer.packed import packed
from rootcase.records.first_answer import FirstReadings, FirstSheet
from tests.browser.pages import Known
from tests.casework.random_sheet import random_look, random_sheet

LOOKS = 500
ANSWER = """async ([base64, looks]) => {
  const { firstAnswer, readSheet } = await import("/static/field/answer.js");
  const sheet = readSheet(Uint8Array.from(atob(base64), (each) => each.charCodeAt(0)).buffer);
  return looks.map((look) => firstAnswer(sheet, look));
}"""
CHOSEN = """async ([told, trees]) => {
  const { sheetFor } = await import("/static/field/answer.js");
  return trees.map((tree) => sheetFor(told, tree)?.name ?? "none");
}"""


def at_the_server(sheet: FirstSheet, look: FirstReadings) -> dict[str, Any]:
    found = asdict(first_answer(sheet, look))
    return {"share": found["share"], "low": found["low"], "high": found["high"], "limits": list(found["limits"]),
            "left": found["left"], "otherCause": found["chance_other_cause"],
            "otherLargest": found["chance_other_largest"], "buriedFlare": found["chance_buried_flare"],
            "next": list(found["next"]), "made": found["made"].isoformat()}


def same(ours: Any, theirs: Any) -> bool:
    if isinstance(ours, dict):
        return ours.keys() == theirs.keys() and all(same(ours[name], theirs[name]) for name in ours)
    if isinstance(ours, list):
        return len(ours) == len(theirs) and all(map(same, ours, theirs))
    return ours == pytest.approx(theirs, rel=1e-9, abs=1e-9) if isinstance(ours, float) else bool(ours == theirs)


def test_the_phone_looks_up_what_the_server_does(browser: Browser, demo: Known) -> None:
    rng = np.random.default_rng(500)
    sheet, looks = random_sheet(rng), [random_look(rng) for _ in range(LOOKS)]
    page = browser.new_page()
    page.goto(f"{demo.address}/practice/rules")
    found = page.evaluate(ANSWER, [b64encode(packed(sheet)).decode(), [asdict(look) for look in looks]])
    for look, theirs in zip(looks, found, strict=True):
        ours = at_the_server(sheet, look)
        assert same(ours, theirs), (look, ours, theirs)
    assert sum(answer["share"] is None for answer in found) > 10
    page.close()


def test_a_tree_has_the_sheet_of_its_yardstick_else_of_its_class(browser: Browser, demo: Known) -> None:
    def told(name: str, growth_class: str, texture: str = "", yardstick: str = "", place: str = "") -> dict[str, str]:
        return {"name": name, "station": "Seattle", "growth_class": growth_class, "texture": texture,
                "yardstick": yardstick, "place": place}

    sheets = [told("slow", "slow"), told("slow clay", "slow", "clay"), told("oaks", "", "", "oaks", "lawn")]
    trees = [{"yardstick": "oaks", "place": "lawn", "growthClass": "slow"},
             {"yardstick": "oaks", "place": "bed", "growthClass": "slow", "texture": "clay"},
             {"growthClass": "slow", "texture": "sand", "station": "Seattle"}, {"growthClass": "fast"},
             {"growthClass": "slow", "station": "New York"}]
    page = browser.new_page()
    page.goto(f"{demo.address}/practice/rules")
    assert page.evaluate(CHOSEN, [sheets, trees]) == ["oaks", "slow clay", "slow", "none", "none"]
    page.close()
