"""The phone's own modules in a browser: over a database in memory for the model, and with one line of theirs broken."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Browser, Page, Route

from rootcase.web.statics import STATIC

MODULES = STATIC / "field"
MODEL = Path(__file__).parent / "phone_model"
ORIGIN = "http://localhost"
"""A browser takes it for safe, and nothing of it leaves the browser."""
Breaks = Mapping[str, tuple[str, str]]
"""By module: what stands there, and what stands there instead."""


@contextmanager
def modules_in(browser: Browser, breaks: Breaks | None = None) -> Iterator[Page]:
    """A blank page beside the modules: /real/ as they are, /model/ with the database in memory."""
    for name, (old, _) in (breaks or {}).items():
        text = (MODULES / name).read_text(encoding="utf-8")
        assert text.count(old) == 1, f"{name} no longer has one such line: {old}"
    context = browser.new_context()
    page = context.new_page()
    page.route(f"{ORIGIN}/**", lambda route: _answer(route, breaks or {}))
    page.goto(f"{ORIGIN}/blank")
    yield page
    context.close()


def _answer(route: Route, breaks: Breaks) -> None:
    folder, _, name = route.request.url.removeprefix(f"{ORIGIN}/").partition("/")
    if not name:
        route.fulfill(body="<!doctype html><title>phone</title>", content_type="text/html")
        return
    own = MODEL if (folder == "model" and (MODEL / name).exists()) else MODULES
    text = (own / name).read_text(encoding="utf-8")
    if name in breaks and own is MODULES:
        text = text.replace(*breaks[name])
    route.fulfill(body=text, content_type="text/javascript")
