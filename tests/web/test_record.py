"""The pages of the record: what is typed comes back, a meter in the other unit is asked about, a link is shown."""

from __future__ import annotations

import re
import time
from collections.abc import Iterator

import pytest
from fastapi.testclient import TestClient

from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.fieldbook.people.register import add_person
from rootcase.fieldbook.people.sessions import open_session
from rootcase.web import record_shown
from rootcase.web.app import create_app
from rootcase.web.desk import Desk
from tests.fieldbook.people.chance import chance
from tests.web.batches import Clock, yard
from tests.web.conftest import NOW

clock = Clock(NOW)


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    path = tmp_path_factory.mktemp("yard") / "own.sqlite"
    yard(path, NOW)
    with open_fieldbook(path, now=clock) as book:
        add_person(book.store, "rs", "Rowan Doe", "rowan", "owner", may_sign=True)
        token = open_session(book.store, ("own", "rs"), "browser", "", NOW, chance(1))
    with TestClient(create_app(Desk(path, clock, path.parent / "results")), base_url="http://127.0.0.1",
                    headers={"origin": "http://127.0.0.1"}, cookies={"rootcase": token}) as client:
        yield client


def log(app: TestClient, **typed: str) -> tuple[int, str]:
    at = re.search(r"/properties/[^/\"]+/log", app.get("/record").text)
    assert at
    answer = app.post(at[0], data={"tree": "t1", "remedy": "growth_regulator", **typed})
    return answer.status_code, answer.text


def test_a_form_that_cannot_be_read_comes_back_with_what_was_typed(app: TestClient) -> None:
    status, text = log(app, volume="a lot", weather="calm, 60 F", started="later")
    assert status == 422
    assert 'value="a lot"' in text
    assert 'value="calm, 60 F"' in text
    assert text.count('class="fault"') == 2


def test_a_meter_in_the_other_unit_is_asked_with_two_keys(app: TestClient) -> None:
    status, text = log(app, volume="208", planned_l="208.198")
    assert status == 422
    assert "Change to 208 L" in text
    assert "208 gal is right" in text
    _, kept = log(app, volume="208", planned_l="208.198", meant="L", slot="a meter")
    assert "55 gal" in kept


def test_an_open_record_stands_first_with_its_day_and_is_corrected(app: TestClient) -> None:
    _, text = log(app, volume="55", product="Example", restricted="on", slot="an open one")
    number = int(re.findall(r"Record (\d+)", text)[0])
    assert "Kept, but open" in text
    listed = app.get("/record").text
    assert listed.index("Kept, but open") < listed.index("Whole, or nothing more is asked")
    form = app.get(f"/properties/{_property(app)}/log?record={number}").text
    assert 'value="an open one"' in form
    assert 'value="55"' in form
    _, text = log(app, volume="60", product="Example", restricted="on", slot="an open one")
    assert f"Link {number}: 55 gal" in text
    newer = int(re.findall(r"Record (\d+)", text)[0])
    assert "The client had a copy on" in app.post(f"/record/{newer}/copy", data={"day": ""}).text
    assert app.post(f"/record/{newer}/copy", data={"day": "someday"}).status_code == 422


def test_the_list_says_where_gallons_went_and_asks_for_those_that_are_missing(app: TestClient) -> None:
    text = app.get("/record").text
    assert "unaccounted for. Where did they go?" in text
    assert "applied 55 gal" in text  # by a phone's short form
    wrong = app.post("/record/litres", data={"batch": "3", "what": "left", "volume": "20"})
    assert wrong.status_code == 422
    assert 'value="20"' in wrong.text
    told = app.post("/record/litres", data={"batch": "3", "what": "left", "volume": "20", "where": "own beds"}).text
    assert "left 20 gal" in told
    assert "Record of work up to entry " in told


def test_a_long_record_shows_its_newest_and_keys_lead_to_all_the_others(
        app: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    whole = app.get("/record").text
    assert "Older ones" not in whole
    monkeypatch.setattr(record_shown, "MOST_SHOWN", 1)
    text = app.get("/record").text
    assert text.count(">Look<") == 2  # one that is open, one that is not
    assert re.findall("<h1.*</h1>", text) == re.findall("<h1.*</h1>", whole)
    seen, ahead = set(), {"/record"}
    while ahead - seen:
        seen |= (here := set(ahead - seen))
        pages = [app.get(each.replace("&amp;", "&")).text for each in here]
        ahead |= {each for page in pages for each in re.findall(r'href="(/record\?[^"]*)"', page)}
    lines = {line for each in seen for line in _lines(app.get(each.replace("&amp;", "&")).text)}
    assert lines == set(_lines(whole))
    assert app.get("/record?older=-1").status_code == 422


def test_a_long_chain_is_walked_elsewhere_and_the_page_says_so(
        app: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    log(app, volume="55", slot="one more link")
    monkeypatch.setattr(record_shown, "MOST_WALKED", 0)
    text = app.get("/record").text
    assert "are being checked against each other" in text
    assert "Record of work up to entry " in text
    until = time.monotonic() + 20.0
    while "are being checked" in text and time.monotonic() < until:
        time.sleep(0.1)
        text = app.get("/record").text
    assert "are being checked" not in text
    assert "does not hold" not in text


def _lines(page: str) -> list[str]:
    """Records and batches of a page."""
    return re.findall(r"<b>[^<]+</b>|<li>(?:<strong>)?Batch [^<]+", page)


def _property(app: TestClient) -> str:
    found = re.search(r"/properties/([^/\"]+)/log", app.get("/record").text)
    assert found
    return found[1]
