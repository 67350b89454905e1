"""What the crew may tell and see of readings, by every door: sheet, form, program, correction."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from rootcase.fieldbook.events import Event, ReadingTaken, ReadingTakenBack, body_text
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.people.sessions import open_session
from rootcase.ground.ids import IdMaker
from rootcase.records.observe import PropertyRecord
from tests.fieldbook.people.chance import chance
from tests.web.conftest import at_once
from tests.web.test_rights import NOW, House, desk_of, make_house

new_id = IdMaker(lambda: 1452859200000, chance(71))


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory, desk_folder: Path) -> Iterator[House]:
    made = make_house(tmp_path_factory.mktemp("crew"), desk_folder)
    desk_of(made).jobs.call = at_once  # type: ignore[method-assign]
    yield made
    desk_of(made).close()


@pytest.fixture
def book(house: House) -> Fieldbook:
    return desk_of(house).book("own")


@pytest.fixture
def record(house: House, book: Fieldbook) -> PropertyRecord:
    return book.record(house.ids["property_id"])


@pytest.fixture
def crew(house: House) -> TestClient:
    return as_(house, "crew1")


def as_(house: House, code: str) -> TestClient:
    house.client.cookies.clear()
    house.client.cookies.set("rootcase", house.tokens[code])
    return house.client


@pytest.fixture(scope="module")
def program(house: House) -> dict[str, str]:
    token = open_session(desk_of(house).book("own").store, ("own", "crew1"), "api", "", NOW, chance(77))
    return {"authorization": f"Bearer {token}"}


def one(record: PropertyRecord, kind: str) -> str:
    return next(each.id for each in record.readings if each.kind == kind)


@pytest.mark.parametrize("door", ["correct", "take-back", "is-right"])
def test_the_client_s_money_is_corrected_by_no_crew(house: House, crew: TestClient, book: Fieldbook,
                                                    record: PropertyRecord, program: dict[str, str], door: str) -> None:
    budget = one(record, "budget_year")
    typed = {"typed": "12", "reason": "slip", "why": "slip"}
    answer = crew.post(f"/readings/{budget}/{door}", data=typed)
    assert answer.status_code == 403
    assert "It is for: owner" in answer.text
    body = {"correct": {"typed": "12", "reason": "slip"}, "take-back": {"reason": "slip"}, "is-right": {}}[door]
    house.client.cookies.clear()
    assert house.client.post(f"/api/readings/{budget}/{door}", json=body, headers=program).status_code == 403
    assert book.record(record.property.id).readings == record.readings


def test_what_is_read_the_crew_corrects(crew: TestClient, record: PropertyRecord) -> None:
    dbh = one(record, "dbh")
    assert crew.post(f"/readings/{dbh}/correct", data={"typed": "14 in", "reason": "slip"}).status_code == 303


def test_the_crew_sees_no_money_and_no_wishes(house: House, record: PropertyRecord, program: dict[str, str]) -> None:
    ground = f"/api/properties/{record.property.id}"
    budget = one(record, "budget_year")
    assert as_(house, "owner1").get(f"/readings/{budget}").status_code == 200
    assert as_(house, "crew1").get(f"/readings/{budget}").status_code == 403
    assert "USD" not in as_(house, "crew1").get(f"/properties/{record.property.id}/particulars").text
    house.client.cookies.clear()
    for address in ("/record", "/readings?limit=1000"):
        told = house.client.get(ground + address, headers=program)
        assert told.status_code == 200
        kinds = {each["kind"] for each in told.json()["readings"]}
        assert "dbh" in kinds
        assert not kinds & {"budget_year", "crew_hours_year", "wish_lawn"}
    for address in ("/api/properties", ground, f"{ground}/record"):
        assert "USD" not in house.client.get(address, headers=program).text


def sheet(tmp_path: Path, **pages: str) -> dict[str, tuple[str, bytes]]:
    from openpyxl import Workbook

    made = Workbook()
    made.remove(made.active)
    for name, rows in pages.items():
        page = made.create_sheet(name)
        for row in rows.splitlines():
            page.append([cell.strip() or None for cell in row.split("|")])
    made.save(tmp_path / "sheet.xlsx")
    return {"file": ("sheet.xlsx", (tmp_path / "sheet.xlsx").read_bytes())}


def test_the_crew_s_sheet_tells_neither_money_nor_places(crew: TestClient, book: Fieldbook, record: PropertyRecord,
                                                         tmp_path: Path) -> None:
    place, tree = record.places[0].name, record.trees[0].label
    answer = crew.post(f"/properties/{record.property.id}/field-sheet", files=sheet(
        tmp_path, visits="visit|date|observer\nm1|2016-01-14|crew1",
        places=f"place|visit|place_kind|wish_lawn|foot_traffic\n{place}|m1||goes|path\nElsewhere|m1|lawn||",
        readings=f"visit|of|name|kind|value|unit\nm1|place|{place}|budget_year|99999|\n"
                 f"m1|tree|{tree}|trial_arm|untreated|\nm1|tree|{tree}|dbh|14|in"))
    after = book.record(record.property.id)
    kept = {each.kind for each in after.readings if each not in record.readings}
    assert kept == {"foot_traffic", "dbh"}
    assert after.places == record.places
    assert answer.text.count("not yours to tell") == 4


def test_the_crew_s_sheet_speaks_for_nobody_else(house: House, crew: TestClient, book: Fieldbook,
                                                 record: PropertyRecord, tmp_path: Path) -> None:
    tree, theirs = record.trees[0].label, record.visits[0]
    pages = {"visits": "visit|date|observer\nn1|2016-01-13|owner1\nn2|2016-01-13|",
             "trees": f"tree|visit|dbh\n{tree}|n1|11 in\n{tree}|n2|12 in\n{tree}|{theirs.label}|13 in"}
    address = f"/properties/{record.property.id}/field-sheet"
    answer = crew.post(address, files=sheet(tmp_path, **pages))
    after = book.record(record.property.id)
    new = {(each.typed, each.observer) for each in after.readings if each not in record.readings}
    assert new == {("12 in", "crew1")}
    assert "its observer is your code" in answer.text
    as_(house, "owner1").post(address, files=sheet(tmp_path, **pages))
    assert ("11 in", "owner1") in {(each.typed, each.observer) for each in book.record(record.property.id).readings}


def test_a_sheet_is_read_by_the_desk_s_clock(crew: TestClient, book: Fieldbook, record: PropertyRecord,
                                             tmp_path: Path) -> None:
    crew.post(f"/properties/{record.property.id}/field-sheet", files=sheet(
        tmp_path, visits="visit|date|observer\nk1|2016-01-12|crew1\nk2|2016-02-20|crew1",
        trees=f"tree|visit|dbh\n{record.trees[1].label}|k1|15 in"))
    after = book.record(record.property.id)
    made = next(each for each in after.readings if each.typed == "15 in" and each.day == date(2016, 1, 12))
    assert book.history(made.id).said[0].made_at.startswith("2016-01-15")
    assert "k2" not in {each.label for each in after.visits}, "a day that lies ahead"


def test_the_crew_s_form_makes_no_place_another(crew: TestClient, book: Fieldbook, record: PropertyRecord) -> None:
    place = record.places[0]
    kind = next(each for each in ("lawn", "bed", "street") if each != place.kind)
    answer = crew.post(f"/properties/{record.property.id}/read?place={place.id}", data={
        "mark": "aa", "day": "2016-01-14", "v.place_kind.1": kind, "v.slope.1": "4 %"})
    assert answer.status_code == 422
    assert "place kind is not yours to tell" in answer.text
    assert book.record(record.property.id).places == record.places


def test_the_crew_s_program_tells_neither_money_nor_another_s_visit(
        house: House, book: Fieldbook, record: PropertyRecord, program: dict[str, str]) -> None:
    budget = next(each for each in record.readings if each.kind == "budget_year")
    slot = next(each.body.slot for each in _events(book, record) if each.id == budget.id)
    visit = next(each.id for each in record.visits if each.observer != "crew1")
    bodies = [ReadingTaken(slot=new_id(), kind="budget_year", of=budget.of, visit="", typed="77777", value=77777.0),
              ReadingTakenBack(slot=slot, supersedes=budget.id, reason="x"),
              ReadingTaken(slot=new_id(), kind="dbh", of=record.trees[0].id, visit=visit, typed="10 in", value=254.0)]
    made = [Event(new_id(), "own", record.property.id, "2016-01-15T11:00:00.000Z", "phone 1", body) for body in bodies]
    sent = [{"id": each.id, "property_id": each.property_id, "kind": each.body.KIND, "made_at": each.made_at,
             "device": each.device, "body": body_text(each.body), "hash": each.hash} for each in made]
    house.client.cookies.clear()
    answer = house.client.post("/api/events", json={"events": sent}, headers=program)
    assert [each["state"] for each in answer.json()["events"]] == ["refused"] * 3
    assert ["not yours to tell" in each["error"] for each in answer.json()["events"]] == [True, True, False]
    assert "its observer is your code" in answer.json()["events"][2]["error"]


def _events(book: Fieldbook, record: PropertyRecord) -> list[Event]:
    with book.store.reading() as look:
        return look.events(record.property.id)
