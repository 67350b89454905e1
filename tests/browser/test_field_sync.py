"""Keeping and sending on the phone's own page: without a network, badly answered, full, signed out, renewed, by two."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Error, Page, Route

from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.fieldbook.people.assigned import assign
from rootcase.fieldbook.people.register import add_person
from rootcase.fieldbook.people.sessions import open_session
from rootcase.fieldbook.view import heads
from rootcase.services.backup import back_up, bring_back
from rootcase.web.desk import Desk
from rootcase.web.pages import field_worker
from tests.browser.conftest import answering
from tests.fieldbook.people.chance import chance
from tests.web.conftest import DRAWS, NOW

KEEP = """async ([property, kind, body, size]) => {
    const book = await import("/static/field/keeping.js");
    const { newId } = await import("/static/field/canonical.js");
    const pieces = Array.from({ length: size }, () => crypto.getRandomValues(new Uint8Array(50_000)));
    const photos = size ? [{ blob: new Blob(pieces) }] : [];
    try {
        return (await book.keep({ property, events: [{ kind, body: { slot: newId(), ...body } }], photos }))[0].id;
    } catch (error) { return error.say; }
}"""
STATE = 'async (id) => (await import("/static/field/keeping.js")).state(id)'
UNSENT = 'async () => (await (await import("/static/field/keeping.js")).unsent()).events.map(({ id }) => id)'
KNOWN = 'async () => (await (await import("/static/field/keeping.js")).self()).practice'
PHOTOS = 'async () => (await (await import("/static/field/keeping.js")).waiting()).photos'
GENERATION = """async (id) => {
    const book = await import("/static/field/keeping.js");
    return (await book.events((await book.grounds())[0].id)).find((each) => each.id === id).sent;
}"""
SEND = 'async () => (await import("/static/field/sending.js")).sendNow()'
WHY = 'async () => (await import("/static/field/sending.js")).whyNotSent()'
PATIENCE = 800
"""Times to look, 25 ms apart: only what never comes takes so long."""
SHOWN = "main#main :is(h1, h2, p, button, a)"
NEW_WAITS = "navigator.serviceWorker.ready.then((here) => Boolean(here.waiting))"
WRONG = {
    401: "sign_in", 403: "not_yours", 409: "server", 413: "large", 500: "server", "portal": "portal", "cut": "portal",
    "other hash": "odd", 429: "busy",
}
"""By what is answered, what is said of it; the last asks to wait."""


@dataclass
class Practice:
    """A practice's own desk, and what of it a phone reads."""

    address: str
    book: Fieldbook
    cookie: str

    @property
    def reading(self) -> dict[str, str]:
        """A reading of today's page tree."""
        record = self.book.record(self.book.properties()[0].id)
        about = {"of": record.trees[0].id, "visit": record.visits[-1].id}
        return {"kind": "dbh", "typed": "14 in", "value": "355.6", **about}

    def holds(self, event_id: str) -> bool:
        with self.book.store.reading() as look:
            return event_id in {each.id for each in look.events(self.book.properties()[0].id)}


@pytest.fixture(scope="module")
def practice(desk_folder: Path, desk_results: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Practice]:
    path = owned(desk_folder, tmp_path_factory.mktemp("phones"))
    with practising(path, desk_results) as opened:
        yield opened


def owned(demo: Path, folder: Path) -> Path:
    """A fieldbook that has an owner, who goes to its one property."""
    path = folder / "own.sqlite"
    shutil.copy(demo / "demo.sqlite", path)
    with open_fieldbook(path) as book:
        add_person(book.store, "owner1", "Rowan Doe", "owner1", "owner", may_sign=True)
        assign(book.store, book.properties()[0].id, "owner1", None, by="owner1", now=NOW)
    return path


@contextmanager
def practising(path: Path, results: Path, port: int = 0) -> Iterator[Practice]:
    """A desk of such a fieldbook, whose owner is signed in."""
    desk = Desk(path, lambda: NOW, results, draws=DRAWS)
    with open_fieldbook(path) as book, answering(desk, port) as address:
        yield Practice(address, book, open_session(book.store, ("own", "owner1"), "browser", "", NOW, chance(1)))


@pytest.fixture(scope="module")
def page(browser: Browser, practice: Practice) -> Iterator[Page]:
    with phone(browser, practice, worker=True) as opened:
        yield opened


@contextmanager
def phone(browser: Browser, practice: Practice, *, worker: bool = False, room: int | None = None) -> Iterator[Page]:
    """A phone with its page open. worker: for the second time; room: bytes, all that it has."""
    context = browser.new_context(viewport={"width": 360, "height": 740},
                                  service_workers="allow" if worker else "block")
    sign_in(context, practice)
    page = context.new_page()
    if room is not None:
        context.new_cdp_session(page).send("Storage.overrideQuotaForOrigin",
                                           {"origin": practice.address, "quotaSize": room})
    page.goto(f"{practice.address}/field")
    page.wait_for_selector(SHOWN)
    until(page, KNOWN, practice.book.store.practice_id)
    if worker:
        until(page, "Boolean(navigator.serviceWorker.controller)", True)
    yield page
    context.close()


def sign_in(context: BrowserContext, practice: Practice) -> None:
    context.add_cookies([{"name": "rootcase", "value": practice.cookie, "url": practice.address}])


def keep(page: Page, practice: Practice, body: dict[str, str] | None = None, kind: str = "reading_taken",
         pieces: int = 0) -> Any:
    """The id of what was kept, or why it was not. pieces: of 50 kB each, of a photo."""
    return page.evaluate(KEEP, [practice.book.properties()[0].id, kind, body or practice.reading, pieces])


def until(page: Page, look: str, wanted: Any, given: Any = None) -> None:
    """Look again and again, from outside: the page's own rules let nothing be evaluated in it."""
    for _ in range(PATIENCE):
        try:
            found = page.evaluate(look, given)
        except Error as gone:  # the page is just being loaded
            found = gone
        if found == wanted:
            return
        page.wait_for_timeout(25)
    raise AssertionError(found)


def until_sent(page: Page, event_id: str) -> None:
    until(page, STATE, "sent", event_id)


def test_a_start_without_network_records_and_sends_later(page: Page, practice: Practice) -> None:
    context = page.context
    context.set_offline(True)
    failed: list[str] = []
    page.on("requestfailed", lambda each: failed.append(each.url))
    page.reload()
    page.wait_for_selector(SHOWN)
    kept = keep(page, practice)
    assert page.evaluate(STATE, kept) == "phone"
    until(page, "document.getElementById('waiting').textContent", "1 reading on this phone only")
    assert not [each for each in failed if "/api/" not in each]
    context.set_offline(False)
    until_sent(page, kept)
    assert practice.holds(kept)


def test_all_that_the_worker_lists_is_there(page: Page, practice: Practice) -> None:
    names = page.evaluate("caches.keys()")
    assert names == [f"rootcase-field-{field_worker.files_mark()}"]
    kept = page.evaluate("""async ([name]) => {
        const cache = await caches.open(name);
        return (await cache.keys()).map((each) => new URL(each.url).pathname);
    }""", names)
    assert {"/field", "/field/words.json", "/static/field/app.js", "/static/desk.css"} <= set(kept)


def test_wrong_answers_leave_the_outbox_as_it_is(page: Page, practice: Practice) -> None:
    lot: list[int | str] = [500]
    page.route("**/api/events", lambda route: wrongly(route, lot[0]))
    kept = keep(page, practice)
    for each, why in WRONG.items():
        lot[0] = each
        page.evaluate(SEND)
        until(page, WHY, why)
        assert page.evaluate(UNSENT) == [kept], each
    page.unroute_all(behavior="wait")
    page.reload()
    until_sent(page, kept)
    assert practice.holds(kept)


def wrongly(route: Route, how: int | str) -> None:
    if isinstance(how, int):
        route.fulfill(status=how, json={"error": "no", "where": "", "right": ""}, headers={"retry-after": "1"})
        return
    answer = route.fetch()
    text = answer.text()
    if how == "portal":
        route.fulfill(body="<html>Please accept</html>", content_type="text/html")
    elif how == "cut":
        route.fulfill(response=answer, body=text[:-3])
    else:
        told = answer.json()
        for each in told["events"]:
            each["hash"] = "0" * 64
        route.fulfill(response=answer, json=told)


def test_a_full_phone_never_says_saved(browser: Browser, practice: Practice) -> None:
    with phone(browser, practice, room=1_000_000) as page:
        assert keep(page, practice, pieces=100) == "field.keep.full"
        assert page.evaluate(UNSENT) == []


def test_who_is_signed_out_offline_saves_and_sends_after_signing_in(page: Page, practice: Practice) -> None:
    context = page.context
    context.set_offline(True)
    context.clear_cookies()
    kept = keep(page, practice)
    context.set_offline(False)
    until(page, WHY, "sign_in")
    assert page.evaluate(STATE, kept) == "phone"
    page.evaluate("location.hash = '/waiting'")
    page.get_by_text("Sign in again to send").wait_for()
    sign_in(context, practice)
    page.get_by_role("button", name="Send now").click()
    until_sent(page, kept)
    assert practice.holds(kept)


def test_two_phones_correct_one_reading_and_both_are_kept(browser: Browser, page: Page, practice: Practice) -> None:
    laid = """async (property) => {
        const book = await import("/static/field/keeping.js");
        const { phone } = await book.self();
        const answer = await fetch(`/api/field/properties/${property}`, { headers: { "Rootcase-Phone": phone } });
        if (answer.ok) await book.takeGround(property, await answer.json());
        return JSON.stringify((await book.ofProperty(property)).readings);
    }"""
    property_id = practice.book.properties()[0].id
    with phone(browser, practice) as second:
        old = keep(page, practice, slot := practice.reading | {"slot": "018f0000-0000-7000-8000-00000000000a"})
        until_sent(page, old)
        both = []
        for one, typed, value in ((page, "14.5 in", "368.3"), (second, "13 in", "330.2")):
            told = slot | {"typed": typed, "value": value, "supersedes": old, "reason": "looked again"}
            both.append(keep(one, practice, told, "reading_corrected"))
            until_sent(one, both[-1])
        with practice.book.store.reading() as look:
            head = heads(look.events(property_id))[slot["slot"]]
        assert {head.event.id, *(each.id for each in head.rivals)} == set(both)
        for one in (page, second):
            standing = next(each for each in json.loads(one.evaluate(laid, property_id))
                            if each["slot"] == slot["slot"] and each["stands"])
            assert {standing["id"], *(each["id"] for each in standing["rivals"])} == set(both)


def test_a_fieldbook_brought_back_is_filled_by_the_phone(browser: Browser, desk_folder: Path, desk_results: Path,
                                                         tmp_path: Path) -> None:
    with ExitStack() as lasting:
        with practising(owned(desk_folder, tmp_path), desk_results) as first:
            kept = back_up(first.book, tmp_path / "kept").file
            page = lasting.enter_context(phone(browser, first))
            made = keep(page, first, pieces=1)
            until_sent(page, made)
            until(page, PHOTOS, 0)
            photos = set(first.book.photos.marks())
        bring_back(kept, tmp_path / "back.sqlite")
        with practising(tmp_path / "back.sqlite", desk_results, int(first.address.rpartition(":")[2])) as back:
            assert not back.holds(made)
            sign_in(page.context, back)
            page.reload()
            until(page, GENERATION, back.book.store.generation, made)
            until(page, PHOTOS, 0)
            assert back.holds(made)
            assert set(back.book.photos.marks()) == photos


LISTEN = """() => {
    const { postMessage } = ServiceWorker.prototype;
    window.told = [];
    ServiceWorker.prototype.postMessage = function (said) {
        window.told.push(said);
        return postMessage.call(this, said);
    };
}"""


def test_a_new_state_of_the_pages_waits_for_an_empty_form(page: Page, practice: Practice,
                                                          monkeypatch: pytest.MonkeyPatch) -> None:
    page.evaluate("location.hash = '/trees/new'")
    page.get_by_label("Name of the property").fill("Elm Court")
    monkeypatch.setattr(field_worker, "files_mark", lambda: "another")
    page.evaluate("async () => { await (await navigator.serviceWorker.ready).update(); }")
    until(page, NEW_WAITS, True)
    page.evaluate(LISTEN)
    page.evaluate("location.hash = '/trees'")
    page.wait_for_timeout(300)
    assert page.evaluate("window.told") == [], "its name was not kept"
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    page.wait_for_timeout(300)
    assert page.evaluate("window.told") == [], "a picture may be on its way from the camera"
    page.evaluate("location.hash = '/today'")
    until(page, "window.told ?? ['take over']", ["take over"])
