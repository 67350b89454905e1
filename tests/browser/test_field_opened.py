"""From a name typed at a tree to the server: a property and a tree opened on a phone, and a photo from its key."""

from __future__ import annotations

import re
import shutil
from io import BytesIO
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser, Page, expect

from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.fieldbook.people.register import add_person
from rootcase.fieldbook.people.sessions import open_session
from rootcase.records.observe import PropertyRecord
from rootcase.web.desk import Desk
from tests.browser.conftest import answering
from tests.fieldbook.people.chance import chance
from tests.web.conftest import DRAWS, NOW

PATIENCE_MS = 15_000
NAME = "Cedar <b>Lane</b> 7"
WAITING_WHEN_TOLD = """() => new MutationObserver(() => {
    window.waitingWhenTold = document.getElementById("waiting").textContent;
}).observe(document.getElementById("live"), { childList: true, characterData: true, subtree: true })"""
"""What the head of the page says of sending at the moment something is told to be saved."""


def test_what_is_opened_on_a_phone_arrives_with_its_photo(
        browser: Browser, desk_folder: Path, desk_results: Path, tmp_path: Path) -> None:
    shutil.copy(desk_folder / "demo.sqlite", tmp_path / "own.sqlite")
    with open_fieldbook(tmp_path / "own.sqlite") as book:
        add_person(book.store, "crew1", "Rowan Doe", "crew1", "crew", may_sign=False)
        token = open_session(book.store, ("own", "crew1"), "browser", "", NOW, chance(1))
        with answering(Desk(tmp_path / "own.sqlite", lambda: NOW, desk_results, draws=DRAWS)) as address:
            context = browser.new_context(viewport={"width": 360, "height": 740})
            context.add_cookies([{"name": "rootcase", "value": token, "url": address}])
            page = context.new_page()
            page.set_default_timeout(PATIENCE_MS)
            page.goto(f"{address}/field")
            open_all(page)
            expect(page.locator("#waiting")).to_have_text("All is sent", timeout=PATIENCE_MS)
            context.close()
        arrived(book, opened(book))


def open_all(page: Page) -> None:
    page.get_by_role("link", name="New property").click()
    page.get_by_role("button", name="Start here").click()
    expect(page.locator(".fault")).to_have_text("Give it a name, such as Cedar Lane 7.")
    page.get_by_label("Name of the property").fill(NAME)
    page.get_by_role("button", name="Start here").click()
    page.get_by_role("button", name="Inches").click()
    expect(page.locator("#name")).to_have_text(NAME)
    page.get_by_role("link", name="New tree").click()
    page.get_by_role("button", name="Where does it stand?").click()
    expect(page.locator(".fault")).to_contain_text("Choose where the tree stands")
    page.get_by_label("Where it stands").select_option(label="new: mown grass")
    page.get_by_role("button", name="First look").click()
    expect(page.locator("h1")).to_contain_text("Which tree is it?")
    page.context.set_offline(True)
    page.evaluate(WAITING_WHEN_TOLD)
    page.set_input_files(".photo input", files=[{"name": "leaf.jpg", "mimeType": "image/jpeg", "buffer": picture()}])
    expect(page.locator("#live")).to_have_text("Photo saved on this phone")
    assert "1 photo" in page.evaluate("window.waitingWhenTold")
    page.context.set_offline(False)


def picture() -> bytes:
    made = BytesIO()
    Image.new("RGB", (1600, 1200), "green").save(made, "JPEG")
    return made.getvalue()


def opened(book: Fieldbook) -> PropertyRecord:
    return next(book.record(each.id) for each in book.properties() if each.name == NAME)


def arrived(book: Fieldbook, record: PropertyRecord) -> None:
    [tree], [visit] = record.trees, record.visits
    assert re.fullmatch(r"tree [A-Z]+1", tree.label)
    assert tree.place_id in {each.id for each in record.places}
    assert visit.observer == "crew1"
    [photo] = record.of(tree.id, kind="tree_photo")
    assert book.photos.find(photo.attributes["photo"]) is not None
