"""A client's link opens one offer and takes three answers; whatever else is tried with it is refused."""

from __future__ import annotations

import html
import re
import shutil
from base64 import urlsafe_b64decode, urlsafe_b64encode
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.fieldbook.people.links import end_link, links, make_link
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.ground.length import MOST_WORDS
from rootcase.records.observe import Property
from rootcase.records.offer import MadeOffer
from rootcase.report.text.offer import BLOCKS, block, side_by_side, work_lines
from rootcase.report.text.signed import mark_shown
from rootcase.services.client import MOST_ANSWERS, MOST_NAME
from rootcase.services.demo import DAY, SEED
from rootcase.services.kept import kept_casework
from rootcase.services.make_batch import batch_named, call_back
from rootcase.services.offer import make_offer, show_offer
from rootcase.services.run import Run
from rootcase.services.sign import Wanted, sign_property
from rootcase.web.app import create_app
from rootcase.web.desk import OWN, Desk
from tests.fieldbook.people.chance import chance
from tests.web.conftest import DRAWS, NOW, at_once, think

GONE = "This link ended"
DAYS = iter(range(1, 9))


class Door:
    """A desk with an offer that was put to a client, and the client's browser."""

    def __init__(self, path: Path, results: Path) -> None:
        self.desk = Desk(path, lambda: NOW, results, draws=DRAWS)
        self.desk.jobs.call = at_once  # type: ignore[method-assign]
        self.run = replace(Run(DAY, DRAWS, SEED, 2), results=results)
        self.client = TestClient(create_app(self.desk), base_url="http://127.0.0.1", follow_redirects=False,
                                 headers={"origin": "http://127.0.0.1"})
        self.ground: Property = self.book.properties()[0]
        self.made: MadeOffer = make_offer(self.book, self.ground, self.run)[0].made
        self.token = self.link()

    @property
    def book(self) -> Fieldbook:
        return self.desk.book(OWN)

    def link(self, seed: int = 1, **more: Any) -> str:
        made: dict[str, Any] = {"by": "owner1", "now": NOW, "random_bytes": chance(seed), **more}
        return make_link(self.book.store, self.ground.id, self.made.mark, **made)[0]

    def see(self, token: str = "") -> Any:
        return self.client.get(f"/c/{token or self.token}")

    def say(self, answer: str, **typed: str) -> Any:
        return self.client.post(f"/c/{self.token}/{answer}", data=typed)

    @property
    def answers(self) -> list[tuple[str, int, str]]:
        offer = next(each for each in self.book.offers(self.ground.id) if each.mark == self.made.mark)
        return [(each.answer, each.option, each.words) for each in offer.answers]


@pytest.fixture(scope="module")
def offered(tmp_path_factory: pytest.TempPathFactory, desk_folder: Path, desk_results: Path) -> Iterator[Door]:
    path = tmp_path_factory.mktemp("client") / "own.sqlite"
    shutil.copy(desk_folder / "demo.sqlite", path)
    think(path, desk_results)
    door = Door(path, desk_results)
    yield door
    door.desk.close()


@pytest.fixture
def door(offered: Door) -> Door:
    """A link of its own for each test; what was answered before stays answered."""
    offered.desk.now = lambda: NOW
    return offered


def told(answer: Any) -> str:
    return html.unescape(answer.text)


def test_the_page_says_what_the_paper_says_and_nothing_leads_elsewhere(door: Door) -> None:
    answer = door.see()
    assert answer.status_code == 200
    kept = kept_casework(door.book, door.ground, door.desk.run("own")).casework
    shown = show_offer(door.book, door.ground, door.desk.run("own"), door.made, kept.plan if kept else None)
    assert shown is not None
    page = told(answer)
    for name in BLOCKS:
        for line in block(name, shown):
            assert line in page
    for row in side_by_side(shown)[1:]:
        for cell in row:
            assert cell in page
    for option in shown.offer.options:
        for work in work_lines(option, shown):
            assert work.work in page
            assert work.cost in page
    assert "Why?" in page
    assert "takes about" in page
    assert page.count("<svg") == 2
    addresses = re.findall(r'(?:href|src|action|formaction)="([^"#][^"]*)"', page)
    assert all(each.startswith(("/static/", f"/c/{door.token}/")) for each in addresses), addresses
    assert "<script" not in page
    assert "style=" not in page


def test_a_batch_that_was_called_back_after_it_came_here_is_the_first_thing_on_it(door: Door) -> None:
    batch = batch_named(door.book, "2")
    tree = door.book.record(door.ground.id).trees[0]
    assert "called back" not in told(door.see())
    door.book.recording.tell(door.ground.id, PutOnLogged(slot="from 2", tree=tree.id, remedy="extract", by="demo",
                                                         day=DAY - timedelta(days=1), load=batch.loads[0].id))
    assert "What you should know" not in told(door.see())
    call_back(door.book, batch.id, "E. coli 2,400 per 100 mL", "demo")
    page = told(door.see())
    main = page[page.index("<main"):]
    assert main.index("What you should know of what we put on here") < main.index("<h1")
    assert f"on the ground at {tree.label}. It was of batch 2. Known since: E. coli 2,400 per 100 mL." in page
    assert "maple 1" not in page


def test_nothing_of_another_property_stands_on_it(door: Door) -> None:
    page = told(door.see())
    for other in (ground for ground in door.book.properties() if ground.id != door.ground.id):
        assert other.name not in page
        assert other.id not in page
    assert door.ground.id not in page


def test_nobody_finds_it_and_nothing_of_it_stays(door: Door) -> None:
    for answer in (door.see(), door.see("wrong"), door.say("yes", name=""), door.say("question", name="Rowan")):
        assert "noindex" in answer.headers["x-robots-tag"]
        assert answer.headers["referrer-policy"] == "no-referrer"
        assert answer.headers["cache-control"] == "no-store"
        policy = answer.headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "script-src" not in policy
        assert "frame-ancestors 'none'" in policy
        assert "set-cookie" not in answer.headers
        assert '<meta name="robots" content="noindex, nofollow">' in answer.text


def flipped(token: str) -> Iterator[str]:
    bits = bytearray(urlsafe_b64decode(token + "="))
    for at in range(len(bits) * 8):
        bits[at // 8] ^= 1 << at % 8
        yield urlsafe_b64encode(bytes(bits)).rstrip(b"=").decode()
        bits[at // 8] ^= 1 << at % 8


def test_each_flipped_bit_and_every_other_spelling_opens_nothing(door: Door) -> None:
    gone = door.see("wrong")
    tried = [*flipped(door.token), door.token[:-1], door.token + "A", door.token + "=", door.token.lower(),
             door.token.swapcase(), "A" * 43, "x" * 4000, "%00", "..%2f" + door.token]
    assert len(tried) > 256
    for token in tried:
        answer = door.see(token)
        assert answer.status_code == 404, token
        if "/" not in token and "%" not in token:
            assert answer.text == gone.text, token
    assert GONE in gone.text


def test_expired_ended_and_never_made_are_told_alike(door: Door) -> None:
    wrong = door.see("wrong")
    short, ended = door.link(2, days=1), door.link(3)
    assert door.see(short).status_code == door.see(ended).status_code == 200
    door.desk.now = lambda: NOW + timedelta(days=1)
    expired = door.see(short)
    door.desk.now = lambda: NOW
    with open_fieldbook(door.desk.path) as elsewhere:  # as from the command line: the next request is refused
        newest = links(elsewhere.store, door.ground.id)[0]
        assert door.see(ended).status_code == 200
        end_link(elsewhere.store, newest.id, NOW)
    after = door.see(ended)
    assert [(each.status_code, each.text) for each in (expired, after)] == [(404, wrong.text)] * 2
    for answer in ("yes", "question", "no"):
        refused = door.client.post(f"/c/{ended}/{answer}", data={"name": "Rowan", "words": "why"})
        assert (refused.status_code, refused.text) == (404, wrong.text)


@pytest.mark.parametrize("verb", ["HEAD", "PUT", "PATCH", "DELETE", "OPTIONS", "TRACE", "PROPFIND"])
def test_every_other_verb_is_refused(door: Door, verb: str) -> None:
    before = door.answers
    for path in ("", "/yes", "/question", "/no"):
        assert door.client.request(verb, f"/c/{door.token}{path}", data={"name": "Rowan"}).status_code == 405
    assert door.client.post(f"/c/{door.token}").status_code == 405
    assert door.answers == before


def test_an_answer_s_address_typed_by_itself_leads_to_the_page(door: Door) -> None:
    before = door.answers
    for path in ("/yes", "/question", "/no"):
        led = door.client.get(f"/c/{door.token}{path}", follow_redirects=False)
        assert (led.status_code, led.headers["location"]) == (303, f"/c/{door.token}")
    assert door.answers == before


def test_what_is_refused_under_a_link_names_no_place_of_the_practice(door: Door) -> None:
    for answer in (door.client.get("/c/x/y/z"), door.client.post(f"/c/{door.token}"), door.client.get("/c/x")):
        assert answer.status_code in (404, 405)
        assert "/trees" not in answer.text
        assert answer.headers["referrer-policy"] == "no-referrer"


def test_nothing_else_opens_with_the_token(door: Door) -> None:
    for path in (f"/c/{door.token}/", f"/c/{door.token}/plan", f"/c/{door.token}/offer.pdf", "/c", "/c/"):
        assert door.client.get(path).status_code in (307, 404)
    for path in ("/", "/trees", f"/properties/{door.ground.id}/plan", "/people", "/api/properties", "/import"):
        for headers in ({}, {"authorization": f"Bearer {door.token}"}, {"cookie": f"rootcase={door.token}"}):
            answer = door.client.get(path, headers=headers)
            assert answer.status_code in (303, 401), path
            assert door.ground.name not in answer.text


def test_a_link_of_another_practice_opens_that_practices_offer_alone(door: Door) -> None:
    with open_fieldbook(door.desk.path, practice_id="other") as other:
        token, _ = make_link(other.store, door.ground.id, door.made.mark, by="owner9", now=NOW, random_bytes=chance(7))
    answer = door.see(token)
    assert (answer.status_code, GONE in answer.text) == (404, True)
    before = door.answers
    assert door.client.post(f"/c/{token}/yes", data={"name": "Hazel"}).status_code == 404
    assert door.answers == before


def test_what_is_said_is_kept_with_name_day_and_the_offers_mark(door: Door) -> None:
    asked = door.say("question", name="Rowan  Doe", words="<b>Will the bees mind?</b>")
    assert (asked.status_code, asked.headers["location"]) == (303, f"/c/{door.token}#said")
    page = door.see().text
    assert "Rowan Doe asked on 15 January 2016 about offer 1: &lt;b&gt;Will the bees mind?&lt;/b&gt;" in page
    assert door.say("no", name="Rowan Doe").status_code == 303
    assert "Rowan Doe said no on 15 January 2016 to offer" in told(door.see())
    assert door.say("yes", name="Rowan Doe", option="1").status_code == 303
    assert "Rowan Doe said yes on 15 January 2016 to offer 1, option 1." in told(door.see())
    assert [answer for answer, _, _ in door.answers][-3:] == ["question", "no", "yes"]
    newest = door.book.offers(door.ground.id)[0].answers[-1]
    assert newest.offer_mark == door.made.mark
    assert "Rowan" not in repr(newest)


@pytest.mark.parametrize(("answer", "typed", "why"), [
    ("yes", {"name": ""}, "we need the name of who answers; 1 to 80 letters"),
    ("yes", {"name": " \u200b\n"}, "we need the name of who answers"),
    ("no", {"name": "R" * (MOST_NAME + 1)}, "we need the name"),
    ("question", {"name": "Rowan", "words": " "}, "a question has words"),
    ("question", {"name": "Rowan", "words": "w" * (MOST_WORDS + 1)}, "1,000 signs at most")])
def test_what_cannot_be_taken_comes_back_beside_its_field(door: Door, answer: str, typed: dict[str, str],
                                                           why: str) -> None:
    before = door.answers
    refused = door.say(answer, **typed)
    assert refused.status_code == 422
    fault = re.search(r'<p class="fault" id="(\w+)-\w+-fault" role="alert">(.*?)</p>', refused.text)
    assert fault is not None
    assert fault[1] == answer
    assert why in fault[2]
    assert door.answers == before
    if len(typed.get("words", "")) > 5:
        assert typed["words"] in refused.text


def test_another_option_than_was_offered_is_refused(door: Door) -> None:
    before = door.answers
    assert door.say("yes", name="Rowan", option="99").status_code == 422
    assert door.answers == before


def test_the_link_is_the_proof_where_a_browser_names_no_site(door: Door) -> None:
    """A page that tells no referrer sends its forms without a name of where they come from."""
    said = door.client.post(f"/c/{door.token}/question", data={"name": "Rowan", "words": "Now?"}, headers={
        "origin": "null"})
    assert said.status_code == 303
    assert door.client.post("/theme", data={"theme": "dark"}, headers={"origin": "null"}).status_code == 403


def test_ten_answers_a_day_and_no_more(door: Door) -> None:
    for number in range(MOST_ANSWERS - sum(1 for _ in door.answers)):
        assert door.say("question", name="Rowan", words=f"And now {number}?").status_code == 303
    before = door.answers
    refused = door.say("no", name="Rowan")
    assert refused.status_code == 429
    assert "so many answers were given today" in refused.text
    assert door.answers == before


def test_a_yes_to_what_has_changed_is_asked_again(tmp_path: Path, desk_folder: Path, desk_results: Path) -> None:
    path = tmp_path / "own.sqlite"
    shutil.copy(desk_folder / "demo.sqlite", path)
    think(path, desk_results)
    door = Door(path, desk_results)
    try:
        assert door.say("yes", name="Rowan Doe").status_code == 303
        kept = kept_casework(door.book, door.ground, door.desk.run("own")).casework
        worked = kept.plan.items[0].tree_id if kept else ""
        label = next(tree.label for tree in door.book.record(door.ground.id).trees if tree.id == worked)
        sign_property(door.book, door.ground, door.run, Wanted(
            by="owner1", reason="The client wants it so.", against=(f"{label}=nothing",)))
        page = told(door.see())
        assert "Rowan Doe said yes on 15 January 2016 to offer 1, option 1." in page
        assert "It changed on 15 January 2016:" in page
        assert "Yes again?" in page
        assert "Ask for a new one." in page
        assert "/yes" not in page
        refused = door.say("yes", name="Rowan Doe")
        assert refused.status_code == 422
        assert len(door.answers) == 1
        newest = make_offer(door.book, door.ground, door.run)[0].made
        assert newest.mark != door.made.mark
        assert door.say("question", name="Rowan Doe", words="What changed?").status_code == 303
        assert door.answers[-1] == ("question", 1, "What changed?")
        assert door.book.offers(door.ground.id)[0].answers == ()
        assert mark_shown(newest.mark) not in door.see().text
    finally:
        door.desk.close()


def test_a_key_that_is_pressed_twice_is_one_answer(offered: Door) -> None:
    made = anew(offered)
    for answer, typed in (("question", {"words": "Will it be loud?"}), ("no", {})):
        for _ in range(2):
            assert offered.say(answer, name="Hazel Twice", **typed).status_code == 303
    offered.say("question", name="Hazel Twice", words="Will it be loud?")
    assert [each[0] for each in made()] == ["question", "no", "question"], "said again behind another it is another"


def test_answers_that_come_at_once_are_counted_one_by_one(offered: Door) -> None:
    made = anew(offered)
    before = len(made())
    sent = MOST_ANSWERS + 3
    with ThreadPoolExecutor(6) as hands:
        told = list(hands.map(lambda number: offered.say(
            "question", name="Hazel", words=f"And then {number}?").status_code, range(sent)))
    assert sorted(told) == [303] * (MOST_ANSWERS - before) + [429] * (sent - MOST_ANSWERS + before)
    assert len(made()) == MOST_ANSWERS


def anew(door: Door) -> Callable[[], list[tuple[str, int, str]]]:
    """Another day, on which nobody answered; what is answered on it."""
    day = NOW + timedelta(days=next(DAYS))
    door.desk.now = lambda: day
    before = len(door.answers)
    return lambda: door.answers[before:]
