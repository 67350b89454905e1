"""Trees and properties: every tree with its one finding, filtered without script, nothing of another practice."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from rootcase.fieldbook.events import Event, TreeOpened, body_text
from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.fieldbook.store.sent import Sent
from rootcase.ground.ids import IdMaker
from rootcase.records.observe import Property
from rootcase.records.report import Casework
from rootcase.report.text.cases import tree_cases
from rootcase.report.text.one_tree import headline
from rootcase.report.text.whole_property import headline as finding_of
from rootcase.services.demo_trials import GROUNDS as TRIAL_GROUNDS
from rootcase.web.app import create_app
from rootcase.web.desk import OWN, Desk
from tests.web.conftest import NOW


def desk_of(app: TestClient) -> Desk:
    desk: Desk = app.app.state.desk  # type: ignore[attr-defined]
    return desk


def words(text: str) -> str:
    """What a page says, without its tags."""
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", text)))


def thought_through(desk: Desk) -> list[tuple[Property, Casework]]:
    """The properties that have casework: all but those of the trials, whose soil nobody read."""
    found = [(ground, casework) for ground in desk.grounds(OWN).values()
             if (casework := desk.kept(OWN, ground).casework) is not None]
    assert len(found) == len(desk.grounds(OWN)) - len(TRIAL_GROUNDS)
    return found


def test_every_tree_stands_in_the_list_with_the_finding_the_report_prints(desk_app: TestClient) -> None:
    page = words(desk_app.get("/trees").text)
    desk = desk_of(desk_app)
    for ground, casework in thought_through(desk):
        for case in tree_cases(casework):
            assert " ".join(headline(case)) in page
        for tree in casework.record.trees:
            assert f"/properties/{ground.id}/trees/{tree.id}" in desk_app.get("/trees").text


@pytest.mark.parametrize(("asked", "there", "gone"), [
    ({"name": "oak 4"}, ["oak 4"], ["oak 5", "L3"]), ({"name": "pitch"}, ["oak 4"], ["oak 5"]),
    ({"standing": "yardstick"}, ["oak 1", "M1"], ["oak 4"]), ({"standing": "well"}, ["oak 3"], ["oak 4"]),
    ({"name": "CEDAR", "standing": "behind"}, ["L3"], ["oak 4", "L1"]),
])
def test_the_list_shows_what_is_asked_for(desk_app: TestClient, asked: dict[str, str], there: list[str],
                                          gone: list[str]) -> None:
    page = desk_app.get("/trees", params=asked).text
    links = re.findall(r'<th scope="row"><a href="[^"]+">([^<]+)</a>', page)
    assert set(there) <= set(links)
    assert not set(gone) & set(links)
    assert f'value="{asked.get("name", "")}"' in page


def test_what_fits_nothing_says_so_and_shows_the_way_back(desk_app: TestClient) -> None:
    page = desk_app.get("/trees", params={"name": "<script>"}).text
    assert "No tree fits that." in page
    assert 'href="/trees"' in page
    assert "<script>" not in page.replace('<script type="module"', "")


def test_a_property_shows_its_finding_its_places_and_its_visits(desk_app: TestClient) -> None:
    for ground, casework in thought_through(desk_of(desk_app)):
        page = words(desk_app.get(f"/properties/{ground.id}").text)
        assert " ".join(finding_of(tree_cases(casework))) in page
        for each in (*casework.record.places, *casework.record.visits):
            assert getattr(each, "name", getattr(each, "label", "")) in page


def test_a_tree_that_came_after_the_casework_stands_in_the_list_too(app_to_change: TestClient) -> None:
    desk = desk_of(app_to_change)
    ground = next(iter(desk.grounds(OWN).values()))
    book = desk.book(OWN)
    place = book.record(ground.id).places[0].id
    body = TreeOpened(slot="t", tree="t9", label="oak 99", place=place)
    made = Event(IdMaker(lambda: 1452859200000, bytes)(), ground.practice_id, ground.id, "2016-01-15T11:00:00.000Z",
                 "phone 1", body)
    sent = Sent(made.id, ground.id, body.KIND, made.made_at, made.device, body_text(body), made.hash)
    assert [each.state for each in book.taking_in.take([sent], NOW)] == ["new"]
    assert desk.kept(OWN, ground).casework is not None
    for address in ("/trees", f"/properties/{ground.id}"):
        assert f'href="/properties/{ground.id}/trees/t9">oak 99</a>' in app_to_change.get(address).text
    assert "oak 99" in app_to_change.get(f"/properties/{ground.id}/trees/t9").text


@pytest.fixture
def empty_desk(tmp_path: Path) -> Iterator[TestClient]:
    with open_fieldbook(tmp_path / "own.sqlite"):
        pass
    desk = Desk(tmp_path / "own.sqlite", lambda: NOW, tmp_path / "results", demo=True)
    with TestClient(create_app(desk), base_url="http://127.0.0.1", headers={"origin": "http://127.0.0.1"}) as client:
        yield client


def test_without_a_property_the_page_says_what_it_is_for_and_holds_one_key(empty_desk: TestClient) -> None:
    page = empty_desk.get("/trees").text
    assert "No property yet. Bring your list, or start with the tree you stand at." in page
    assert re.findall(r'class="key weld" href="([^"]+)"', page) == ["/import"]


def test_before_anything_is_explained_the_trees_are_there(tmp_path: Path, desk_folder: Path) -> None:
    (tmp_path / "demo.sqlite").write_bytes((desk_folder / "demo.sqlite").read_bytes())
    desk = Desk(tmp_path / "demo.sqlite", lambda: NOW, tmp_path / "results", demo=False)
    ground = next(iter(desk.grounds(OWN).values()))
    desk.demo = True
    client = TestClient(create_app(desk), base_url="http://127.0.0.1", headers={"origin": "http://127.0.0.1"})
    for address in ("/trees", f"/properties/{ground.id}"):
        page = client.get(address)
        assert page.status_code == 200
        assert "oak 4" in page.text
        assert "Not explained yet." in page.text
    desk.close()
