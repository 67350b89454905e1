"""What nobody types in good faith is shown as it was typed, on every page and in print, and is never run."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator

import httpx2 as httpx
import pytest
from playwright.sync_api import Browser
from pypdf import PdfReader

from tests.browser.hostile import TYPED
from tests.browser.looking import Window, opened
from tests.browser.pages import SEEN, Known, Seen

NEVER_OURS = 'script:not([src]), iframe, img[src="x"], tax, oaks, base, a[href^="javascript:"]'
INJECTED = f"""() => [...document.querySelectorAll({NEVER_OURS!r}),
    ...[...document.querySelectorAll('*')].filter(each => each.getAttributeNames().some(name => name.startsWith('on')))]
    .map(each => each.outerHTML.slice(0, 80))"""
TWICE_ESCAPED = re.compile("&(?:lt|gt|amp|quot|#)")
MOST_PARTS = 10
NAME = TYPED["Alder Bank school ground"]
REACHED = [seen for seen in SEEN if seen.route not in ("/first-run", "/sign-in", "/proof/{remedy}")]
"""All but the door, and next year's effect, which shows figures alone and wants trials of several seasons."""


@pytest.fixture(scope="module")
def window(browser: Browser, hostile: Known) -> Iterator[Window]:
    made = opened(browser, hostile)
    yield made
    made.page.context.close()


@pytest.mark.parametrize("seen", REACHED, ids=lambda seen: seen.at or seen.route)
def test_a_page_shows_and_runs_nothing(window: Window, seen: Seen) -> None:
    window.go(seen)
    window.page.set_viewport_size({"width": 320, "height": 640})
    assert window.page.evaluate(INJECTED) == []
    assert window.faults() == []
    assert window.check("lostSideways") == []
    shown = window.page.evaluate("document.body.textContent + document.title")
    if "{property_id}" in seen.route:
        assert NAME in shown
    for word in " ".join(TYPED.values()).split():  # a picture breaks its lines where it likes
        shown = shown.replace(word, "")
    assert TWICE_ESCAPED.findall(shown) == []


def test_signs_that_our_face_lacks_come_from_the_wide_one(window: Window) -> None:
    window.go(Seen("/trees"))
    assert window.page.evaluate("document.fonts.ready.then(() => document.fonts.check('1rem \"Rootcase Wide\"', '楓'))")
    assert any("/fonts/wide/06800" in address for address in window.loaded)
    assert window.faults() == []
    assert 0 < sum("/fonts/wide/" in address for address in window.loaded) < MOST_PARTS


def test_the_offer_on_paper_shows_what_was_typed_and_obeys_none_of_it(hostile: Known) -> None:
    ground = f"{hostile.address}/properties/{hostile.ids['property_id']}"
    paper = httpx.get(f"{ground}/offers/{hostile.ids['mark']}/offer.pdf", timeout=120,
                      cookies={"rootcase": hostile.cookie})
    assert paper.headers["content-type"] == "application/pdf", paper.text
    said = " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(paper.content)).pages).split())
    for name in ("Alder Bank school ground", "pitch", "reader 1", "The practice of this demonstration", "sales tax"):
        assert TYPED[name] in said
    assert "U+202E" in said


def test_the_paper_shows_what_was_typed_and_obeys_none_of_it(hostile: Known) -> None:
    paper = httpx.get(f"{hostile.address}/properties/{hostile.ids['property_id']}/report.pdf", timeout=120,
                      cookies={"rootcase": hostile.cookie})
    assert paper.headers["content-type"] == "application/pdf", paper.text
    said = " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(paper.content)).pages).split())
    for name in ("Alder Bank school ground", "pitch", "oak 2"):
        assert TYPED[name] in said
    assert "U+202E" in said
