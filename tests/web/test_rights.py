"""The matrix of who may do what, held against every route there is, for everybody who may come by."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from fastapi import Depends, FastAPI, UploadFile
from fastapi.dependencies.models import Dependant
from fastapi.routing import APIRoute, iter_route_contexts
from fastapi.testclient import TestClient
from starlette.responses import Response

from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.fieldbook.people.links import make_link
from rootcase.fieldbook.people.register import add_person
from rootcase.fieldbook.people.sessions import open_session, sessions_of
from rootcase.records.people import Role
from rootcase.services.people import may as table_says
from rootcase.tables.load import table
from rootcase.web.app import create_app
from rootcase.web.desk import Desk
from rootcase.web.limits import TAKES_FILES, USUAL
from rootcase.web.refused import answer_refusals
from tests.fieldbook.people.chance import chance

NOW = datetime(2016, 1, 15, 12, tzinfo=UTC)
PUBLIC = ("/sign-in", "/sign-out", "/invite/{token}", "/first-run", "/first-run/{token}", "/field",
          "/field/kinds.json", "/field/words.json", "/field/worker.js", "/field/manifest.webmanifest")
"""What everybody may ask for: these prove who somebody is, or are a phone's own page; nothing of a practice there."""
BY_LINK = "/c/{token}"
"""What who holds a client's link may ask for; the link itself is the proof."""
SESSION = ("/api/session",)
"""What a program signs in and out by."""
WRITES = {
    "assign_jobs": "/today/rounds/ /practice/phones/{phone_id}/name /practice/phones/{phone_id}/found "
                   "/practice/phones/{phone_id}/take-in "
                   "/properties/{property_id}/jobs /properties/{property_id}/jobs/ "
                   "/api/field/properties/{property_id}/take-on",
    "back_up": "/practice/backup",
    "bring_lists": "/import /import/{brought_id}/ /properties/{property_id}/undo /api/imports",
    "bring_sheets": "/properties/{property_id}/field-sheet /import/phone-file",
    "change_people": "/people /people/{code}/",
    "change_practice": "/make/batches/rules /practice/fleet/{what} /practice/own /practice/papers "
                       "/practice/prices /practice/prices/away",
    "change_property": "/properties/{property_id}/particulars",
    "compute": "/properties/{property_id}/compute /jobs/{job_id}/ /api/jobs/{job_id} "
               "/api/properties/{property_id}/casework",
    "correct_readings": "/readings/{reading_id}/ /api/readings/{reading_id}/ /make/heaps/{heap_id}/entries/{slot}/ "
                        "/make/heaps/{heap_id}/particulars "
                        "/make/slides/{slide_id}/correct /make/slides/{slide_id}/take-back "
                        "/make/slides/{slide_id}/photos/{photo_id}/take-back "
                        "/make/batches/{batch_id}/told/{told_id}/take-back "
                        "/properties/{property_id}/trees/{tree_id}/photos/{measured_id}/take-back",
    "draw_ground": "/properties/{property_id}/map/",
    "erase_people": "/people/{code}/erase /properties/{property_id}/contacts "
                    "/properties/{property_id}/contacts/{contact_id}/erase",
    "free_heaps": "/make/heaps/{heap_id}/free",
    "make_plans": "/properties/{property_id}/wishes /api/properties/{property_id}/what-if",
    "own_account": "/account/ /practice/units /theme",
    "report_lost": "/practice/phones/{phone_id}/lost",
    "show_clients": "/properties/{property_id}/offers /properties/{property_id}/offers/{mark}/",
    "sign_plans": "/properties/{property_id}/sign /properties/{property_id}/withdraw "
                  "/api/properties/{property_id}/sign /proof/{remedy}",
    "take_readings": "/today/week.ics /make/batches /make/batches/ /properties/{property_id}/read "
                     "/properties/{property_id}/trees/{tree_id}/ /properties/{property_id}/days "
                     "/properties/{property_id}/days/ /api/events "
                     "/api/events/held /api/field/sealed /api/field/sheets /api/kept-aside/ /api/photos/{mark} "
                     "/practice/kept-aside/ /make/heaps/new /make/heaps/{heap_id}/ /make/slides/new "
                     "/make/slides/{slide_id}/photos /make/slides/{slide_id}/photos/ "
                     "/properties/{property_id}/log /record/"}
"""What each action writes: addresses, and by a stroke at the end all below one that none names longer."""
LOOKS = {
    "print_rounds": "/today/rounds/{day}/{crew}/{what}.pdf "
                    "/properties/{property_id}/notice/{day} /properties/{property_id}/notice/{day}.pdf",
    "back_up": "/practice/backup",
    "bring_lists": "/import /import/{brought_id} /import/{brought_id}/set-aside /properties/{property_id}/undo",
    "bring_sheets": "/properties/{property_id}/field-sheet /properties/{property_id}/field-sheet.xlsx",
    "correct_readings": "/make/heaps/{heap_id}/entries/{slot} /make/heaps/{heap_id}/particulars "
                        "/make/slides/{slide_id}/correct",
    "draw_ground": "/properties/{property_id}/map/aerial",
    "erase_people": "/people/{code}/erase /properties/{property_id}/contacts",
    "make_plans": "/api/jobs/{job_id}/result /properties/{property_id}/plan /properties/{property_id}/plan/made "
                  "/properties/{property_id}/what-if /proof/{remedy}/plans",
    "own_account": "/account /practice/units",
    "see_people": "/people /people/rights /people/{code} /practice/phones",
    "see_plans": "/api/due /due /plans /proof/{remedy} /properties/{property_id}/signed",
    "see_practice": "/api/ /api/practice /api/rules /api/tables /api/tables/{name:path} /practice /practice/own "
                    "/practice/fleet /practice/rules /practice/sums /practice/sums/{name} /practice/tables "
                    "/practice/tables/{name:path}",
    "see_prices": "/api/prices /api/properties/{property_id}/casework /api/properties/{property_id}/pictures "
                  "/api/properties/{property_id}/pictures/{name}.svg /api/properties/{property_id}/prescribe "
                  "/api/properties/{property_id}/programmes /api/properties/{property_id}/report.pdf "
                  "/api/properties/{property_id}/signed /practice/prices",
    "show_clients": "/api/properties/{property_id}/offers /properties/{property_id}/offers "
                    "/properties/{property_id}/offers/{mark} /properties/{property_id}/offers/{mark}/offer.pdf "
                    "/properties/{property_id}/report /properties/{property_id}/report.pdf",
    "sign_plans": "/properties/{property_id}/sign",
    "take_out": "/practice/export /practice/export/{name}",
    "take_readings": "/api/kept-aside /make/batches/new /practice/kept-aside /make/heaps/new "
                     "/make/slides/new "
                     "/import/field-sheet/{system} /properties/{property_id}/log "
                     "/properties/{property_id}/read "
                     "/properties/{property_id}/trees/{tree_id}/read"}
"""What each action looks at, address by address; all that is not named here is of the trees."""
SEATS: dict[str, tuple[Role, bool]] = {
    "owner1": ("owner", True), "signer1": ("practitioner", True), "helper1": ("practitioner", False),
    "crew1": ("crew", False)}


@dataclass(frozen=True)
class House:
    """A desk of two practices in one file, and a token of everybody."""

    client: TestClient
    tokens: dict[str, str]
    stranger: str
    """The other practice's owner."""
    link: str
    ids: dict[str, str]
    """What stands in addresses and is there, in the own practice."""


def make_house(folder: Path, desk_folder: Path) -> House:
    path = folder / "own.sqlite"
    shutil.copy(desk_folder / "demo.sqlite", path)
    tokens = {}
    with open_fieldbook(path) as own, open_fieldbook(path, practice_id="other") as other:
        for code, (role, may_sign) in SEATS.items():
            add_person(own.store, code, "Rowan Doe", code, role, may_sign=may_sign)
            tokens[code] = open_session(own.store, ("own", code), "browser", "", NOW, chance(sum(code.encode())))
        add_person(other.store, "owner9", "Hazel Doe", "owner9", "owner", may_sign=True)
        stranger = open_session(other.store, ("other", "owner9"), "browser", "", NOW, chance(9))
        ground = own.properties()[0]
        link, _ = make_link(own.store, ground.id, "ab" * 32, by="owner1", now=NOW, random_bytes=chance(10))
        ids = {"property_id": ground.id, "code": "crew1", "session_id": sessions_of(own.store, "crew1", NOW)[0].id,
               "contact_id": next((each.id for each in own.contacts(ground.id)), "no-contact"), "tree_id": next(
                   (tree.id for tree in own.record(ground.id).trees), "no-tree")}
    desk = Desk(path, lambda: NOW, folder / "results")
    client = TestClient(create_app(desk), base_url="http://127.0.0.1", headers={"origin": "http://127.0.0.1"},
                        follow_redirects=False)
    return House(client, tokens, stranger, link, ids)


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory, desk_folder: Path) -> Iterator[House]:
    made = make_house(tmp_path_factory.mktemp("house"), desk_folder)
    yield made
    desk_of(made).close()


@pytest.fixture(scope="module")
def gate(tmp_path_factory: pytest.TempPathFactory, desk_folder: Path) -> Iterator[House]:
    """The same doors with nothing behind them: who comes through finds 204."""
    made = make_house(tmp_path_factory.mktemp("gate"), desk_folder)
    bare = FastAPI()
    bare.state.desk = desk_of(made)
    answer_refusals(bare)
    for route in routes(made):
        bare.add_api_route(route.path, _through, methods=sorted(route.methods), dependencies=[
            Depends(each) for each in guards(route.dependant)])
    yield replace(made, client=TestClient(bare, base_url="http://127.0.0.1", follow_redirects=False))
    desk_of(made).close()


def _through() -> Response:
    return Response(status_code=204)


def desk_of(house: House) -> Desk:
    desk: Desk = house.client.app.state.desk  # type: ignore[attr-defined]
    return desk


def routes(house: House) -> list[Any]:
    """Every route of the app's own, under its whole address."""
    app: FastAPI = house.client.app  # type: ignore[assignment]
    return [each for each in iter_route_contexts(app.routes) if isinstance(each.original_route, APIRoute)]


def guards(dependant: Dependant) -> list[Callable[..., Any]]:
    """What a route asks before it answers, its dependencies' dependencies among them."""
    own = [dependant.call] if dependant.call is not None and hasattr(dependant.call, "action") else []
    return own + [each for under in dependant.dependencies for each in guards(under)]


def actions(dependant: Dependant) -> list[str]:
    return [each.action for each in guards(dependant)]  # type: ignore[attr-defined]


def is_open(route: Any) -> bool:
    return route.path in (*PUBLIC, *SESSION) or route.path.startswith(BY_LINK)


def address(route: Any, fill: Callable[[str], str]) -> str:
    return route.path_format.format_map({name: fill(name) for name in route.param_convertors})


def ask(house: House, route: Any, fill: Callable[[str], str], token: str = "") -> list[tuple[int, str, str]]:
    """Status, where it leads and what it says, by each of the route's verbs."""
    found = []
    for verb in sorted(route.methods or ()):
        house.client.cookies.clear()
        if token:
            house.client.cookies.set("rootcase", token)
        answer = house.client.request(verb, address(route, fill))
        found.append((answer.status_code, answer.headers.get("location", ""), answer.text))
    return found


def test_every_route_says_who_may(house: House) -> None:
    known = {row["action"] for row in table("people/rights").rows}
    undeclared = [route.path for route in routes(house) if not is_open(route) and len(actions(route.dependant)) != 1]
    unknown = {each for route in routes(house) for each in actions(route.dependant)} - known
    assert undeclared == []
    assert unknown == set()
    app: FastAPI = house.client.app  # type: ignore[assignment]
    others = {each.path for each in iter_route_contexts(app.routes) if not isinstance(each.original_route, APIRoute)}
    assert others == {"/static", "/api/openapi.json"}, "what nobody guards holds nothing of a practice"
    assert len(routes(house)) > 20


def test_what_is_written_asks_for_the_action_that_it_is(house: House) -> None:
    """A route under another action than its own would pass all that holds it against the table."""
    wanted = {place: action for action, places in WRITES.items() for place in places.split()}
    for route in routes(house):
        if not is_open(route) and route.methods - {"GET", "HEAD"}:
            fits = [place for place in wanted if route.path == place or (
                place[-1] == "/" and route.path.startswith(place))]
            assert actions(route.dependant) == [wanted[max(fits, key=len)] if fits else ""], route.path


def test_what_is_looked_at_asks_for_the_action_that_it_is(house: House) -> None:
    wanted = {place: action for action, places in LOOKS.items() for place in places.split()}
    looking = [route for route in routes(house) if not is_open(route) and not route.methods - {"GET", "HEAD"}]
    assert {route.path: actions(route.dependant) for route in looking} == {
        route.path: [wanted.get(route.path, "see_trees")] for route in looking}
    assert set(wanted) <= {route.path for route in looking}


def test_only_what_takes_files_takes_large_bodies(house: House) -> None:
    taking = {route.path for route in routes(house) if any(
        field.field_info.annotation is UploadFile for field in route.dependant.body_params)}
    large = {route.path for route in routes(house) if TAKES_FILES.fullmatch(address(route, lambda name: "x"))
             and "POST" in route.methods}
    assert large == taking
    files = {"file": ("x", b"x" * (USUAL + 1))}
    assert house.client.post("/sign-in", files=files).status_code == 413
    assert house.client.post("/api/session", files=files).status_code == 413
    assert house.client.post("/import", files=files).status_code == 413, "nobody knows who sends it"
    signed_in = {"authorization": f"Bearer {house.tokens['owner1']}"}
    browser = {"cookie": f"rootcase={house.tokens['owner1']}"}
    assert house.client.post("/import", files=files, headers=browser).status_code != 413
    assert house.client.post("/import", files=files, headers=signed_in).status_code == 413, "a browser's token"


def test_what_was_typed_is_shown_to_who_was_signed_out_meanwhile(house: House) -> None:
    answer = house.client.post("/practice/units", data={"why": "hardpan at <8> in", "password": "nobody sees this"},
                               headers={"referer": "http://127.0.0.1/practice/units?x=1"})
    assert answer.status_code == 401
    assert "hardpan at &lt;8&gt; in" in answer.text
    assert "nobody sees this" not in answer.text
    assert 'href="/sign-in?next=/practice/units"' in answer.text


def test_every_row_is_of_something_and_says_why() -> None:
    for row in table("people/rights").rows:
        assert {row[each] for each in ("owner", "practitioner", "crew", "client")} <= {"yes", "no", "signing"}
        assert row["crew"] != "signing", "the right to sign is for owners and practitioners"
        assert row["why"]


@pytest.mark.parametrize("code", SEATS)
def test_each_role_gets_what_the_table_says_and_nothing_else(gate: House, code: str) -> None:
    role, may_sign = SEATS[code]
    wrong = []
    for route in routes(gate):
        if is_open(route):
            continue
        action, = actions(route.dependant)
        for status, leads, text in ask(gate, route, lambda name: gate.ids.get(name, "x"), gate.tokens[code]):
            if table_says(action, role, may_sign=may_sign):
                wrong += [] if status == 204 else [f"{code} is kept out: {route.path} {status}"]
            else:
                told = status == 403 and ("It is for:" in text or "the right to sign" in text)
                wrong += [] if told else [f"{code} is not refused with words: {route.path} {status} {leads}"]
    assert wrong == []


@pytest.mark.parametrize("token", ["", "wrong", "link"])
def test_who_has_not_signed_in_is_asked_to(house: House, token: str) -> None:
    """A client's token opens no page of the practice, whichever way it is brought."""
    brought = house.link if token == "link" else token
    for route in routes(house):
        if is_open(route):
            continue
        for status, leads, _ in ask(house, route, lambda name: house.ids.get(name, "x"), brought):
            wanted = (401, "") if route.path.startswith("/api/") else (303, "/sign-in")
            assert (status, leads.partition("?")[0]) == wanted, f"{route.path}: {status} {leads}"
        if brought:
            answer = house.client.get(address(route, lambda name: "x"), headers={"authorization": f"Bearer {brought}"})
            assert answer.status_code in (303, 401, 405), route.path


def test_a_browsers_token_is_none_of_a_programs(gate: House) -> None:
    token = gate.tokens["owner1"]
    gate.client.cookies.clear()
    assert gate.client.get("/people", headers={"authorization": f"Bearer {token}"}).status_code == 303
    gate.client.cookies.set("rootcase", token)
    assert gate.client.get("/people").status_code == 204
    assert gate.client.get("/people", headers={"authorization": "Bearer wrong"}).status_code == 303


def test_what_is_anothers_is_not_there(house: House) -> None:
    """With the ids of one practice, the owner of another gets word for word what an id gets that nobody has."""
    seen = 0
    for route in routes(house):
        if is_open(route) or not any(name in house.ids for name in route.param_convertors):
            continue
        missing = {name: "0" * len(an_id) for name, an_id in house.ids.items()}
        theirs = ask(house, route, lambda name: house.ids.get(name, "x"), house.stranger)
        nobodys = ask(house, route, lambda name: missing.get(name, "x"), house.stranger)  # noqa: B023
        for (status, leads, text), (other_status, other_leads, other_text) in zip(theirs, nobodys, strict=True):
            for name, an_id in house.ids.items():
                text, leads = text.replace(an_id, missing[name]), leads.replace(an_id, missing[name])
            assert (status, leads, text) == (other_status, other_leads, other_text), route.path
            assert status in (404, 422), f"{route.path}: {status} {leads}"
            seen += 1
    assert seen >= 10


def test_a_lost_right_counts_at_the_next_request(gate: House) -> None:
    from rootcase.fieldbook.people.register import change_role

    gate.client.cookies.clear()
    gate.client.cookies.set("rootcase", gate.tokens["helper1"])
    assert gate.client.get("/people").status_code == 204
    compute = next(route for route in routes(gate) if route.path.endswith("/compute"))
    place = address(compute, lambda name: "x")
    assert gate.client.post(place).status_code == 204
    with open_fieldbook(desk_of(gate).path) as elsewhere:
        change_role(elsewhere.store, "helper1", "crew", may_sign=False)
    assert gate.client.post(place).status_code == 403
