"""Every field of every form there is, filled with what nobody types in good faith; and every page afterwards.

The forms are found on the pages, the fields that a route declares in the app itself: a new one is sent by itself, or
named by a test here.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from shutil import copy
from typing import Any
from unicodedata import normalize

import pytest
from fastapi.routing import APIRoute, iter_route_contexts
from fastapi.testclient import TestClient
from openpyxl import load_workbook
from PIL import Image

from rootcase.fieldbook.events import Event, ReadingTaken, body_text
from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.fieldbook.people.assigned import assign
from rootcase.fieldbook.people.keys import invite
from rootcase.fieldbook.people.links import make_link
from rootcase.fieldbook.people.phones import heard
from rootcase.fieldbook.people.register import add_person
from rootcase.fieldbook.people.sessions import open_session
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.fieldbook.store.sent import Sent as KeptSent
from rootcase.records.people import PhoneAsked
from rootcase.services.demo import DAY, SEED
from rootcase.services.kept import make_casework
from rootcase.services.offer import Answering, answer_offer, make_offer
from rootcase.services.run import Run
from rootcase.services.sign import Wanted, sign_property
from rootcase.web import who
from rootcase.web.app import create_app
from rootcase.web.desk import Desk
from rootcase.web.jobs import Jobs
from rootcase.web.typed import typed_form
from tests.browser.pages import SEEN
from tests.fieldbook.people.chance import chance
from tests.fieldbook.people.quick import quick_passwords  # noqa: F401
from tests.fieldbook.sheets import changed, write_sheet
from tests.web.batches import yard
from tests.web.conftest import DRAWS, NOW, at_once
from tests.web.forms import Form, Page
from tests.web.heaps_told import heap_ids
from tests.web.photos_told import measured_ids
from tests.web.slides_told import slide_ids
from tests.web.test_bring_sheets import zipped

pytestmark = pytest.mark.full
"""A minute: some hundred forms, each found anew on its page before it is sent."""
TEXTS = (
    "<script>alert(1)</script>", '"><img src=x onerror=alert(2)>', "' onmouseover='alert(3)",
    "{{7*7}} ${7*7} %s {tree}",
    "</textarea></title><svg onload=alert(4)>", "javascript:alert(5)", "\u202eleft\u202c \u2066شجرة\u2069",
    "🌳🫠 e\u0301\u0323 楓", "Robert'); DROP TABLE events;--", '=HYPERLINK("http://example.org")', "+1+1", "@SUM(1)",
    "&lt;b&gt; &amp;amp;", "--><!-- ]]> <evil>", "../../etc/passwd%00", "#set page(fill: red) $x$ \\")
WORSE = ("\x00nul", "a\x01\x1b[31m\ufffe\u2028b", "word " * 2000, "x" * 5000)
PLAIN = {
    "corners": "0, 0\n10, 0\n10, 10", "distance": "3 m", "amount": "12", "unit": "yd3", "currency": "USD",
    "item": "mulch",
    "tax_rate": "9", "valid_days": "30", "laboratory_days": "14", "reach": "", "ends": "2016-05-01", "days": "9",
    "budgets": "", "latitude": "47.45", "longitude": "-122.31", "elevation": "430 ft", "law": "",
    "time_zone": "America/Los_Angeles", "day": "2016-01-14",
    "option": "1", "at": "", "volume_l": "300 gal", "volume": "200 gal", "gap": "6 in", "oxygen_mg_l": "8",
    "temperature_c": "60 F", "left": "", "oxygen": "8", "mass_g": "1", "total_chlorine_mg_l": "0",
    "first": "2016-01-14", "last": "2016-01-20", "weekdays": "", "place": "", "of": "oak 4",
    "code": "new1", "login": "new1", "typed": "", "weather_station": "Seattle"}
"""What a field holds while the others of its form are tried, where only this lets them be kept."""
LAST = ("/account", "/sign-out", "/people/", "/erase", "/end", "/undo", "/leave", "/forget", "/take-back", "/withdraw")
"""What takes something away, or who asks, comes behind the rest."""


Key = tuple[str, tuple[str, ...]]
"""A form by its route and the names of its fields."""


@dataclass
class Sent:
    """What was sent to a route and what came back."""

    route: str
    status: int
    texts: dict[str, str]
    fault: str = ""


@dataclass
class House:
    client: TestClient
    ids: dict[str, str]
    path: Path
    api: str
    sent: list[Sent] = field(default_factory=list)
    before: tuple[Sent, ...] = ()
    """What was sent before the pages were looked at; what takes something away came later."""
    seen: dict[str, str] = field(default_factory=dict)
    """The text of each page after all was sent."""
    wrong: list[str] = field(default_factory=list)
    """What a page held then that is none of ours."""
    secrets: set[str] = field(default_factory=set)

    def see(self, address: str) -> Page:
        return Page(self.client.get(address, follow_redirects=True).text)

    def post(self, address: str, texts: dict[str, str], **how: Any) -> None:
        answer = self.client.post(address, **how)
        seen = Page(answer.text if "html" in answer.headers.get("content-type", "") else "")
        fault = f"{answer.status_code}" if answer.status_code >= 500 else ", ".join(seen.foreign)
        self.sent.append(Sent(route_of(self.client, address), answer.status_code, texts, fault))


def routes_of(client: TestClient) -> list[Any]:
    app: Any = client.app
    return [each for each in iter_route_contexts(app.routes) if isinstance(each.original_route, APIRoute)]


def route_of(client: TestClient, address: str) -> str:
    path = address.partition("?")[0].partition("#")[0]
    return next((each.path for each in routes_of(client) if "POST" in each.methods and
                 re.fullmatch(re.sub(r"\{\w+(:path)?\}", "[^/]+", each.path), path)), "")


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory, desk_folder: Path, desk_results: Path) -> Iterator[House]:
    path = tmp_path_factory.mktemp("hostile") / "own.sqlite"
    copy(desk_folder / "demo.sqlite", path)
    made_there = yard(path, NOW)
    run = Run(DAY, DRAWS, SEED, 2, results=desk_results)
    with open_fieldbook(path) as book:
        ground = book.properties()[0]
        make_casework(book, ground, run)
        add_person(book.store, "owner1", "Rowan Doe", "owner1", "owner", may_sign=True)
        add_person(book.store, "crew1", "Hazel Doe", "crew1", "crew", may_sign=False)
        open_session(book.store, ("own", "crew1"), "browser", "", NOW, chance(8))
        heard(book.store, PhoneAsked("017f22e2-79b0-7cc3-98c4-dc0c0c07398f"), "crew1", NOW)
        assign(book.store, ground.id, "crew1", None, by="owner1", now=NOW)
        token = open_session(book.store, ("own", "owner1"), "browser", "", NOW, chance(0))
        of_api = open_session(book.store, ("own", "owner1"), "api", "", NOW, chance(1))
        made, _ = make_offer(book, ground, run)
        sign_property(book, ground, run, Wanted(by="owner1", reason=TEXTS[0]))
        answer_offer(book, ground, Answering("question", "Pat", words="Will the lawn stay open?"), DAY)
        link, _ = make_link(book.store, ground.id, made.made.mark, by="owner1", now=NOW, random_bytes=chance(2))
        keep_aside(book, ground.id)
        record = book.record(ground.id)
        tree = {each.label: each.id for each in record.trees}
        restricted = book.recording.tell(ground.id, PutOnLogged(
            slot="restricted", tree=tree["oak 4"], remedy="growth_regulator", day=DAY, by="owner1", product="Example",
            restricted=True))
        ids = {"property_id": ground.id, "worked_id": ground.id, "tree_id": tree["oak 4"], "healthy_id": tree["oak 1"],
               "reading_id": record.readings[0].id, "code": "crew1", "token": link, "mark": made.made.mark,
               "invitation": invite(book.store, "crew1", NOW, chance(4)), "job_id": "none",
               "drawn_id": record.places[0].id, "restricted": str(book.recording.named(restricted.id).number),
               **made_there, **heap_ids(book),
               **slide_ids(book), **measured_ids(book, ground.id, tree["oak 4"])}
    desk = Desk(path, lambda: NOW, desk_results, draws=DRAWS)
    desk.jobs = Jobs(lambda: NOW, workers=0)  # what takes long waits for ever
    desk.jobs.call = at_once  # type: ignore[method-assign]
    client = TestClient(create_app(desk), base_url="http://127.0.0.1", headers={"origin": "http://127.0.0.1"},
                        cookies={"rootcase": token}, follow_redirects=False)
    made_house = House(client, ids, path, of_api)
    send_all(made_house)
    client.cookies.clear()
    with open_fieldbook(path) as book:  # what was sent has ended the others
        client.cookies.set("rootcase", open_session(book.store, ("own", "owner1"), "browser", "", NOW, chance(9)))
    yield made_house
    desk.close()


def keep_aside(book: Fieldbook, property_id: str) -> None:
    """Two readings that cannot be."""
    record = book.record(property_id)
    for number in range(2):
        body = ReadingTaken(slot=f"odd {number}", kind="dbh", of=record.trees[0].id, visit=record.visits[0].id,
                            typed=TEXTS[number], value=90_000.0 + number)
        an_id, made_at = f"017f22e2-79b0-7cc3-98c4-00000000000{number}", "2016-01-15T09:00:00.000Z"
        event = Event(an_id, "own", property_id, made_at, "phone 1", body)
        sent = KeptSent(an_id, property_id, body.KIND, made_at, "phone 1", body_text(body), event.hash)
        assert book.taking_in.take([sent], NOW)[0].state == "refused"


NAME = '"><img src=x onerror=alert(9)>'
LIST = "tag,species,dbh in,planted\n" + "\n".join(
    ",".join('"' + each.replace('"', '""') + '"' for each in TEXTS[at:at + 4]) for at in range(0, len(TEXTS), 4))
WEATHER = "date,tmax,tmin,rain\n2015-05-01,20,10,0\n" + NAME.replace('"', "") + ",1,2,3\n"


def brought(house: House) -> list[str]:
    """A list, a field sheet and a file of weather that wait to be mended."""
    sheet = write_sheet(house.path.parent / "sheet", changed("trees", 3, "dbh", TEXTS[1]))
    found = [house.client.post("/import", data={"what": what}, files={"file": (NAME + name, data)})
             for what, name, data in (("list", "a.csv", LIST), ("weather", "b.csv", WEATHER),
                                      ("list", "c.zip", zipped(sheet)))]
    return [each.headers["location"].partition("#")[0] for each in found]


def addresses(house: House) -> Iterator[str]:
    """Every page, and those that lie behind a choice; what needs unchanged readings first, what was begun twice."""
    base = f"/properties/{house.ids['property_id']}"
    yield from (f"/c/{house.ids['token']}", f"{base}/plan", f"{base}/offers", f"{base}/sign", f"{base}/signed")
    yield from ((each.at or each.route).format_map(house.ids | {"brought_id": "none"}) for each in SEEN)
    yield from (f"{base}/map?tool={tool}" for tool in ("tree", "line", "keep_off", "place"))
    yield f"{base}/map?tool=place&of={house.ids['drawn_id']}"
    yield f"/make/heaps/{house.ids['heap_id']}"  # held by now
    yield f"/record/{house.ids['restricted']}"  # the client's copy is owed
    waiting = brought(house)
    yield from [f"{base}/map/aerial", *waiting, *waiting]


def fill(form: Form, start: int, which: str) -> dict[str, str]:
    texts = TEXTS if which == "kept" else (*TEXTS, *WORSE)
    stands = form.as_it_stands()
    filled = {}
    for at, each in enumerate(form.fields):
        if each.name not in stands:
            continue
        tried = which == "all" or (each.is_text and not (which == "kept" and each.name in PLAIN))
        filled[each.name] = f"{texts[(start + at) % len(texts)]} {start + at}" if tried else PLAIN.get(
            each.name) or stands[each.name] if each.is_text else stands[each.name]
    return filled


def files_for(form: Form, which: str) -> dict[str, tuple[str, bytes]]:
    made = io.BytesIO()
    Image.new("RGB", (60, 40)).save(made, "JPEG")
    return {each.name: (NAME + ".jpg", made.getvalue() if which == "kept" else b"\x00" + NAME.encode())
            for each in form.fields if each.kind == "file"}


def send_all(house: House) -> None:
    """Every form of every page, anew for each sending: what it was shown for may have changed."""
    done = dict[Key, str]()
    for address in addresses(house):
        for key in keys(house, address):
            if done.setdefault(key, address) == address and not any(word in key[0] for word in LAST):
                send(house, address, key, "kept")
    look(house)
    sweep(house)
    for of in ("", "/account", "/sign-out"):
        for key, address in done.items():
            if key[0].startswith(of) and (of or not key[0].startswith(("/account", "/sign-out"))):
                send(house, address, key, "all")
    send(house, "/sign-in", keys(house, "/sign-in")[0], "all")


def sweep(house: House) -> None:
    """Every field that a route declares, of the API too, whether a page shows it or not."""
    for route in routes_of(house.client):
        declared = route.dependant.body_params
        if not declared or any(word in route.path for word in LAST):
            continue
        names = [name for each in declared
                 for name in getattr(each.field_info.annotation, "model_fields", [each.alias])]
        of_form = all(type(each.field_info).__name__ in ("Form", "File") for each in declared)
        address = route.path_format.format_map({name: house.ids.get(name, "x") for name in route.param_convertors})
        for text in (TEXTS[1], WORSE[0]):
            texts = dict.fromkeys(names, text)
            how = {"data": texts, "files": {"none": ("", b"")}} if of_form else {"json": texts}
            if route.path.startswith("/api/"):
                how["headers"] = {"authorization": f"Bearer {house.api}"}
            house.post(address, texts, **how)


def look(house: House) -> None:
    """Every page, after all was sent."""
    house.before = tuple(house.sent)
    base = f"/properties/{house.ids['property_id']}"
    known = house.ids | {"brought_id": "none"}
    found = [f"{base}/map?tool=place", *((each.at or each.route).format_map(known) for each in SEEN)]
    for listing, leads in (("/import", "/import/[0-9a-f]+"), (f"{base}/offers", f"{base}/offers/[0-9a-f]+")):
        found += sorted(set(re.findall(f'href="({leads})"', house.client.get(listing).text)))
    for address in found:
        answer = house.client.get(address, follow_redirects=True)
        page = Page(answer.text)
        house.seen[address] = " ".join(page.text.split())
        house.wrong += [f"{address}: {each}" for each in page.foreign]
        house.secrets |= {each.name for form in page.forms for each in form.fields if each.kind == "password"}
        if answer.status_code >= 500:
            house.wrong.append(f"{address}: {answer.status_code}")


def keys(house: House, address: str) -> list[Key]:
    return [key_of(house, form, address) for form in house.see(address).forms if form.method == "post"]


def key_of(house: House, form: Form, address: str) -> Key:
    return route_of(house.client, form.action or address), tuple(sorted({each.name for each in form.fields}))


def send(house: House, address: str, key: Key, which: str) -> None:
    form = next((each for each in house.see(address).forms
                 if each.method == "post" and key_of(house, each, address) == key), None)
    if form is not None:
        texts, files = fill(form, 7 * len(house.sent), which), files_for(form, which)
        house.post(form.action or address, texts, data=texts, **({"files": files} if files else {}))


TURNS = dict.fromkeys(map(ord, "\u202e\u202c\u2066\u2069"))
"""A client's name is anybody's word, and stands beside ours: it is shown without signs that turn the line around."""
NOT_SHOWN = {("/import/{brought_id}/cells", "cell.0"): "what is still at fault when the rest is kept waits in a file"}


def test_every_route_whose_fields_only_its_page_knows_is_sent_its_page(house: House) -> None:
    wanted = {route.path for route in routes_of(house.client)
              if any(each.call is typed_form for each in route.dependant.dependencies)}
    assert wanted - {each.route for each in house.sent} == set()
    assert len(house.sent) > 100


def test_nothing_that_is_sent_breaks_the_app_or_comes_back_alive(house: House) -> None:
    assert [each for each in house.sent if each.fault] == []
    assert house.wrong == []


def said(route: str, name: str, text: str) -> str:
    return text.translate(TURNS) if route.startswith("/c/") and name == "name" else text


def test_what_is_kept_is_shown_as_it_was_typed(house: House) -> None:
    shown = normalize("NFC", " ".join(house.seen.values()))
    kept = [(each.route, name, text) for each in house.before if each.status == 303
            for name, text in each.texts.items() if text.startswith(tuple(one[:8] for one in TEXTS))]
    lost = [each for each in kept if each[:2] not in NOT_SHOWN
            and normalize("NFC", " ".join(said(*each).split())) not in shown]
    assert lost == []
    assert len(kept) >= 10


def test_what_is_typed_into_a_password_is_shown_to_nobody_again(house: House) -> None:
    assert house.secrets | {"password"} <= set(who.SECRET)


def test_no_cell_of_a_workbook_is_a_formula(house: House) -> None:
    for address in (f"/properties/{house.ids['property_id']}/field-sheet.xlsx", "/practice/export/readings.xlsx"):
        book = load_workbook(io.BytesIO(house.client.get(address).content))
        cells = [cell for sheet in book for row in sheet for cell in row if isinstance(cell.value, str)]
        assert [cell.value for cell in cells if cell.data_type == "f"] == []
        assert len(cells) > 100


def test_a_refused_file_is_named_as_its_sender_did_and_by_no_place_of_the_server(house: House) -> None:
    answer = house.client.post(f"/properties/{house.ids['property_id']}/field-sheet", files={"file": (NAME, b"\x00")})
    assert answer.status_code == 422
    assert "onerror=alert(9)&gt;: this is not text" in answer.text
    assert "rootcase-" not in answer.text
