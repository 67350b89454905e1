"""The page of rounds: places in driving order, given to their crews, moved by arrows, planned anew."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.fieldbook.people.register import add_person
from rootcase.fieldbook.people.sessions import open_session
from rootcase.services.week import give_round, plan_week, take_round_back
from rootcase.services.week_known import gather
from rootcase.web.app import create_app
from rootcase.web.desk import Desk
from tests.fieldbook.people.chance import chance
from tests.services.week_told import NOW, a_week
from tests.web.conftest import at_once

DAY = "2016-05-02"


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    folder: Path = tmp_path_factory.mktemp("rounds")
    path = a_week(folder)
    with open_fieldbook(path, now=lambda: NOW) as book:
        add_person(book.store, "owner1", "Rowan Doe", "rowan", "owner", may_sign=True)
        token = open_session(book.store, ("own", "owner1"), "browser", "", NOW, chance(1))
        for code in ("rs", "cc"):
            add_person(book.store, code, "Hazel Doe", code, "crew", may_sign=False)
    desk = Desk(path, lambda: NOW, folder / "results")
    desk.jobs.call = at_once  # type: ignore[method-assign]
    with TestClient(create_app(desk), base_url="http://127.0.0.1", headers={"origin": "http://127.0.0.1"},
                    cookies={"rootcase": token}) as client:
        yield client


def test_a_round_is_planned_given_moved_and_taken_back(app: TestClient) -> None:
    desk = app.app.state.desk  # type: ignore[attr-defined]
    assert "and no round is planned" in app.get("/today/rounds").text
    book = desk.book("own")
    plan_week(gather(book, desk.today("own")).known, desk.results)
    page = app.get("/today/rounds").text
    assert "Monday, 2 May 2016: crew 1" in page
    assert "proposed" in page
    assert "5.23 yd³ (4 m³)" in page.split("Shopping list of the week")[1]
    assert app.get("/today/rounds/shopping.pdf").content.startswith(b"%PDF")
    assert "nobody told a locate number that holds then" in page
    crew = page.split('name="crew" value="')[1].split('"')[0]
    which = {"day": DAY, "crew": crew}
    for what in ("day", "jobs"):
        assert f'/today/rounds/{DAY}/{crew}/{what}.pdf"' in page
        assert app.get(f"/today/rounds/{DAY}/{crew}/{what}.pdf").content.startswith(b"%PDF")
    assert app.get(f"/today/rounds/{DAY}/nobody/day.pdf").status_code == 404
    assert "given by owner1" in app.post("/today/rounds/give", data=which).text
    ground = book.properties()[0].id
    assert f"/properties/{ground}/notice/{DAY}" in page
    notice = app.get(f"/properties/{ground}/notice/{DAY}").text
    assert "Wood-chip mulch: at oak 4, 538 ft² (50 m²) of ground." in notice
    assert "<textarea readonly" in notice
    assert app.get(f"/properties/{ground}/notice/{DAY}.pdf").content.startswith(b"%PDF")
    assert "Nothing is planned here on that day" in app.get(f"/properties/{ground}/notice/2016-03-01").text
    before = [step.job_ids for step in gather(book, desk.today("own")).known.given[0].steps if step.kind == "stop"]
    page = app.post("/today/rounds/move", data=which | {"stop": "1", "to": "2"}).text
    after = [step.job_ids for step in gather(book, desk.today("own")).known.given[0].steps if step.kind == "stop"]
    assert after == before[::-1]
    assert "moved by hand" in page
    assert "would get extract" in page  # chips first take two hours
    assert 'class="stop"' in page or "round0-" in page
    assert app.post("/today/rounds/move", data=which | {"stop": "9", "to": "2"}).status_code in (404, 422)
    page = app.post("/today/rounds/back", data=which).text
    assert "given by" not in page


def test_who_is_in_the_crew_prints_the_papers_of_its_own_round_once_it_is_given(app: TestClient) -> None:
    desk = app.app.state.desk  # type: ignore[attr-defined]
    book, owner = desk.book("own"), app.cookies["rootcase"]
    week = plan_week(gather(book, desk.today("own")).known, desk.results)
    given = next(each for each in week.rounds if each.day.isoformat() == DAY)
    sheet, notice = f"/today/rounds/{DAY}/crew 1/day.pdf", f"/properties/{book.properties()[0].id}/notice/{DAY}"

    tokens = {code: open_session(book.store, ("own", code), "browser", "", NOW, chance(sum(code.encode())))
              for code in ("rs", "cc")}

    def printed(code: str) -> list[int]:
        own = {"cookie": f"rootcase={tokens[code]}"}
        seen = [app.get(each, headers=own) for each in (sheet, notice, "/today/rounds")]
        return [*(each.status_code for each in seen[:2]), seen[2].text.count("/day.pdf")]

    app.cookies.clear()
    assert printed("rs") == printed("cc") == [403, 403, 0]
    give_round(book, given, "owner1")
    assert printed("rs") == [200, 200, 1]
    assert printed("cc") == [403, 403, 0]
    take_round_back(book, given, "owner1")
    assert printed("rs") == [403, 403, 0]
    app.cookies["rootcase"] = owner


def test_a_batch_is_planned_beside_the_rounds(app: TestClient) -> None:
    kept = app.post("/today/rounds/batch", data={"day": "2016-05-04", "ready": "7:30", "volume": "100"})
    assert "Wednesday, 4 May 2016, ready 07:30, use by 08:30: 100 gal" in kept.text
    refused = app.post("/today/rounds/batch", data={"day": "2016-05-04", "ready": "soon", "volume": "100"})
    assert refused.status_code == 422
    assert 'value="soon"' in refused.text
    planned = kept.text.split("Wednesday, 4 May")[1].split('name="id" value="')[1].split('"')[0]
    later = {"id": planned, "day": "2016-05-04", "ready": "9:00", "volume": "100"}
    assert "Wednesday, 4 May 2016, ready 09:00" in app.post("/today/rounds/batch", data=later).text
    assert "Wednesday, 4 May 2016, ready" not in app.post("/today/rounds/batch", data=later | {"gone": "yes"}).text
