"""Taking a reading in the browser: what is typed goes the field sheet's way, and nothing is lost or kept twice."""

from __future__ import annotations

import re
from io import BytesIO

import pytest
from fastapi.testclient import TestClient
from openpyxl import load_workbook
from PIL import Image

from rootcase.records.observe import PropertyRecord, Reading
from rootcase.tables.readings import kinds
from rootcase.web.desk import OWN, Desk
from rootcase.web.read_shown import LAID_OUT


@pytest.fixture
def desk(app_to_change: TestClient) -> Desk:
    found: Desk = app_to_change.app.state.desk  # type: ignore[attr-defined]
    return found


@pytest.fixture
def record(desk: Desk) -> PropertyRecord:
    return desk.book(OWN).record(next(iter(desk.grounds(OWN))))


@pytest.fixture
def at(record: PropertyRecord) -> str:
    tree = next(tree for tree in record.trees if record.pits_of(tree.id))
    return f"/properties/{record.property.id}/trees/{tree.id}"


def of_form(desk: Desk, record: PropertyRecord, mark: str) -> dict[str, list[Reading]]:
    found: dict[str, list[Reading]] = {}
    for each in desk.book(OWN).record(record.property.id).readings:
        if each.source.endswith(mark):
            found.setdefault(each.kind, []).append(each)
    return found


def faults(text: str) -> list[str]:
    return re.findall(r'class="fault"[^>]*>([^<]*)', text)


def begun(client: TestClient, address: str) -> dict[str, str]:
    text = client.get(address).text
    typed = dict(re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)">', text))
    spot = re.search(r'<select id="pit".*?<option value="([^"]*)"', text, re.DOTALL)
    return typed | {"day": "2016-01-15"} | ({"pit": spot[1]} if spot else {})


FIRST = {"v.species.1": "Quercus alba", "v.shoot_length_last.1": "3 1/2 in", "v.shoot_length_last.2": "9 cm",
         "v.shoot_length_last.3": "2.75", "v.shoot_position.1": "lower", "v.probe_depth.1": ">36 in",
         "v.probe_stop.1": "rod_end", "v.probe_depth.2": "7", "v.probe_stop.2": "hard",
         "v.ground_under_crown.1": "turf", "v.root_flare_state.1": "not_looked",
         "v.margin_scorch.1": "not looked", "o.crown_dieback": "none seen"}


def test_the_first_look_is_kept_as_typed(app_to_change: TestClient, desk: Desk, record: PropertyRecord,
                                         at: str) -> None:
    form = begun(app_to_change, f"{at}/read")
    answer = app_to_change.post(f"{at}/read", data=form | FIRST)
    assert answer.history, faults(answer.text)
    assert answer.history[0].status_code == 303
    read = of_form(desk, record, form["mark"])
    shoots = [round(each.value or 0, 1) for each in read["shoot_length_last"]]
    assert shoots == [88.9, 90.0, 69.8] or shoots == [88.9, 90.0, 69.9]
    assert [(each.value, each.sign) for each in read["probe_depth"]] == [(914.4, ">"), (177.8, "=")]
    assert [each.choice for each in read["probe_stop"]] == ["rod_end", "hard"]
    assert [each.series for each in read["probe_depth"]] == [each.series for each in read["probe_stop"]]
    assert read["root_flare_state"][0].choice == "not_looked"
    assert [read[kind][0].nothing for kind in ("margin_scorch", "crown_dieback")] == ["not looked", "none seen"]
    assert {each.observer for each in read["species"]} != {""}
    assert "Kept just now: 13" in answer.text
    assert "hard soil, gritty push</a>" in answer.text, "a choice by its meaning, not its code"
    assert "/compute" in answer.text


def test_what_is_refused_stays_beside_its_field_and_the_rest_is_kept_once(
        app_to_change: TestClient, desk: Desk, record: PropertyRecord, at: str) -> None:
    form = begun(app_to_change, f"{at}/read")
    typed = form | {"v.dbh.1": "14 in", "v.tree_height.1": "3 lb", "v.crown_spread.1": "9999 ft",
                    "v.pest_name.1": "<b>"}
    answer = app_to_change.post(f"{at}/read", data=typed)
    assert answer.status_code == 422
    assert 'id="v.tree_height.1-fault"' in answer.text
    assert 'id="v.crown_spread.1-fault"' in answer.text
    assert 'id="v.dbh.1-fault"' not in answer.text
    assert 'value="3 lb"' in answer.text, "what was typed stays"
    assert 'value="&lt;b&gt;"' in answer.text
    assert set(of_form(desk, record, form["mark"])) == {"dbh", "pest_name"}
    again = app_to_change.post(f"{at}/read", data=typed | {"v.tree_height.1": "30 ft", "v.crown_spread.1": "",
                                                           "v.dbh.1": "14.5 in"})
    assert again.history
    assert again.history[0].status_code == 303
    read = of_form(desk, record, form["mark"])
    assert {kind: len(found) for kind, found in read.items()} == {"dbh": 1, "pest_name": 1, "tree_height": 1}
    assert read["pest_name"][0].supersedes is None, "what is sent again unchanged is not said again"
    assert read["dbh"][0].typed == "14.5 in", "what is typed anew takes its place"
    assert read["dbh"][0].supersedes


@pytest.mark.parametrize("mark", [{}, {"mark": ""}, {"mark": "m" * 5000}, {"mark": "a/b"}])
def test_forms_without_a_mark_of_their_own_leave_each_other_be(
        app_to_change: TestClient, desk: Desk, record: PropertyRecord, at: str, mark: dict[str, str]) -> None:
    def shoots() -> list[str]:
        return [each.typed for each in desk.book(OWN).record(record.property.id).readings
                if each.kind == "shoot_length_last"]

    before = shoots()
    for length in ("31 mm", "52 mm"):
        answer = app_to_change.post(f"{at}/read", data={**mark, "day": "2016-01-09", "v.shoot_length_last.1": length})
        assert answer.history, faults(answer.text)
        assert "Kept just now: 1" in answer.text
    assert sorted(shoots()) == sorted([*before, "31 mm", "52 mm"])


def test_a_doubtful_value_is_kept_and_asked_about(app_to_change: TestClient, desk: Desk, record: PropertyRecord,
                                                  at: str) -> None:
    form = begun(app_to_change, f"{at}/read")
    answer = app_to_change.post(f"{at}/read", data=form | {"v.soil_ph.1": "9.8", "a.soil_ph.method": "water_1_1",
                                                           "sample": "bag 7"})
    reading, = of_form(desk, record, form["mark"])["soil_ph"]
    assert reading.doubts
    assert reading.attributes["method"] == "water_1_1"
    assert 'class="doubt"' in answer.text
    assert f"/readings/{reading.id}" in answer.text
    assert any(sample.label == "bag 7" for sample in desk.book(OWN).record(record.property.id).samples)


def test_soil_is_read_with_its_depth_shoots_by_year_and_covers_by_ring(
        app_to_change: TestClient, desk: Desk, record: PropertyRecord, at: str) -> None:
    form = begun(app_to_change, f"{at}/read")
    typed = form | {"depth_from": "6 in", "depth_to": "12 in", "v.penetration_profile.1": "300 psi",
                    "v.soil_moisture_feel.1": "good", "y.1.2015": "4 in", "y.1.2014": "5 in", "y.2.2015": "3 in",
                    "a.shoot_length_by_year.position": "lower", "c.0.turf": "60", "c.0.bare": "40", "c.1.turf": "60"}
    answer = app_to_change.post(f"{at}/read", data=typed)
    assert answer.status_code == 422
    assert 'id="c.1-fault"' in answer.text
    read = of_form(desk, record, form["mark"])
    assert [(each.depth_from_m, each.depth_to_m) for each in read["penetration_profile"]] == [(0.1524, 0.3048)]
    assert sorted(each.growth_year for each in read["shoot_length_by_year"]) == [2014, 2015, 2015]
    assert {each.attributes["position"] for each in read["shoot_length_by_year"]} == {"lower"}
    assert {each.attributes["cover"]: each.value for each in read["cover_share_by_ring"]} == {"turf": 0.6, "bare": 0.4}
    upside_down = app_to_change.post(f"{at}/read", data=form | {"mark": "0" * 8, "depth_from": "12", "depth_to": "6",
                                                                "v.stone_share.1": "10"})
    assert upside_down.status_code == 422
    assert 'id="depth_from-fault"' in upside_down.text


def test_a_photo_is_kept_and_what_is_none_is_refused(app_to_change: TestClient, desk: Desk, record: PropertyRecord,
                                                     at: str) -> None:
    form = begun(app_to_change, f"{at}/read")
    picture = BytesIO()
    Image.new("RGB", (60, 40), "green").save(picture, "JPEG")
    assert re.search('<input id="v.tree_photo.1" name="tree_photo" type="file"[^>]* accept="image/[*]"',
                     app_to_change.get(f"{at}/read").text)
    answer = app_to_change.post(f"{at}/read", data=form, files={"tree_photo": ("a b.jpg", picture.getvalue())})
    assert answer.status_code == 200
    reading, = of_form(desk, record, form["mark"])["tree_photo"]
    assert app_to_change.get(f"/properties/{record.property.id}/photos/{reading.id}").status_code == 200
    bad = app_to_change.post(f"{at}/read", data=begun(app_to_change, f"{at}/read"),
                             files={"pit_photo": ("x.jpg", b"no")})
    assert bad.status_code == 422
    assert 'id="v.pit_photo.1-fault"' in bad.text


@pytest.mark.parametrize(("day", "why"), [("", "needed"), ("2031-01-01", "future"), ("soon", "date")])
def test_a_wrong_day_keeps_nothing(app_to_change: TestClient, desk: Desk, record: PropertyRecord, at: str, day: str,
                                   why: str) -> None:
    form = begun(app_to_change, f"{at}/read") | {"day": day, "v.dbh.1": "14 in"}
    answer = app_to_change.post(f"{at}/read", data=form)
    assert answer.status_code == 422
    assert 'id="day-fault"' in answer.text
    assert of_form(desk, record, form["mark"]) == {}


def test_a_place_is_read_as_a_whole(app_to_change: TestClient, desk: Desk, record: PropertyRecord) -> None:
    address = f"/properties/{record.property.id}/read"
    form = begun(app_to_change, address)
    place = record.places[1]
    money = [each for each in record.readings if each.kind == "budget_year"]
    answer = app_to_change.post(f"{address}?place={place.id}", data=form | {
        "day": "2016-01-11", "v.foot_traffic.1": "path", "v.slope.1": "4 %", "v.dbh.1": "14 in",
        "v.rain_last_7_days.1": "1 in", "v.budget_year.1": "99999", "v.wish_lawn.1": "stays"})
    assert answer.history, faults(answer.text)
    assert answer.history[0].status_code == 303
    read = of_form(desk, record, form["mark"])
    assert set(read) == {"foot_traffic", "slope", "rain_last_7_days"}, "nor what a plan is asked with"
    assert read["foot_traffic"][0].of == place.id
    assert [each for each in desk.book(OWN).record(record.property.id).readings if each.kind == "budget_year"] == money


def test_the_reading_somebody_came_for_stands_first(app_to_change: TestClient, at: str) -> None:
    text = app_to_change.get(f"{at}/read?kind=bulk_density").text
    assert 0 < text.index("v.bulk_density.1") < text.index("v.species.1")
    assert text.count('name="v.bulk_density.1"') == 1
    assert f'href="{at}/read"' in app_to_change.get(at).text


def test_a_reading_of_the_place_that_somebody_came_for_opens_the_form_of_that_place(
        app_to_change: TestClient, desk: Desk, record: PropertyRecord) -> None:
    tree = next(tree for tree in record.trees if tree.place_id != record.places[0].id)
    ground = f"/properties/{record.property.id}"
    answer = app_to_change.get(f"{ground}/trees/{tree.id}/read?kind=irrigation_kind")
    assert f"place={tree.place_id}" in str(answer.url)
    assert 0 < answer.text.index("v.irrigation_kind.1") < answer.text.index("v.place_kind.1")
    form = dict(re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)">', answer.text))
    kept = app_to_change.post(f"{ground}/read?place={tree.place_id}",
                              data=form | {"day": "2016-01-15", "v.irrigation_kind.1": "none"})
    assert kept.url.path == f"{ground}/trees/{tree.id}", "back to the tree that asked for it"
    assert of_form(desk, record, form["mark"])["irrigation_kind"][0].of == tree.place_id
    assert "Kept just now: 1" in kept.text


def species_of(desk: Desk, record: PropertyRecord, tree: str) -> list[str | None]:
    return [each.choice for each in desk.book(OWN).record(record.property.id).of(tree, kind="species")]


def test_a_slip_in_the_species_is_asked_and_nothing_of_it_is_kept_until_it_is_said(
        app_to_change: TestClient, desk: Desk, record: PropertyRecord, at: str) -> None:
    tree = at.rpartition("/")[2]
    before = species_of(desk, record, tree)
    assert f"This tree stands as {before[-1]}." in app_to_change.get(f"{at}/read").text
    form = begun(app_to_change, f"{at}/read") | {"v.species.1": "Quercus rubrra", "v.dbh.1": "14 in"}
    asked = app_to_change.post(f"{at}/read", data=form)
    assert asked.status_code == 422
    assert 'id="v.species.1-fault"' in asked.text
    assert re.findall(r'name="s.species" value="([^"]*)"', asked.text) == ["Quercus rubra", "Quercus rubrra"]
    assert set(of_form(desk, record, form["mark"])) == {"dbh"}
    assert app_to_change.post(f"{at}/read", data=form | {"s.species": "oak"}).status_code == 422
    assert app_to_change.post(f"{at}/read", data=form | {"s.species": "Quercus rubra"}).history
    assert of_form(desk, record, form["mark"])["species"][0].choice == "Quercus rubra"


def test_a_name_that_nobody_knows_is_kept_as_typed_only_when_that_is_said(
        app_to_change: TestClient, desk: Desk, record: PropertyRecord, at: str) -> None:
    form = begun(app_to_change, f"{at}/read") | {"v.species.1": "Rad ook"}
    assert app_to_change.post(f"{at}/read", data=form).status_code == 422
    assert of_form(desk, record, form["mark"]) == {}
    assert app_to_change.post(f"{at}/read", data=form | {"s.species": "Rad ook"}).history
    assert of_form(desk, record, form["mark"])["species"][0].choice == "Rad ook"


@pytest.mark.parametrize(("kind", "own"), [
    ("dbh", ["not looked", "not read"]), ("crown_dieback", ["none seen", "not looked", "not read"]),
    ("root_flare_state", ["not read"]), ("soil_ph", ["not read"]), ("ground_under_crown", ["not looked", "not read"])])
def test_only_the_kinds_of_nothing_that_make_sense_stand_behind_their_key(kind: str, own: list[str]) -> None:
    assert LAID_OUT.nothing_of(kinds()[kind]) == own


def test_the_field_sheet_holds_the_trees_and_comes_back_without_money(
        app_to_change: TestClient, desk: Desk, record: PropertyRecord) -> None:
    address = f"/properties/{record.property.id}/field-sheet"
    book = load_workbook(BytesIO(app_to_change.get(f"{address}.xlsx").content))
    assert {tree.label for tree in record.trees} <= {row[0].value for row in book["trees"].iter_rows(min_row=3)}
    assert {place.name for place in record.places} <= {row[0].value for row in book["places"].iter_rows(min_row=3)}
    assert not {"property", "prices", "rules", "practice", "contacts"}.intersection(book.sheetnames)
    assert book["visits"]["C3"].value is None, "who fills it in is not known yet"
    book["visits"]["B3"] = "2016-01-14"
    book["places"]["B3"] = book["visits"]["A3"].value
    traffic = next(cell.column for cell in book["places"][1] if cell.value == "Feet")
    book["places"].cell(3, traffic).value = "path"
    header = [cell.value for cell in book["trees"][1]]
    book["trees"].cell(3, header.index("Trunk diameter (DBH)") + 1).value = "14 in"
    prices = book.create_sheet("prices")
    for row in (["item", "unit", "amount", "currency", "source"], ["woodchip_mulch", "yd3", "1", "USD", "x"]):
        prices.append(row)
    changed = book.create_sheet("property")
    changed.append(["key", "value"])
    changed.append(["currency", "EUR"])
    before = desk.book(OWN).price_book("USD")
    for new in ("3 new", "0 new"):
        filled = BytesIO()
        book.save(filled)
        answer = app_to_change.post(address, files={"file": ("sheet.xlsx", filled.getvalue())})
        assert answer.status_code == 200
        assert f"Kept: {new}" in answer.text
        assert "Left alone: prices, property." in answer.text
    assert desk.book(OWN).price_book("USD") == before
    after = desk.book(OWN).record(record.property.id)
    assert after.property == record.property
    visit = next(visit for visit in after.visits if visit not in record.visits)
    assert (visit.label, visit.observer) == (book["visits"]["A3"].value, "demo")
    assert visit.label.startswith("sheet taken ")
    bad = app_to_change.post(address, files={"file": ("x.csv", b"Tree,Species,DBH\n1,oak,4")})
    assert bad.status_code == 422
    assert 'id="file-fault"' in bad.text
