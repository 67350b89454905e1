"""People at the door and behind it, as a browser without script meets them."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.fieldbook.people.keys import invite
from rootcase.fieldbook.people.links import make_link
from rootcase.fieldbook.people.register import add_person
from rootcase.fieldbook.people.sessions import end_sessions
from rootcase.fieldbook.people.totp import code_of, step_at
from rootcase.fieldbook.store.store import Contact
from rootcase.services.demo import demo_fieldbook
from rootcase.web.app import create_app
from rootcase.web.desk import Desk
from rootcase.web.second_step import second_step
from tests.fieldbook.people.chance import chance
from tests.fieldbook.people.quick import quick_passwords  # noqa: F401

START = datetime(2016, 1, 15, 12, tzinfo=UTC)
PASSWORD = "roots under the lawn"


class Clock:
    """A clock that stands until it is set on."""

    def __init__(self) -> None:
        self.now = START

    def __call__(self) -> datetime:
        return self.now

    def on(self, **more: float) -> None:
        self.now += timedelta(**more)


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def desk(tmp_path: Path, clock: Clock) -> Iterator[Desk]:
    """The invented data at its first start."""
    with open_fieldbook(tmp_path / "demo.sqlite"):
        pass
    made = Desk(tmp_path / "demo.sqlite", clock, tmp_path / "results", demo=True, own_path=tmp_path / "own.sqlite",
                first_run_key="first key")
    yield made
    made.close()


@pytest.fixture
def browser(desk: Desk) -> Callable[[], TestClient]:
    """A browser of its own, each time."""
    app = create_app(desk)
    return lambda: TestClient(app, base_url="http://127.0.0.1", headers={"origin": "http://127.0.0.1"},
                              follow_redirects=False)


def secret_of(text: str) -> str:
    found = re.search(r'class="letters">([A-Z2-7 ]+)<', text)
    assert found is not None
    return found[1].replace(" ", "")


def code_now(secret: str, clock: Clock) -> str:
    return code_of(secret, step_at(clock.now))


OWNER = {"key": "first key", "practice": "Alder Care", "system": "metric", "code": "ash1", "name": "Rowan Doe",
         "login": "rowan@example.org"}


def first_run(client: TestClient, clock: Clock) -> str:
    """The owner's own practice, and the owner in it; returns the secret of the second step."""
    return first_run_as(client, OWNER, clock)


def first_run_as(client: TestClient, owner: dict[str, str], clock: Clock) -> str:
    begun = client.post("/first-run", data=owner)
    assert begun.status_code == 303
    step = client.get(begun.headers["location"])
    secret = secret_of(step.text)
    done = client.post(begun.headers["location"], data={"password": PASSWORD, "again": PASSWORD,
                                                        "code": code_now(secret, clock)})
    assert (done.status_code, done.headers["location"]) == (303, "/")
    return secret


def sign_in(client: TestClient, secret: str, clock: Clock, login: str = "rowan@example.org") -> int:
    clock.on(seconds=30)
    return client.post("/sign-in", data={"login": login, "password": PASSWORD,
                                         "code": code_now(secret, clock) if secret else ""}).status_code


def faults(text: str) -> list[str]:
    return re.findall(r'class="fault"[^>]*>([^<]*)<', text)


def test_the_invented_data_needs_no_sign_in_and_offers_ones_own(browser: Callable[[], TestClient], desk: Desk) -> None:
    client = browser()
    page = client.get("/people")
    assert page.status_code == 200
    assert 'href="/first-run"' in page.text
    assert client.get("/sign-in").headers["location"] == "/"
    assert client.get("/first-run").status_code == 200
    assert desk.own_path is not None
    assert not desk.own_path.exists(), "who only looks makes nothing"


def test_only_who_reads_the_terminal_makes_the_practice_theirs(browser: Callable[[], TestClient], desk: Desk) -> None:
    for key in ("", "first", "first key2"):
        refused = browser().post("/first-run", data=OWNER | {"key": key})
        assert refused.status_code == 422
        assert "not the key of this start" in faults(refused.text)[0]
        assert 'value="Alder Care"' in refused.text, "what was typed is still there"
    assert desk.own_path is not None
    assert not desk.own_path.exists()


def test_the_first_run_makes_the_own_practice_and_is_gone(browser: Callable[[], TestClient], desk: Desk,
                                                          clock: Clock) -> None:
    client = browser()
    secret = first_run(client, clock)
    assert not desk.demo
    account = client.get("/account")
    assert "Rowan Doe, ash1" in account.text
    assert "Alder Care" in client.get("/practice").text
    assert "metric units" in account.text
    assert client.get("/first-run").status_code == 404
    assert client.post("/first-run", data=OWNER).status_code in (404, 422)
    stranger = browser()
    assert stranger.get("/people?x=1").headers["location"] == "/sign-in?next=/people%3Fx%3D1"
    assert sign_in(stranger, secret, clock) == 303


def test_an_invitation_to_the_own_practice_does_not_end_a_demonstration(tmp_path: Path, clock: Clock) -> None:
    for name in ("demo", "own"):
        with open_fieldbook(tmp_path / f"{name}.sqlite") as book:
            if name == "own":
                add_person(book.store, "elm2", "Hazel Doe", "hazel", "crew")
                token = invite(book.store, "elm2", clock.now, chance(1))
    desk = Desk(tmp_path / "demo.sqlite", clock, tmp_path / "results", demo=True, own_path=tmp_path / "own.sqlite")
    client = TestClient(create_app(desk), base_url="http://127.0.0.1", headers={"origin": "http://127.0.0.1"})
    client.post(f"/first-run/{token}", data={"password": PASSWORD, "again": PASSWORD}, follow_redirects=False)
    assert desk.demo
    desk.close()


def test_an_own_fieldbook_with_readings_and_nobody_gets_its_first_owner(tmp_path: Path, clock: Clock) -> None:
    demo_fieldbook(tmp_path / "own.sqlite")
    desk = Desk(tmp_path / "own.sqlite", clock, tmp_path / "results", first_run_key="first key")
    client = TestClient(create_app(desk), base_url="http://127.0.0.1", headers={"origin": "http://127.0.0.1"},
                        follow_redirects=False)
    assert client.get("/").headers["location"] == "/sign-in"
    assert 'href="/first-run"' in client.get("/sign-in").text
    first_run(client, clock)
    people = client.get("/people").text
    assert len(desk.book("own").properties()) == 9
    assert all(ground.name in people for ground in desk.book("own").properties())
    desk.close()


def test_wrong_tries_get_one_answer_and_then_wait(browser: Callable[[], TestClient], clock: Clock) -> None:
    secret = first_run(browser(), clock)
    clock.on(seconds=30)
    tries = [{"login": "nobody", "password": PASSWORD, "code": code_now(secret, clock)},
             {"login": "rowan@example.org", "password": "wrong wrong wrong", "code": code_now(secret, clock)},
             {"login": "rowan@example.org", "password": PASSWORD, "code": "123456"},
             {"login": "rowan@example.org", "password": PASSWORD, "code": ""}]
    told = {(answer.status_code, tuple(faults(answer.text))) for each in tries
            if (answer := browser().post("/sign-in", data=each))}
    wrong = ("Login, password or code do not fit. If you use a code from a device: each counts once, wait for the next "
             "one.")
    assert told == {(422, (wrong,))}
    for _ in range(2):
        browser().post("/sign-in", data=tries[1])
    waiting = browser().post("/sign-in", data=tries[1] | {"password": PASSWORD})
    assert waiting.status_code == 429
    assert faults(waiting.text) == ["Too many wrong tries. Try again in 1 s."]
    assert waiting.headers["retry-after"] == "1"
    assert sign_in(browser(), secret, clock) == 303
    again = [browser().post("/sign-in", data=tries[1]).status_code for _ in range(6)]
    assert again == [422] * 5 + [429], "who came in is forgiven"


def test_a_session_ends_at_the_next_request_whoever_ends_it(browser: Callable[[], TestClient], desk: Desk,
                                                            clock: Clock) -> None:
    first, second, third = browser(), browser(), browser()
    secret = first_run(first, clock)
    assert sign_in(second, secret, clock) == sign_in(third, secret, clock) == 303
    own = re.findall(r'action="(/account/sessions/[^"]+/end)"', first.get("/account").text)
    assert len(own) == 2, "one's own is ended by signing out"
    assert first.post(own[0]).status_code == 303
    assert sorted(each.get("/people").status_code for each in (first, second, third)) == [200, 200, 303]
    with open_fieldbook(desk.path) as elsewhere:  # as the command line does
        end_sessions(elsewhere.store, "ash1")
    assert {each.get("/people").status_code for each in (first, second, third)} == {303}
    assert sign_in(second, secret, clock) == 303
    assert second.post("/sign-out").status_code == 303
    assert second.get("/people").status_code == 303


def test_the_cookie_is_for_this_host_and_no_script(browser: Callable[[], TestClient], tmp_path: Path,
                                                   clock: Clock) -> None:
    client = browser()
    begun = client.post("/first-run", data=OWNER).headers["location"]
    secret = secret_of(client.get(begun).text)
    typed = {"password": PASSWORD, "again": PASSWORD, "code": code_now(secret, clock)}
    plain = client.post(begun, data=typed).headers["set-cookie"]
    assert re.fullmatch(r"rootcase=[\w-]{43}; HttpOnly; Max-Age=31536000; Path=/; SameSite=lax", plain)
    secure = Desk(tmp_path / "own.sqlite", clock, tmp_path / "results", public_url="https://desk.example.org")
    outside = TestClient(create_app(secure), base_url="https://desk.example.org",
                         headers={"origin": "https://desk.example.org"}, follow_redirects=False)
    clock.on(seconds=30)
    cookie = outside.post("/sign-in", data={"login": "rowan@example.org", "password": PASSWORD,
                                            "code": code_now(secret, clock)}).headers["set-cookie"]
    assert re.fullmatch(r"__Host-rootcase=[\w-]{43}; HttpOnly; Max-Age=31536000; Path=/; SameSite=lax; Secure", cookie)
    assert outside.get("/people").status_code == 200
    secure.close()


@pytest.mark.parametrize(("onward", "leads"), [
    ("/people?x=1", "/people?x=1"), ("//example.org", "/"), ("https://example.org", "/"), ("/\\example.org", "/"),
    ("", "/"), ("/a\nb", "/")])
def test_who_signs_in_stays_in_this_app(browser: Callable[[], TestClient], clock: Clock, onward: str,
                                        leads: str) -> None:
    secret = first_run(browser(), clock)
    clock.on(seconds=30)
    answer = browser().post("/sign-in", data={"login": "rowan@example.org", "password": PASSWORD,
                                              "code": code_now(secret, clock), "onward": onward})
    assert answer.headers["location"] == leads


def test_an_owner_adds_somebody_who_sets_their_own_password(browser: Callable[[], TestClient], clock: Clock) -> None:
    owner, crew = browser(), browser()
    first_run(owner, clock)
    invited = owner.post("/people", data={"code": "elm2", "name": "Hazel Doe", "login": "hazel", "role": "crew"})
    link = re.search(r"http://127\.0\.0\.1(/invite/[\w-]{43})<", invited.text)
    assert link is not None
    assert link[1] not in owner.get("/people/elm2").text, "it is shown this once"
    page = crew.get(link[1])
    assert "Welcome, Hazel Doe" in page.text
    assert "style=" not in page.text
    short = crew.post(link[1], data={"password": "eleven sign", "again": "eleven sign"})
    assert short.status_code == 422
    told, = faults(short.text)
    assert told == ("the password is too short: short ones are found by trying (got 11 signs); 12 to 200 signs of any "
                    "kind; a few words that you remember do well")
    assert "eleven sign" not in short.text
    other = crew.post(link[1], data={"password": PASSWORD, "again": PASSWORD + "."})
    assert faults(other.text) == ["the two passwords are not the same"]
    assert crew.post(link[1], data={"password": PASSWORD, "again": PASSWORD}).status_code == 303
    assert crew.get("/people").status_code == 200
    refused = crew.post("/people", data={"code": "oak3"})
    assert refused.status_code == 403
    assert "As crew, elm2 may not do this." in refused.text
    assert "It is for: owner." in refused.text
    assert crew.get(link[1]).status_code == 404, "used"
    assert sign_in(browser(), "", clock, "hazel") == 303


@pytest.mark.parametrize(("typed", "wrong"), [
    ({"code": "ASH1"}, "had this code"), ({"login": "ROWAN@example.org"}, "used already"),
    ({"may_sign": "true"}, "for owners and practitioners")])
def test_who_cannot_be_added_stays_in_the_form(browser: Callable[[], TestClient], clock: Clock, typed: dict[str, str],
                                               wrong: str) -> None:
    owner = browser()
    first_run(owner, clock)
    wanted = {"code": "elm2", "name": "Hazel Doe", "login": "hazel", "role": "crew"}
    refused = owner.post("/people", data=wanted | typed)
    assert refused.status_code == 422
    assert wrong in faults(refused.text)[0]
    assert 'value="Hazel Doe"' in refused.text
    assert owner.get("/people/elm2").status_code == 404


def test_another_password_ends_the_other_sessions(browser: Callable[[], TestClient], clock: Clock) -> None:
    here, there = browser(), browser()
    secret = first_run(here, clock)
    assert sign_in(there, secret, clock) == 303
    new = {"old": PASSWORD, "password": "another long password", "again": "another long password"}
    assert faults(here.post("/account/password", data=new | {"old": "wrong"}).text) == ["this is not your password"]
    assert here.post("/account/password", data=new).headers["location"] == "/account?done=password"
    assert (here.get("/people").status_code, there.get("/people").status_code) == (200, 303)
    assert sign_in(browser(), secret, clock) == 422
    step = here.post("/account/second-step", data={"step_old": "another long password"})
    assert step.headers["location"].startswith("/invite/")
    assert here.post("/account/second-step", data={"step_old": "wrong"}).status_code == 422


def test_a_stolen_session_does_not_find_the_password_by_trying(browser: Callable[[], TestClient], clock: Clock) -> None:
    client = browser()
    first_run(client, clock)
    told = [faults(client.post("/account/second-step", data={"step_old": "wrong"}).text) for _ in range(6)]
    assert told == [["this is not your password"]] * 5 + [["too many wrong tries; wait a while"]]


def test_the_last_owner_stays_and_a_higher_role_waits_for_an_invitation(browser: Callable[[], TestClient],
                                                                        clock: Clock) -> None:
    owner, crew = browser(), browser()
    first_run(owner, clock)
    for address in ("/people/ash1/end", "/people/ash1/erase"):
        assert "no owner would be left" in faults(owner.post(address).text)[0]
    assert "no owner would be left" in faults(owner.post("/people/ash1/role", data={"role": "crew"}).text)[0]
    for role in ("", "king"):
        assert "this is no role" in faults(owner.post("/people/ash1/role", data={"role": role}).text)[0]
    invited = owner.post("/people", data={"code": "elm2", "name": "Hazel Doe", "login": "hazel", "role": "crew"})
    link = re.search(r"(/invite/[\w-]{43})<", invited.text)
    assert link is not None
    crew.post(link[1], data={"password": PASSWORD, "again": PASSWORD})
    raised = owner.post("/people/elm2/role", data={"role": "practitioner", "may_sign": "true"})
    assert "/invite/" in raised.text
    assert crew.get("/people").status_code == 303
    link = re.search(r"(/invite/[\w-]{43})<", raised.text)
    assert link is not None
    without = crew.post(link[1], data={"password": PASSWORD, "again": PASSWORD})
    assert faults(without.text)[0].startswith("the code does not fit")
    secret = secret_of(crew.get(link[1]).text)
    assert crew.post(link[1], data={"password": PASSWORD, "again": PASSWORD,
                                    "code": code_now(secret, clock)}).status_code == 303
    assert crew.get("/account").text.count("may sign") >= 1


def test_erasing_says_what_goes_and_what_stays(browser: Callable[[], TestClient], desk: Desk, clock: Clock,
                                               tmp_path: Path) -> None:
    owner = browser()
    first_run(owner, clock)
    owner.post("/people", data={"code": "elm2", "name": "Hazel Tobeforgotten", "login": "hazel", "role": "crew"})
    asked = owner.get("/people/elm2/erase").text
    assert "Readings, corrections and signatures under the code elm2" in asked
    assert owner.post("/people/elm2/erase").status_code == 303
    page = owner.get("/people/elm2")
    assert "has left" in page.text
    assert "Tobeforgotten" not in page.text
    assert not any(b"Tobeforgotten" in file.read_bytes() for file in tmp_path.glob("own.sqlite*"))


def test_a_contact_of_a_property_is_erased(tmp_path: Path, clock: Clock) -> None:
    demo_fieldbook(tmp_path / "demo.sqlite")
    desk = Desk(tmp_path / "demo.sqlite", clock, tmp_path / "results", demo=True, own_path=tmp_path / "own.sqlite")
    client = TestClient(create_app(desk), base_url="http://127.0.0.1", headers={"origin": "http://127.0.0.1"},
                        follow_redirects=False)
    ground, other, *_ = desk.book("own").properties()
    with desk.book("own").store.writing() as turn:
        turn.keep_contacts([Contact("c1", ground.id, "payer", "Name Tobeforgotten", "555 0100")])
    page = client.get(f"/properties/{ground.id}/contacts")
    assert "Name Tobeforgotten" in page.text
    assert client.post(f"/properties/{other.id}/contacts/c1/erase").status_code == 404
    assert client.post(f"/properties/{ground.id}/contacts/c1/erase").status_code == 303
    assert "Tobeforgotten" not in client.get(f"/properties/{ground.id}/contacts").text
    assert not any(b"Tobeforgotten" in file.read_bytes() for file in tmp_path.glob("demo.sqlite*"))
    desk.close()


def test_what_is_typed_is_shown_as_typed(browser: Callable[[], TestClient], clock: Clock) -> None:
    owner = browser()
    first_run(owner, clock)
    name = "<script>alert('x')</script> \u202e {{ 7*7 }} \u6797"
    owner.post("/people", data={"code": "elm2", "name": name, "login": '"><b>', "role": "crew"})
    for address in ("/people", "/people/elm2", "/people/elm2/erase"):
        text = owner.get(address).text
        assert "<script>alert" not in text
        assert "&lt;script&gt;alert(&#39;x&#39;)&lt;/script&gt; \u202e {{ 7*7 }} \u6797" in text
    refused = browser().post("/sign-in", data={"login": '"><script>x', "password": "y"})
    assert "<script>x" not in refused.text


def test_a_client_form_needs_no_origin_and_opens_nothing_else(browser: Callable[[], TestClient], desk: Desk,
                                                              clock: Clock) -> None:
    first_run(browser(), clock)
    token, _ = make_link(desk.book("own").store, "p", "ab" * 32, by="ash1", now=clock.now, random_bytes=chance(1))
    client = browser()
    client.cookies.set("rootcase", token)
    assert client.get("/people").status_code == 303
    assert client.post("/people", headers={"origin": "null"}).status_code == 403


def test_the_picture_that_a_device_reads_is_shrunk_and_not_cut() -> None:
    """A page gives it its width; without a view box a browser would show its corner at full size."""
    opening = second_step("GERAOEITXUJAKNVL", "elm2", "Elm and Root").picture.partition(">")[0]
    assert 'viewBox="0 0 ' in opening
    assert "width=" not in opening
