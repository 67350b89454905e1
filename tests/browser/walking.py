"""A phone that walks a full reading, screen by screen."""

from __future__ import annotations

import json
import random
from typing import Any

from playwright.sync_api import Locator, Page, expect

from tests.browser.pages import Known

BOOK = "import('/static/field/keeping.js')"
HEARD = f"""async id => {{
  const heard = async () => (await {BOOK}.then(book => book.grounds())).some(one => one.id === id);
  while (!await heard()) await new Promise(over => setTimeout(over, 50));
}}"""
HALVES = """() => new Promise(resolve => {
  const asked = indexedDB.open('rootcase-field');
  asked.onsuccess = () => {
    const store = asked.result.transaction('half').objectStore('half');
    const names = store.getAllKeys(), all = store.getAll();
    all.onsuccess = () => { asked.result.close(); resolve(names.result.map((name, at) => [name, all.result[at]])); };
  }; })"""
HALF_TYPED = f"""async wanted => {{
  for (let times = 0; times < 100; times += 1) {{
    const found = (await ({HALVES})()).map(([, typed]) => typed);
    if (JSON.stringify(found) === JSON.stringify(wanted)) return true;
    await new Promise(over => setTimeout(over, 50));
  }}
  return false; }}"""
NOTHING_YET = "wanted => document.querySelector('main').textContent.includes('not on the phone yet') === wanted"
GROUND = f"id => {BOOK}.then(book => book.ofProperty(id)).then(JSON.stringify)"
"""As text: half a megabyte value by value takes a second."""


class Walk:
    """One phone, and the ground it has brought along."""

    def __init__(self, page: Page, known: Known) -> None:
        self.page, self.address, self.property = page, known.address, known.ids["property_id"]

    def ground(self) -> dict[str, Any]:
        found: dict[str, Any] = json.loads(self.page.evaluate(GROUND, self.property))
        return found

    def tree(self, label: str) -> str:
        return next(str(each["id"]) for each in self.ground()["trees"] if each["label"] == label)

    def go(self, screen: str, *parts: str) -> None:
        for where, nothing_yet in ((f"/make/{random.random()}", True),
                                   (f"/{screen}/{self.property}/{'/'.join(parts)}", False)):
            self.page.evaluate("where => { location.hash = where; }", where)
            self.page.wait_for_function(NOTHING_YET, arg=nothing_yet)

    def tap(self, name: str) -> None:
        self.page.locator("main").get_by_role("button", name=name, exact=True).click()

    def choose(self, code: str) -> None:
        self.and_on(self.page.locator(".names button", has=self.page.locator(f"b:text-is('{code}')")))

    def save(self, name: str) -> None:
        """Tap a key that keeps something; what comes next is asked when this returns."""
        self.and_on(self.page.locator("main").get_by_role("button", name=name, exact=True))

    def and_on(self, key: Locator) -> None:
        asked = self.page.locator("main h1").element_handle()
        key.click()
        self.page.wait_for_function("h1 => !h1.isConnected", arg=asked)

    def type(self, digits: str) -> None:
        for digit in digits:
            self.tap(digit)

    def asked(self, label: str) -> None:
        expect(self.page.locator("main h1")).to_contain_text(label)

    def read(self, tree: str, kind: str) -> list[dict[str, Any]]:
        """What stands of a kind at a tree or its pits, as this phone took it."""
        ground = self.ground()
        of = {tree, *(pit["id"] for pit in ground["pits"] if pit["tree_id"] == tree)}
        return [each for each in ground["readings"] if each["own"] and each["stands"] and each["kind"] == kind
                and each["of"] in of]
