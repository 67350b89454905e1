"""The map of a property: looked at and drawn on without script; who may; what is refused and kept as typed."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from pathlib import Path
from shutil import copy

import pytest
from fastapi.testclient import TestClient
from PIL import Image

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.services.ground import draw
from rootcase.web.app import create_app
from rootcase.web.desk import OWN, Desk
from tests.fieldbook.sheets import SHEET, open_book, write_sheet
from tests.web.conftest import NOW

NASTY = '<img src=x onerror=alert(1)>"\'&'


@pytest.fixture(scope="module")
def desk(desk_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Desk:
    folder = tmp_path_factory.mktemp("map")
    copy(desk_folder / "demo.sqlite", folder / "demo.sqlite")
    return Desk(folder / "demo.sqlite", lambda: NOW, folder / "results", demo=True)


@pytest.fixture(scope="module")
def client(desk: Desk) -> Iterator[TestClient]:
    # Without its start: nothing is computed here.
    yield TestClient(create_app(desk), base_url="http://127.0.0.1", headers={"origin": "http://127.0.0.1"})
    desk.close()


@pytest.fixture(scope="module")
def book(desk: Desk) -> Fieldbook:
    return desk.book(OWN)


@pytest.fixture(scope="module")
def ground(book: Fieldbook) -> str:
    return book.properties()[0].id


@pytest.fixture(scope="module")
def at(ground: str) -> str:
    return f"/properties/{ground}/map"


def test_the_map_shows_the_ground_and_everything_on_it(client: TestClient, at: str) -> None:
    answer = client.get(at)
    assert answer.status_code == 200
    for words in ("Map of Alder Bank school ground", "oak 4", "brook", "ft²", "m²", "located and marked"):
        assert words in answer.text
    assert answer.text.count("<svg xmlns") == 2
    assert 'class="wide"' in answer.text
    assert 'class="phone"' in answer.text


@pytest.mark.parametrize("end", ["?x=40&y=30&w=20", "?x=40&y=30", "?tool=line", "?tool=tree&of=x",
                                 "?x=-9999&y=9999&w=20000"])
def test_any_view_can_be_asked_for(client: TestClient, at: str, end: str) -> None:
    assert client.get(at + end).status_code == 200
    assert client.get(f"{at}/picture{end}&size=phone").headers["content-type"] == "image/svg+xml"


@pytest.mark.parametrize("end", ["?x=nan&y=0&w=9", "?x=0&y=0&w=0", "?x=1e9&y=0&w=9", "?tool=brush"])
def test_a_view_that_cannot_be_is_refused_in_words(client: TestClient, at: str, end: str) -> None:
    assert client.get(at + end).status_code == 422


def test_the_keys_of_the_map_lead_to_its_neighbours_without_script(client: TestClient, at: str) -> None:
    page = client.get(at + "?x=40&y=30&w=20").text
    ends = dict(re.findall(r'data-move="(\w+)" href="[^"?]*\?([^"#]*)', page))
    assert ends["nearer"] == "x=40.00&amp;y=30.00&amp;w=10.00"
    assert ends["farther"] == "x=40.00&amp;y=30.00&amp;w=40.00"
    assert ends["north"] == "x=40.00&amp;y=36.67&amp;w=20.00"
    assert ends["whole"] == ""


def test_ground_is_drawn_by_a_form(client: TestClient, at: str, book: Fieldbook, ground: str) -> None:
    sent = {"name": "rose bed", "kind": "bed", "corners": "10, 10\n30, 10\n30 ft, 6 m\n", "x": "40", "y": "30",
            "w": "20"}
    answer = client.post(f"{at}/place", data=sent, follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, f"{at}?x=40&y=30&w=20")
    bed = next(place for place in book.record(ground).places if place.name == "rose bed")
    assert bed.kind == "bed"
    assert bed.outline_m == ((3.048, 3.048), (9.144, 3.048), (9.144, 6.0))
    form = client.get(f"{at}?tool=place&of={bed.id}").text
    assert "Draw rose bed anew" in form
    assert "10, 10\n30, 10\n30, 19.69" in form
    client.post(f"{at}/place", data={"of": bed.id, "corners": "0, 0\n10, 0\n10, 10"})
    assert next(place for place in book.record(ground).places if place.id == bed.id).outline_m[1] == (3.048, 0.0)
    answer = client.post(f"{at}/take-back", data={"of": bed.id, "reason": "no bed there"}, follow_redirects=False)
    assert answer.status_code == 303
    assert "rose bed" not in client.get(at).text


def test_lines_areas_and_trees_are_drawn_by_forms(client: TestClient, at: str, book: Fieldbook, ground: str) -> None:
    client.post(f"{at}/line", data={"name": "gas main", "kind": "gas", "corners": "-0, 0\n100, 50"})
    client.post(f"{at}/keep_off", data={"name": "well", "reason": "drinking water", "distance": "50",
                                        "corners": "10, 10\n12, 10\n12, 12"})
    record = book.record(ground)
    client.post(f"{at}/tree", data={"name": "plum 1", "place": record.places[0].id, "corners": "20, 30"})
    client.post(f"{at}/tree", data={"of": record.trees[0].id, "corners": "1 m, 2 m"})
    record = book.record(ground)
    assert [(line.name, line.kind, line.points_m) for line in record.lines] == [
        ("gas main", "gas", ((0.0, 0.0), (30.48, 15.24)))]
    assert [(area.name, area.distance_m) for area in record.keep_off] == [("well", 15.24)]
    assert (record.trees[0].east_m, record.trees[0].north_m) == (1.0, 2.0)
    assert {tree.label: (tree.east_m, tree.north_m) for tree in record.trees}["plum 1"] == (6.096, 9.144)
    page = client.get(at).text
    assert "buried line, gas" in page
    assert "50 ft (15 m) round it" in page.replace("\xa0", " ")


WRONG = [
    ("place", {"corners": "0, 0\n10, 0"}, "corners", "three corners"),
    ("place", {"corners": "0, 0\n10, 10\n10, 0\n0, 10"}, "corners",
     "crosses itself: the side of corners 1-2 and that of 3-4"),
    ("place", {"corners": "0, 0\n10, 0\n20, 0"}, "corners", "crosses itself|on one line"),
    ("place", {"corners": "0, 0\n10, 0\n9 mi, 0"}, "corners", r"corner 3 is too far .*got 14 km.*; 5 km are the most"),
    ("place", {"corners": "0, 0\n10, 0\nover there"}, "corners", r"corner 3 is no distance .*got .*over"),
    ("place", {"corners": "0, 0\n10, 0\n1-2, 5"}, "corners", r"corner 3 is no distance .*1-2"),
    ("place", {"name": "brook", "corners": "0, 0\n10, 0\n10, 10"}, "name", "has this name already"),
    ("place", {"name": " ", "corners": "0, 0\n10, 0\n10, 10"}, "name", "nothing is typed here"),
    ("place", {"kind": "sea", "corners": "0, 0\n10, 0\n10, 10"}, "kind", "none of the kinds"),
    ("place", {"of": "nothing", "corners": "0, 0\n10, 0\n10, 10"}, "corners", "nothing of this id"),
    ("line", {"kind": "gas", "corners": "0, 0"}, "corners", "two points"),
    ("line", {"kind": "gas", "corners": "0, 0\n0, 0"}, "corners", "two points"),
    ("keep_off", {"reason": "", "corners": "0, 0\n10, 0\n10, 10"}, "reason", "nothing is typed here"),
    ("keep_off", {"reason": "x", "distance": "-5", "corners": "0, 0\n9, 0\n9, 9"}, "distance", "not below 0"),
    ("keep_off", {"reason": "x", "distance": "5 psi", "corners": "0, 0\n9, 0\n9, 9"}, "distance",
     "the distance is no distance .*5 psi"),
    ("tree", {"corners": "0, 0\n10, 0"}, "corners", "one point"),
    ("tree", {"name": "oak 4", "place": "x", "corners": "0, 0"}, "name", "already"),
    ("tree", {"name": "oak 99", "place": "x", "corners": "0, 0"}, "name", "draw the place first"),
]


@pytest.mark.parametrize(("tool", "typed", "cell", "message"), WRONG, ids=range(len(WRONG)))
def test_what_cannot_be_is_refused_beside_its_field_and_stays_as_typed(
        client: TestClient, at: str, book: Fieldbook, ground: str, tool: str, typed: dict[str, str], cell: str,
        message: str) -> None:
    before = book.record(ground)
    answer = client.post(f"{at}/{tool}", data={"name": "new thing", "kind": "bed", **typed}, follow_redirects=False)
    assert answer.status_code == 422
    fault = re.search(rf'id="{cell}-fault">([^<]*)<', answer.text)
    assert fault, answer.text
    assert re.search(message, fault[1]), fault[1]
    assert typed["corners"] in answer.text
    assert book.record(ground) == before


def test_what_people_type_is_shown_and_never_run(client: TestClient, at: str) -> None:
    client.post(f"{at}/line", data={"name": NASTY, "kind": "gas", "corners": "0, 0\n100, 50"})
    client.post(f"{at}/keep_off", data={"name": NASTY + "2", "reason": NASTY, "corners": "0, 0\n9, 0\n9, 9"})
    page = client.get(at).text + client.post(f"{at}/line", data={"name": NASTY, "corners": NASTY}).text
    assert "<img" not in page
    assert "&lt;img src=x" in page


def photo(width: int = 600, height: int = 400) -> bytes:
    made = io.BytesIO()
    exif = Image.Exif()
    exif[0x010F] = "SECRET MAKER"
    Image.new("RGB", (width, height), "green").save(made, "JPEG", exif=exif)
    return made.getvalue()


def test_a_picture_from_above_is_brought_touched_and_laid_without_script(
        client: TestClient, at: str, book: Fieldbook, ground: str) -> None:
    assert "No picture lies" in client.get(f"{at}/aerial").text
    client.post(f"{at}/aerial", files={"picture": ("x.jpg", photo(1920, 960))})
    page = client.get(f"{at}/aerial").text
    assert "Touch the first point" in page
    assert '<image href="/properties' not in client.get(at).text, "nothing is shown before it lies"
    address = re.search(r'src="([^"]+\.jpg)" width="960" height="480"', page)
    assert address
    bytes_ = client.get(address[1])
    assert bytes_.headers["content-type"] == "image/jpeg"
    assert b"SECRET" not in bytes_.content
    assert 'name="first_right" type="text" value="200"' in client.get(f"{at}/aerial?first.x=100&first.y=50").text
    oaks = [tree for tree in book.record(ground).trees if tree.label in ("oak 3", "oak 4")]
    sent = {"first_right": "200", "first_down": "100", "first_tree": oaks[0].id, "second_right": "900",
            "second_down": "500", "second_tree": oaks[1].id}
    assert client.post(f"{at}/aerial/lay", data=sent, follow_redirects=False).headers["location"] == at
    laid = book.drawing.aerial(ground)
    assert laid is not None
    assert laid.scale_m_px > 0
    assert "<image href=" in client.get(at).text
    sent = {"first_right": "0", "first_down": "960", "first_at": "0, 0", "second_right": "0", "second_down": "0",
            "distance": "96 m"}
    assert client.post(f"{at}/aerial/lay", data=sent, follow_redirects=False).status_code == 303
    laid = book.drawing.aerial(ground)
    assert laid is not None
    assert (laid.scale_m_px, laid.turned_deg, laid.east_m, laid.north_m) == pytest.approx((0.1, 0.0, 0.0, 96.0))
    client.post(f"{at}/take-back", data={"of": laid.id, "reason": "old"})
    assert book.drawing.aerial(ground) is None
    assert client.get(address[1]).status_code == 404


def test_pixels_count_as_in_the_file_that_was_brought(
        client: TestClient, at: str, book: Fieldbook, ground: str) -> None:
    client.post(f"{at}/aerial", files={"picture": ("x.jpg", photo(4800, 2400))})
    page = client.get(f"{at}/aerial?first.x=100&first.y=50").text
    assert "4800 × 2400" in page
    assert 'name="first_right" type="text" value="500"' in page
    assert 'viewBox="0 0 4800 2400"' in page
    sent = {"first_right": "0", "first_down": "2400", "first_at": "0 m, 0 m", "second_right": "0", "second_down": "0",
            "distance": "96 m"}
    assert client.post(f"{at}/aerial/lay", data=sent, follow_redirects=False).status_code == 303
    laid = book.drawing.aerial(ground)
    assert laid is not None
    assert (laid.width_px, laid.height_px) == (2400, 1200)
    assert (laid.scale_m_px, laid.turned_deg, laid.east_m, laid.north_m) == pytest.approx((0.08, 0.0, 0.0, 96.0))
    wrong = client.post(f"{at}/aerial/lay", data={**sent, "first_down": "2401"}).text
    assert "outside the picture (got 2401); 0 to 2400" in wrong


@pytest.mark.parametrize(("typed", "cell", "message"), [
    ({"first_right": "x"}, "first_right", "no number of pixels"),
    ({"second_down": "961"}, "second_down", "outside the picture"),
    ({"second_right": "nan"}, "second_right", "outside the picture"),
    ({"second_at": ""}, "second_at", "one point"),
    ({"second_tree": "no tree"}, "second_at", "not on the map"),
    ({"second_right": "1", "second_down": "1"}, "second_at", "too near"),
    ({"second_at": "", "distance": "9 m", "bearing": "north"}, "second_at", "no bearing"),
    ({"second_at": "", "distance": "20 km"}, "second_at", "outside its range"),
])
def test_a_picture_that_cannot_lie_so_stays_where_it_was(
        client: TestClient, at: str, book: Fieldbook, ground: str, typed: dict[str, str], cell: str,
        message: str) -> None:
    client.post(f"{at}/aerial", files={"picture": ("x.jpg", photo(1920, 960))})
    sent = {"first_right": "0", "first_down": "0", "first_at": "0, 0", "second_right": "900", "second_down": "500",
            "second_at": "90, 50", **typed}
    answer = client.post(f"{at}/aerial/lay", data=sent)
    assert answer.status_code == 422
    fault = re.search(rf'id="{cell}-fault">([^<]*)<', answer.text)
    assert fault
    assert re.search(message, fault[1]), fault[1]
    laid = book.drawing.aerial(ground)
    assert laid is not None
    assert laid.scale_m_px == 0.0


@pytest.mark.parametrize("raw", [b"", b"no picture", b"\xff\xd8\xff\xe0junk", b"<svg xmlns='x'/>"])
def test_what_is_no_picture_is_refused_in_one_line(client: TestClient, at: str, raw: bytes) -> None:
    answer = client.post(f"{at}/aerial", files={"picture": ("x.jpg", raw)})
    assert answer.status_code == 422
    assert re.search('id="picture-fault">[^<]*(not a photo|no file was chosen)', answer.text)
    assert "/tmp" not in answer.text


def test_another_property_and_another_picture_are_not_there(client: TestClient, at: str, book: Fieldbook) -> None:
    client.post(f"{at}/aerial", files={"picture": ("x.jpg", photo())})
    other = book.drawing.keep_photo(io.BytesIO(photo(40, 30)))
    assert client.get(f"{at}/aerial/{other}.jpg").status_code == 404, "a picture that lies under no map of theirs"
    for address in ("/properties/none/map", "/properties/none/map/picture", "/properties/none/map/aerial",
                    f"{at}/aerial/{'0' * 64}.jpg", f"{at}/aerial/..%2f..%2fx.jpg"):
        assert client.get(address).status_code == 404
    for tool in ("place", "tree", "line", "keep_off", "take-back", "aerial/lay"):
        assert client.post(f"/properties/none/map/{tool}", data={"corners": "0, 0"}).status_code == 404


def test_a_listed_place_is_drawn_by_its_name(tmp_path: Path) -> None:
    with open_book(tmp_path / "own.sqlite") as book:
        book.import_sheet(write_sheet(tmp_path / "sheet", SHEET))
        record = book.record(book.properties()[0].id)
        place = next(each for each in record.places if not each.outline_m)
        assert draw(book, record.property.id, "place", {"name": f" {place.name.upper()} ", "kind": place.kind,
                                                        "corners": "0, 0\n10, 0\n10, 10"}, "metric") == {}
        assert [each.id for each in book.record(record.property.id).places if each.outline_m] == [place.id]


def test_after_a_tree_the_next_one_without_a_place_is_chosen(tmp_path: Path) -> None:
    with open_book(tmp_path / "own.sqlite") as book:
        book.import_sheet(write_sheet(tmp_path / "sheet", SHEET | {"trees": [
            [*line[:5], "", "", *line[7:]] if line[0].startswith("oak") else line for line in SHEET["trees"]]}))
        ground = book.properties()[0].id
        undrawn = [tree.id for tree in book.record(ground).trees if tree.east_m is None]
        desk = Desk(tmp_path / "own.sqlite", lambda: NOW, tmp_path / "results", demo=True)
        client = TestClient(create_app(desk), base_url="http://127.0.0.1", headers={"origin": "http://127.0.0.1"},
                            follow_redirects=False)
        leads = [client.post(f"/properties/{ground}/map/tree", data={"of": of, "corners": f"{far}, 1"})
                 .headers["location"] for far, of in enumerate(undrawn)]
        assert leads == [*(f"/properties/{ground}/map?tool=tree&of={each}#draw" for each in undrawn[1:]),
                         f"/properties/{ground}/map"]
        assert len(undrawn) > 1
        desk.close()
