"""Practice and what is behind it: prices, the practice's own page, rules, tables, everything out, backups."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from zipfile import ZipFile

import pytest
from fastapi.testclient import TestClient
from sqlalchemy import insert

from rootcase.fieldbook.store import open_store
from rootcase.fieldbook.store.schema import practices
from rootcase.services.backup import bring_back
from rootcase.tables.load import names, table
from rootcase.web.app import create_app
from rootcase.web.desk import Desk
from rootcase.web.who import Visitor
from tests.fieldbook.sheets import SHEET, open_book, write_sheet

ASKED = datetime(2016, 1, 22, 12, tzinfo=UTC)
"""Seven days after everything came in."""
PRICE = {"item": "mulch", "amount": "65", "unit": "yd3", "currency": "USD", "source": "the yard's list of 3 May"}
PAGES = ("practice", "practice/own", "practice/prices", "practice/rules", "practice/tables", "practice/export",
         "practice/backup", "practice/units")


@pytest.fixture
def app(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[TestClient]:
    """A small desk of one's own, where nobody signs in and nothing is computed."""
    monkeypatch.setattr(Desk, "begin", lambda desk: None)
    with open_book(tmp_path / "book.sqlite") as book:
        book.import_sheet(write_sheet(tmp_path / "in", SHEET))
    desk = Desk(tmp_path / "book.sqlite", lambda: ASKED, tmp_path / "results", demo=True)
    with TestClient(create_app(desk), base_url="http://127.0.0.1", headers={"origin": "http://127.0.0.1"}) as client:
        yield client


def words(html: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


def test_practice_leads_to_every_page_of_it(app: TestClient) -> None:
    html = app.get("/practice").text
    for page in PAGES[1:]:
        assert f'href="/{page}"' in html
        assert app.get(f"/{page}").status_code == 200


def test_a_price_is_told_and_the_old_one_stays_to_be_seen(app: TestClient) -> None:
    for amount in ("60", "65"):
        answer = app.post("/practice/prices", data={**PRICE, "amount": amount}, follow_redirects=False)
        assert (answer.status_code, answer.headers["location"]) == (303, "/practice/prices")
    said = words(app.get("/practice/prices").text)
    assert "65.00 USD per yd³ (85.02 per m³)" in said
    assert "60.00 USD per yd³ (78.48 per m³); told on 22 January 2016, the yard&#39;s list of 3 May" in said


def test_a_price_is_read_as_it_is_written_in_its_currency_and_names_no_file_as_its_source(app: TestClient) -> None:
    app.post("/practice/prices", data={**PRICE, "amount": "$1,200.50", "source": " "})
    said = words(app.get("/practice/prices").text)
    assert "1,200.50 USD per yd³" in said
    assert "source not told" in said
    assert "prices.csv" not in said
    answer = app.post("/practice/prices", data={**PRICE, "amount": "600 EUR"})
    assert "the sums here are in USD (got &#34;600 EUR&#34;); write it in USD" in answer.text


def test_a_price_that_cannot_be_comes_back_with_what_was_typed(app: TestClient) -> None:
    answer = app.post("/practice/prices", data={**PRICE, "amount": "dear & <b>cheap</b>"})
    assert answer.status_code == 422
    assert 'id="amount-fault">this is no sum of money' in answer.text
    assert 'value="dear &amp; &lt;b&gt;cheap&lt;/b&gt;"' in answer.text
    assert "<b>cheap" not in answer.text
    assert 'value="the yard&#39;s list of 3 May"' in answer.text
    assert "No price is written down yet" in app.get("/practice/prices").text


@pytest.mark.parametrize(("address", "field", "most"), [
    ("prices", "source", 400), ("prices", "amount", 400), ("own", "name", 120), ("own", "terms", 20_000),
    ("own", "reach", 400), ("papers", "what", 400), ("papers", "ends", 400)])
def test_what_no_field_has_room_for_stays_beside_it(app: TestClient, address: str, field: str, most: int) -> None:
    rest = PRICE if address == "prices" else {"kind": "permit", "what": "water", "ends": "2016-09-01"}
    answer = app.post(f"/practice/{address}", data={**rest, field: "w" * (most + 1)})
    assert answer.status_code == 422
    assert re.search(rf'id="{field}-fault"[^>]*>this is too long \(got [^)]*\); {most:,} signs at most', answer.text)
    assert "w" * (most + 1) in answer.text


def test_the_practice_says_of_itself_what_was_typed(app: TestClient) -> None:
    typed = {"name": "Roots & Co", "address": "Lane 1", "reach": "", "tax_name": "", "tax_rate": "", "valid_days": "30",
             "laboratory_days": "", "terms": "Due in a month.\r\nNo more."}
    assert app.post("/practice/own", data=typed, follow_redirects=False).status_code == 303
    html = app.get("/practice/own").text
    assert "<h1 class=\"finding\">Roots &amp; Co</h1>" in html
    assert "Due in a month." in html
    wrong = app.post("/practice/own", data={**typed, "valid_days": "a while"})
    assert wrong.status_code == 422
    assert 'id="valid_days-fault"' in wrong.text
    assert 'value="a while"' in wrong.text


def test_papers_that_run_out_are_listed_and_told_when_over(app: TestClient) -> None:
    app.post("/practice/papers", data={"kind": "licence", "what": "applicator 12", "ends": "2015-01-21"})
    said = words(app.get("/practice/own").text)
    assert "applicator 12 21 January 2015 ran out" in said
    wrong = app.post("/practice/papers", data={"kind": "permit", "what": "water", "ends": "soon"})
    assert (wrong.status_code, 'id="ends-fault"' in wrong.text) == (422, True)
    assert re.search('value="permit" checked', wrong.text)


def test_units_are_each_persons_own(app: TestClient) -> None:
    app.post("/practice/prices", data=PRICE)
    assert app.post("/practice/units", data={"system": "metric"}, follow_redirects=False).status_code == 303
    assert "85.02 USD per m³ (65.00 per yd³)" in words(app.get("/practice/prices").text)


@pytest.mark.parametrize("name", [name if at % 4 == 0 else pytest.param(name, marks=pytest.mark.full)
                                  for at, name in enumerate(names())])
def test_every_table_is_shown_whole_with_its_source(desk_app: TestClient, name: str) -> None:
    html = desk_app.get(f"/practice/tables/{name}").text
    shown = table(name)
    assert html.count("<tr") == len(shown.rows) + 1
    assert html.count('<th scope="col">') == len(shown.units)


def test_tables_are_found_by_any_word_in_them(desk_app: TestClient) -> None:
    everything = desk_app.get("/practice/tables").text
    assert len(re.findall('href="/practice/tables/', everything)) == len(names())
    found = desk_app.get("/practice/tables", params={"words": "Saxton loamy_sand"}).text
    assert 0 < len(re.findall('href="/practice/tables/', found)) < 5
    assert "/practice/tables/soil/texture_centres" in found
    assert "0 of" in desk_app.get("/practice/tables", params={"words": "<script>"}).text


def test_a_table_that_is_not_there_is_not_found(desk_app: TestClient) -> None:
    for name in ("none", "../load.py", "soil", "%2e%2e/load"):
        assert desk_app.get(f"/practice/tables/{name}").status_code == 404


@pytest.mark.parametrize(("name", "start"), [
    ("everything.zip", b"PK"), ("public-copy.zip", b"PK"), ("readings.xlsx", b"PK"), ("map.gpkg", b"SQLite"),
    ("map.geojson", b"{")])
def test_everything_comes_out_as_a_download_and_nothing_of_it_stays(app: TestClient, tmp_path: Path, name: str,
                                                                     start: bytes) -> None:
    before = {file for file in tmp_path.rglob("*") if "sqlite" not in file.name}
    answer = app.get(f"/practice/export/{name}")
    assert answer.content.startswith(start)
    assert answer.headers["content-disposition"] == f'attachment; filename="{name}"'
    assert {file for file in tmp_path.rglob("*") if "sqlite" not in file.name} == before


def test_a_backup_is_made_counted_and_comes_back(app: TestClient, tmp_path: Path) -> None:
    assert "Nothing was ever backed up" in app.get("/practice/backup").text
    answer = app.post("/practice/backup")
    assert answer.headers["content-disposition"] == 'attachment; filename="rootcase-20160122-120000Z.zip"'
    assert "Newest backup: 22 January 2016, 12:00 UTC" in app.get("/practice/backup").text
    (tmp_path / "kept.zip").write_bytes(answer.content)
    assert ZipFile(tmp_path / "kept.zip").testzip() is None
    bring_back(tmp_path / "kept.zip", tmp_path / "new" / "book.sqlite")
    with open_book(tmp_path / "new" / "book.sqlite") as back, open_book(tmp_path / "book.sqlite") as book:
        assert back.state_hash() == book.state_hash()
    assert list(tmp_path.glob(".rootcase-*")) == []


def test_whoever_shares_a_file_with_others_gets_no_copy_of_it(app: TestClient, tmp_path: Path) -> None:
    with open_store(tmp_path / "book.sqlite", "other").whole_file(writes=True) as file:
        file.execute(insert(practices).values(practice_id="another practice"))
    assert "Other practices share this file" in app.get("/practice/backup").text
    answer = app.post("/practice/backup")
    assert (answer.status_code, "Other practices share this file" in answer.text) == (422, True)


def test_after_seven_days_without_one_every_page_says_so(app: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    said = "Nothing was backed up for 7 days"
    assert said not in app.get("/make").text  # the invented data need none
    monkeypatch.setattr(app.app.state.desk, "demo", False)  # type: ignore[attr-defined]
    for role, hears in (("owner", True), ("crew", False)):
        who = Visitor("own", "a", "", role, False, "us")  # type: ignore[arg-type]
        monkeypatch.setattr("rootcase.web.who.visitor_of", lambda request, who=who: who)
        assert (said in app.get("/make").text) is hears
    monkeypatch.setattr("rootcase.web.who.visitor_of", lambda request: Visitor("own", "a", "", "owner", False, "us"))
    app.post("/practice/backup")
    assert said not in app.get("/make").text


def test_a_price_is_offered_and_taken_by_what_its_work_is_counted_in_and_says_what_it_buys(app: TestClient) -> None:
    page = app.get("/practice/prices?item=water").text
    assert re.findall(r'<option value="(\w+)"(?: selected)?>', page[page.index('name="unit"'):]) == [
        "tree", "ft2", "m2", "visit", "hour"]
    assert "is paid once for all five years" in page
    wrong = app.post("/practice/prices", data={**PRICE, "item": "water"})
    assert wrong.status_code == 422
    assert ("this is not counted by the cubic yard (yd³); write it for each tree or square foot (ft²)" in wrong.text)
    app.post("/practice/prices", data={**PRICE, "item": "water", "unit": "tree", "amount": "45"})
    assert "45.00 USD per tree for this year and the four after" in words(app.get("/practice/prices").text)
    page = app.get("/practice/prices?item=laboratory").text
    assert re.findall(r'<option value="(\w+)"(?: selected)?>', page[page.index('name="unit"'):]) == ["sample"]


def test_a_price_is_taken_away_and_can_be_told_again(app: TestClient) -> None:
    app.post("/practice/prices", data=PRICE)
    away = {"item": "mulch", "currency": "USD"}
    answer = app.post("/practice/prices/away", data=away, follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, "/practice/prices")
    assert "65.00 USD" not in words(app.get("/practice/prices").text)
    app.post("/practice/prices/away", data=away)
    app.post("/practice/prices", data=PRICE)
    assert "65.00 USD per yd³" in words(app.get("/practice/prices").text)
