"""Signing out on a phone: what is unsent is sealed before it is forgotten, and opened by its practice alone."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Iterator
from hashlib import sha256
from itertools import count
from pathlib import Path
from random import Random
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Route

from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.fieldbook.people.register import add_person
from rootcase.fieldbook.people.sessions import open_session
from rootcase.services.phone_file import take_phone_file
from rootcase.services.sealing import open_pack, sealed_as, sealing_pair
from rootcase.web.desk import Desk
from tests.browser.conftest import answering
from tests.browser.field_phone import modules_in
from tests.fieldbook.people.chance import chance
from tests.fieldbook.sheets import open_book
from tests.web.conftest import NOW

SEAL = """async ([key, contents, photo]) => {
  const { sealPack } = await import("/real/seal.js");
  return Array.from(await sealPack(key, contents, new Uint8Array(photo)));
}"""
USE = """async ([what, more]) => {
  const otherKey = async () => {
    const own = await crypto.subtle.generateKey({ name: "ECDH", namedCurve: "P-256" }, false, ["deriveBits"]);
    const point = new Uint8Array(await crypto.subtle.exportKey("raw", own.publicKey));
    const mark = new Uint8Array(await crypto.subtle.digest("SHA-256", point));
    const id = [...mark].map((byte) => byte.toString(16).padStart(2, "0")).join("");
    return { id, public: btoa(String.fromCharCode(...point)) };
  };
  const book = await import("/static/field/keeping.js");
  const seal = await import("/static/field/seal.js");
  const { newId } = await import("/static/field/canonical.js");
  const { unsentFiles } = await import("/static/field/unsent.js");
  const { tidy } = await import("/static/field/at_rest.js");
  return await ({
    start: async () => {
      const { phone } = await book.self();
      const answer = await fetch("/api/field/start", { headers: { "Rootcase-Phone": phone } });
      if (answer.ok) await book.takeStart(await answer.json());
      return answer.status;
    },
    keep: async ({ property, label, photo, observer }) => {
      const me = await book.self();
      const visit = { slot: newId(), visit: newId(), label, day: "2016-01-15", observer: observer ?? me.person };
      const photos = photo ? [{ blob: new Blob([photo], { type: "image/jpeg" }), of: property }] : [];
      return book.keep({ property, events: [{ kind: "visit_started", body: visit }], photos });
    },
    leave: async () => { try { await seal.leave(book); return "left"; } catch (error) { return error.message; } },
    leaveFull: async () => {
      const full = { ...book, keepSealed: async () => { throw new Error("full"); } };
      try { await seal.leave(full); return "left"; } catch (error) { return error.message; }
    },
    leaveMeanwhile: async (told) => {
      let once = 0;
      const busy = { ...book, keepSealed: async (packs) => {
        await book.keepSealed(packs);
        once += 1;
        if (once > told.times) return;
        const visit = { slot: newId(), visit: newId(), label: "meanwhile", day: "2016-01-15", observer: "crew1" };
        await book.keep({ property: told.property, events: [{ kind: "visit_started", body: visit }] });
      } };
      try { await seal.leave(busy); return "left"; } catch (error) { return error.message; }
    },
    sendSealed: () => seal.sendSealed(book).catch((error) => error.name),
    sealed: async () => (await book.sealedPacks()).length,
    waiting: () => book.waiting(),
    files: async () => Promise.all((await unsentFiles(book)).map(({ blob }) => blob.text())),
    hold: async ({ practice }) => {
      const { start } = await book.self();
      const sealing = await otherKey();
      await book.takeStart({ ...start, practice: { ...start.practice, id: practice, sealing } });
    },
    state: ({ id }) => book.state(id),
    frame: async ({ reading }) => {
      await book.takeSheet(`frame/${reading}`, new Blob(["last year's picture"]));
      return Boolean(await book.sheet(`frame/${reading}`));
    },
    holdsFrame: async ({ reading }) => Boolean(await book.sheet(`frame/${reading}`)),
    later: ({ days }) => { const real = Date.now; Date.now = () => real() + days * 86_400_000; },
    finish: () => seal.finishLeaving(book),
    needing: () => book.needing(),
    letGo: async ({ id, reason }) => {
      const { letGo } = await import("/static/field/letting_go.js");
      return letGo(book, (await book.needing()).find((each) => each.id === id), reason);
    },
    send: async () => {
      const { makeSender } = await import("/static/field/sending.js");
      await makeSender(book, { ask: (...given) => fetch(...given) }).wake("key");
      return book.waiting();
    },
    takeGround: ({ id, told }) => book.takeGround(id, told),
    tidy: async ({ start, day }) => { await tidy(book, start, day); return book.grounds(); },
    all: () => new Promise((resolve) => {
      const opening = indexedDB.open("rootcase-field");
      opening.onsuccess = async () => {
        const names = [...opening.result.objectStoreNames];
        const turn = opening.result.transaction(names);
        const found = await Promise.all(names.map((name) => new Promise((done) => {
          const asked = turn.objectStore(name).getAll();
          asked.onsuccess = () => done(asked.result);
        })));
        const plain = (key, value) => (value instanceof Uint8Array || value instanceof ArrayBuffer
          ? new TextDecoder("latin1").decode(value) : value);
        resolve(JSON.stringify(found, plain));
      };
    }),
  })[what](more);
}"""
NUMBERS = count(1)
SECRET, PHOTO = "behind the green gate", "a photo of the face of a pit"


NOTHING_NAMED = '{"generation": "", "events": [], "photos": []}'
WRONG = ((500, "application/json", "{}"), (200, "text/html", "<p>Sign in to this network</p>"),
         (200, "application/json", '{"events": ['), (200, "application/json", NOTHING_NAMED),
         *((status, "application/json", NOTHING_NAMED) for status in (401, 403, 409, 413, 429)))


class Phone:
    """A phone's page on a practice's own desk."""

    def __init__(self, context: BrowserContext, address: str, book: Fieldbook) -> None:
        self.context, self.address, self.book = context, address, book
        self.page: Page = context.new_page()
        self.page.goto(f"{address}/static/icon.svg")
        self.ground = book.properties()[0].id

    def do(self, what: str, **more: Any) -> Any:
        return self.page.evaluate(USE, [what, more])

    def sign_in(self, code: str) -> None:
        token = open_session(self.book.store, ("own", code), "browser", "", NOW, chance(next(NUMBERS)))
        self.context.add_cookies([{"name": "rootcase", "value": token, "url": self.address}])
        assert self.do("start") == 200

    def visits(self) -> set[str]:
        return {visit.label for visit in self.book.record(self.ground).visits}


@pytest.fixture(scope="module")
def own_desk(tmp_path_factory: pytest.TempPathFactory, desk_folder: Path) -> Iterator[tuple[str, Fieldbook]]:
    path = tmp_path_factory.mktemp("sealing") / "own.sqlite"
    shutil.copy(desk_folder / "demo.sqlite", path)
    with open_fieldbook(path) as book:
        for code in ("crew1", "crew2"):
            add_person(book.store, code, "Rowan Doe", code, "crew")
        with answering(Desk(path, lambda: NOW, path.with_name("results"))) as address:
            yield address, book


@pytest.fixture
def phone(browser: Browser, own_desk: tuple[str, Fieldbook]) -> Iterator[Phone]:
    context = browser.new_context()
    yield Phone(context, *own_desk)
    context.close()


def test_what_the_browser_seals_the_server_opens(browser: Browser, tmp_path: Path) -> None:
    random = Random(8)
    with open_book(tmp_path / "book.sqlite") as book, modules_in(browser) as page:
        pair = sealing_pair(book.store, NOW)
        key = {"id": pair.id, "public": pair.public}
        for size in (0, 1, 70_000):
            photo = random.randbytes(size)
            proof = sealed_as(pair, "own", "p é 樹", "crew1", NOW)
            told = {"practice": "own", "phone": "p é 樹", "code": "crew1", "as": proof, "events": []}
            pack = bytes(page.evaluate(SEAL, [key, told, list(photo)]))
            opened = open_pack(book.store, pack)
            assert (opened.code, opened.phone, opened.photo) == ("crew1", "p é 樹", photo)
        assert "damaged" in page.evaluate(
            "async (key) => { const { sealPack } = await import('/real/seal.js');"
            " return sealPack(key, {}).catch((error) => error.message); }", {**key, "id": "0" * 64})


def test_who_signs_out_leaves_nothing_that_can_be_read_and_the_next_one_brings_it(phone: Phone) -> None:
    phone.sign_in("crew1")
    kept = phone.do("keep", property=phone.ground, label=SECRET, photo=PHOTO)
    assert SECRET in phone.do("all")
    assert PHOTO in phone.do("all")
    assert phone.do("leave") == "left"
    assert phone.do("start") == 401, "the session is over"
    for clear in (SECRET, PHOTO, "Alder Bank"):
        assert clear not in phone.do("all")
    assert phone.do("sealed") == 2
    assert SECRET not in phone.visits()
    phone.sign_in("crew2")
    phone.do("sendSealed")
    assert phone.do("sealed") == 0
    with phone.book.store.reading() as look:
        assert look.hashes([kept[0]["id"]]) == {kept[0]["id"]: kept[0]["hash"]}
    brought, = (visit for visit in phone.book.record(phone.ground).visits if visit.label == SECRET)
    assert brought.observer == "crew1", "it is theirs who sealed it"
    assert phone.book.photos.sound(sha256(PHOTO.encode()).hexdigest()) is not None


def test_what_could_not_be_sealed_is_not_forgotten(phone: Phone) -> None:
    phone.sign_in("crew1")
    phone.do("keep", property=phone.ground, label=SECRET, photo=PHOTO)
    assert phone.do("leaveFull") == "full"
    assert (phone.do("waiting")["others"], phone.do("waiting")["photos"]) == (1, 1)
    assert phone.do("start") == 200, "nobody was signed out"


def test_what_another_window_keeps_meanwhile_is_sealed_too_or_nobody_is_signed_out(phone: Phone) -> None:
    phone.sign_in("crew1")
    phone.do("keep", property=phone.ground, label="first")
    assert phone.do("leaveMeanwhile", property=phone.ground, times=9) == "not all is sealed"
    assert phone.do("waiting")["others"] == 4
    assert phone.do("leaveMeanwhile", property=phone.ground, times=1) == "left"
    assert "meanwhile" not in phone.do("all")
    phone.sign_in("crew2")
    phone.do("sendSealed")
    assert {"first", "meanwhile"} <= phone.visits()


def test_without_signal_one_signs_out_all_the_same(phone: Phone) -> None:
    phone.sign_in("crew1")
    phone.do("keep", property=phone.ground, label=SECRET)
    phone.context.set_offline(True)
    assert phone.do("leave") == "left"
    assert SECRET not in phone.do("all")
    phone.context.set_offline(False)
    assert phone.page.evaluate("""async () => {
      const book = await import("/static/field/keeping.js");
      return (await import("/static/field/seal.js")).finishLeaving(book);
    }""")
    assert phone.do("start") == 401


def answering_with(status: int, kind: str, body: str) -> Callable[[Route], None]:
    def answer(route: Route) -> None:
        route.fulfill(status=status, content_type=kind, body=body)

    return answer


def test_signing_out_at_one_practice_leaves_anothers_entries_to_it(phone: Phone) -> None:
    """Each is sealed to its own practice's key, and waits there for somebody of it."""
    phone.sign_in("crew1")
    kept = phone.do("keep", property=phone.ground, label="of this practice", photo="one photo")
    phone.do("hold", practice="other")
    phone.do("keep", property="theirs", label="of the other", photo="one photo")
    waiting = phone.do("waiting")
    assert (waiting["others"], waiting["photos"], waiting["ofOthers"]) == (1, 1, 2)
    assert phone.do("leave") == "left"
    assert "of this practice" not in phone.do("all")
    assert "of the other" not in phone.do("all")
    phone.sign_in("crew2")
    assert phone.do("waiting")["ofOthers"] == 2
    phone.do("sendSealed")
    waiting = phone.do("waiting")
    assert (waiting["sealed"], waiting["ofOthers"]) == (0, 2)
    with phone.book.store.reading() as look:
        assert look.hashes([kept[0]["id"]]) == {kept[0]["id"]: kept[0]["hash"]}
        assert look.aside() == []


def test_what_one_person_left_unsent_does_not_go_under_the_next_ones_name(phone: Phone) -> None:
    phone.sign_in("crew1")
    kept = phone.do("keep", property=phone.ground, label="by crew1")
    phone.sign_in("crew2")
    waiting = phone.do("send")
    assert (waiting["others"], waiting["ofOthers"]) == (0, 1)
    with phone.book.store.reading() as look:
        assert look.hashes([kept[0]["id"]]) == {}
        assert look.aside() == []
    phone.sign_in("crew1")
    assert phone.do("send")["others"] == 0
    assert "by crew1" in phone.visits()


def test_a_captive_portal_does_not_sign_anybody_out(phone: Phone) -> None:
    phone.sign_in("crew1")
    phone.page.route("**/sign-out", lambda route: route.fulfill(status=200, body="<p>Welcome</p>"))
    phone.page.route("**/api/field/start", lambda route: route.fulfill(status=200, body="<p>Welcome</p>"))
    assert phone.do("leave") == "left"
    assert not phone.do("finish")
    phone.page.unroute("**/sign-out")
    phone.page.unroute("**/api/field/start")
    assert phone.do("finish")
    assert phone.do("start") == 401


def test_a_pack_that_is_refused_holds_no_other_up_and_is_not_sent_at_each_opening(phone: Phone) -> None:
    phone.sign_in("crew1")
    for label in ("refused", "taken"):
        phone.do("keep", property=phone.ground, label=label, photo=label)
    phone.do("leave")
    phone.sign_in("crew2")
    asked: list[str] = []

    def once(route: Route) -> None:
        asked.append(route.request.url)
        if len(asked) == 1:
            route.fulfill(status=422, json={"error": "not whole", "where": "", "right": "another"})
        else:
            route.continue_()

    phone.page.route("**/api/field/sealed", once)
    phone.do("sendSealed")
    assert (len(asked), phone.do("sealed")) == (3, 1)
    phone.do("sendSealed")
    assert len(asked) == 3


def test_what_is_let_go_on_the_phone_is_let_go_at_the_desk_or_not_at_all(phone: Phone) -> None:
    phone.sign_in("crew1")
    phone.do("keep", property=phone.ground, label="by another", observer="crew2")
    phone.do("send")
    needs, = phone.do("needing")
    phone.page.route("**/api/events/held", lambda route: route.abort())
    assert not phone.do("letGo", id=needs["id"], reason="typed twice")
    phone.page.unroute("**/api/events/held")
    assert phone.do("letGo", id=needs["id"], reason="typed twice")
    assert phone.do("needing") == []
    assert phone.do("state", id=needs["id"]) == "settled"
    with phone.book.store.reading() as look:
        kept, = (each for each in look.aside() if each.id == needs["id"])
    assert (kept.settled, kept.reason) == ("let_go", "typed twice")


def test_a_wrong_answer_leaves_what_is_sealed(phone: Phone) -> None:
    phone.sign_in("crew1")
    phone.do("keep", property=phone.ground, label="of a wrong answer")
    phone.do("leave")
    phone.sign_in("crew2")
    for status, kind, body in WRONG:
        phone.page.route("**/api/field/sealed", answering_with(status, kind, body))
        phone.do("sendSealed")
        assert phone.do("sealed") == 1, (status, body)
        phone.page.unroute("**/api/field/sealed")
    phone.do("sendSealed")
    assert phone.do("sealed") == 0


def test_a_saved_file_is_taken_in_at_the_desk(phone: Phone, tmp_path: Path) -> None:
    phone.sign_in("crew1")
    phone.do("keep", property=phone.ground, label="sealed before", photo="sealed photo")
    phone.do("leave")
    phone.sign_in("crew2")
    phone.do("keep", property=phone.ground, label="from a file", photo=PHOTO)
    path = tmp_path / "unsent.json"
    phone.do("hold", practice="other")
    phone.do("keep", property="theirs", label="another practice's")
    own, theirs = sorted(phone.do("files"), key=lambda told: json.loads(told)["practice"] != "own")
    assert ("another practice's" in own, "another practice's" in theirs) == (False, True)
    path.write_text(own, encoding="utf-8")
    assert "sealed before" not in path.read_text(encoding="utf-8")
    taken = take_phone_file(phone.book, path, NOW)
    assert (taken.count("new"), taken.photos, taken.refused) == (2, 2, ())
    assert {"from a file", "sealed before"} <= phone.visits()


def test_gate_codes_and_jobs_come_off_when_their_time_is_over(phone: Phone) -> None:
    phone.sign_in("crew1")
    for an_id in ("kept", "gone", "unsent"):
        phone.do("takeGround", id=an_id, told={"gate": "4417 star", "contacts": [{"name": "Hazel"}],
                                               "stop_day": "2016-01-15"})
    phone.do("keep", property="unsent", label="of a job that is no more")
    jobs = {"properties": [{"id": "kept"}]}
    today = phone.do("tidy", start=jobs, day="2016-01-15")
    assert [(each["id"], each["gate"]) for each in today] == [("kept", "4417 star"), ("unsent", "")]
    tomorrow = phone.do("tidy", start=jobs, day="2016-01-16")
    assert [(each["id"], each["gate"], each["contacts"]) for each in tomorrow] == [("kept", "", []), ("unsent", "", [])]
    assert "4417" not in json.dumps(json.loads(phone.do("all")))


def test_what_was_sent_and_last_years_pictures_come_off_with_their_job(phone: Phone) -> None:
    phone.sign_in("crew1")
    phone.do("takeGround", id=phone.ground, told={"readings": [{"id": "r1"}]})
    assert phone.do("frame", reading="r1")
    phone.do("keep", property=phone.ground, label="sent long ago", photo="sent long ago")
    assert phone.do("send")["photos"] == 0
    phone.do("tidy", start={"properties": []}, day="2016-01-15")
    assert not phone.do("holdsFrame", reading="r1")
    assert "sent long ago" in phone.do("all"), "a fieldbook that is brought back can still be filled up"
    phone.do("later", days=15)
    phone.do("tidy", start={"properties": [{"id": phone.ground}]}, day="2016-01-30")
    assert "sent long ago" in phone.do("all")
    phone.do("tidy", start={"properties": []}, day="2016-01-30")
    assert "sent long ago" not in phone.do("all")
