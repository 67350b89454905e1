"""A browser window in which nothing goes wrong unseen, and what is measured in it."""

from __future__ import annotations

from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, CDPSession, Page, ViewportSize

from tests.browser.pages import Known, Seen

CHECKS = (Path(__file__).parent / "checks.js").read_text(encoding="utf-8")
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
         "resultTypes": ["violations"]}
"""What is in order is not told node by node: to bring that out of the page takes longer than to look."""
WITHOUT_STROKES = {"exclude": [["svg > *"]]}
"""Of a picture its role, its name and its words are judged; its strokes are many."""
LAPTOP: ViewportSize = {"width": 1280, "height": 900}
FIRST_LOAD_BYTES, SCRIPT_BYTES = 250_000, 60_000
WAYS_ON = """() => [...document.querySelectorAll('a[href], form')].filter(each => each.checkVisibility())
    .map(each => each.tagName === 'A' ? `to ${each.getAttribute('href')}` : `send ${each.getAttribute('action')}`)"""


class Window:
    """One page after the other, each on a laptop by day and with nothing in the cache."""

    def __init__(self, page: Page, known: Known) -> None:
        self.page, self._known = page, known
        self.loaded: dict[str, int] = {}
        """Bytes as they were sent, by address."""
        self._faults: list[str] = []
        page.add_init_script(CHECKS)
        self._listen()
        self._wire: CDPSession = page.context.new_cdp_session(page)
        self._weigh()

    def _listen(self) -> None:
        page, found = self.page, self._faults.append
        page.on("console", lambda said: found(f"console: {said.text}") if said.type == "error" else None)
        page.on("pageerror", lambda error: found(f"script: {error}"))
        page.on("request", lambda asked: found(f"asked {asked.url}") if not self._ours(asked.url) else None)

        def refuse(dialog: Any) -> None:
            found(f"dialog: {dialog.message}")
            dialog.dismiss()

        page.on("dialog", refuse)

    def _ours(self, url: str) -> bool:
        return url.startswith((self._known.address, "data:", "blob:", "about:"))

    def _weigh(self) -> None:
        asked: dict[str, str] = {}
        self._wire.send("Network.enable")
        self._wire.send("Network.setCacheDisabled", {"cacheDisabled": True})
        self._wire.on("Network.requestWillBeSent", lambda told: asked.update(
            {told["requestId"]: told["request"]["url"]}))
        self._wire.on("Network.loadingFinished", lambda told: self.loaded.update(
            {asked[told["requestId"]]: int(told["encodedDataLength"])}))

    def go(self, seen: Seen) -> None:
        self.page.set_viewport_size(LAPTOP)
        self.page.emulate_media(color_scheme="light")
        self.loaded.clear()
        self._faults.clear()
        self.page.goto("about:blank")  # a page that renews itself would break off the way to a slow one
        answer = self.page.goto(seen.on(self._known))
        assert answer
        assert answer.status == seen.status, (seen.on(self._known), answer.status)
        if seen.status != 200:  # the browser complains that what is missing is missing
            self._faults[:] = [each for each in self._faults if f"status of {seen.status}" not in each]

    def check(self, *names: str) -> list[str]:
        return [fault for name in names for fault in self.page.evaluate(f"{name}()")]

    def axe(self, whole: bool = False) -> list[str]:
        """whole: also the strokes of pictures, and contrast, of which faintText asks for more."""
        context, rules = (None, {}) if whole else (WITHOUT_STROKES, {"rules": {"color-contrast": {"enabled": False}}})
        found = Axe().run(self.page, context, RULES | rules).response["violations"]
        return [f"{each['id']}: {node['html'][:160]}" for each in found for node in each["nodes"]]

    def faults(self) -> list[str]:
        return self._faults

    def too_heavy(self) -> list[str]:
        script = sum(size for url, size in self.loaded.items() if urlsplit(url).path.endswith(".js"))
        weights = (("first load", sum(self.loaded.values()), FIRST_LOAD_BYTES), ("script", script, SCRIPT_BYTES))
        return [f"{what} {size} bytes" for what, size, most in weights if size > most]

    def ways_on(self) -> set[str]:
        """Where the page leads to, and which forms can be sent from it."""
        return set(self.page.evaluate(WAYS_ON))

    def tab_through(self, most: int) -> list[str]:
        """Walk the page by keyboard and tell what is not seen or not reached; of a very long one, its beginning."""
        wrong: list[str] = []
        # What was last scrolled to is where Tab would go on from.
        self.page.evaluate("document.body.tabIndex = -1; document.body.focus(); "
                           "document.body.removeAttribute('tabindex')")
        for step in range(most):
            self.page.keyboard.press("Tab")
            here = self.page.evaluate("focused()")
            if here is None and step:
                return wrong + self.check("unreached", "outOfOrder")
            wrong += here or []
        return wrong


def opened(browser: Browser, known: Known, script: bool = True) -> Window:
    """A browser of whoever is signed in at a desk."""
    context = browser.new_context(java_script_enabled=script)
    if known.cookie:
        context.add_cookies([{"name": "rootcase", "value": known.cookie, "url": known.address}])
    return Window(context.new_page(), known)
