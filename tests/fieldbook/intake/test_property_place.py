"""The property's position: slips in it are refused, and trees measured from it are not moved unasked."""

from __future__ import annotations

from pathlib import Path

import pytest

from rootcase.fieldbook.intake.faults import PageRefused
from rootcase.fieldbook.intake.lists.listing import Given
from rootcase.fieldbook.intake.lists.told import Told
from tests.fieldbook.sheets import SHEET, open_book, write_sheet

LIST = ("Tag,Species,Latitude,Longitude,Surveyed\n1,Acer rubrum,47.4501,-122.3101,2015-05-01\n"
        "2,Acer rubrum,47.4502,-122.3102,2015-05-01\n3,Acer rubrum,47.4503,-122.3103,2015-05-01\n")


def page(**facts: str) -> dict[str, list[list[str]]]:
    """The page of the property alone, with these facts put in the place of its own."""
    return {"property": [[key, facts.get(key, value)] for key, value in SHEET["property"]]}


@pytest.mark.parametrize(("facts", "says"), [
    ({"latitude": "-77.3341", "longitude": "38.9712"}, "latitude and longitude may be swapped"),
    ({"longitude": "122.31"}, "the minus of the longitude may be missing"),
    ({"latitude": "79", "longitude": "-122.31"}, "decimal degrees")])
def test_a_place_without_trees_or_far_from_its_clock_is_refused_with_the_slip(tmp_path: Path, facts: dict[str, str],
                                                                              says: str) -> None:
    with open_book(tmp_path / "book.sqlite") as book, pytest.raises(PageRefused, match=says):
        book.import_sheet(write_sheet(tmp_path / "sheet", page(**facts)))


@pytest.mark.parametrize(("longitude", "zone"), [
    ("75.99", "Asia/Shanghai"), ("-157.4", "Pacific/Kiritimati"), ("122.31", ""), ("122.31", "UTC")])
def test_odd_clocks_and_no_clock_are_taken(tmp_path: Path, longitude: str, zone: str) -> None:
    with open_book(tmp_path / "book.sqlite") as book:
        book.import_sheet(write_sheet(tmp_path / "sheet", page(longitude=longitude, time_zone=zone)))


def listed(tmp_path: Path, book_name: str = "book.sqlite") -> None:
    (tmp_path / "list.csv").write_text(LIST)
    said = Told(property_name="Alder Bank", ground="lawn", system="us")
    with open_book(tmp_path / book_name) as book:
        assert book.import_list(tmp_path / "list.csv", Given(said, save=True)).saved


def test_trees_that_came_by_degrees_are_not_moved_by_another_position_of_the_property(tmp_path: Path) -> None:
    listed(tmp_path)
    with open_book(tmp_path / "book.sqlite") as book:
        before = book.record(book.properties()[0].id)
        result = book.import_sheet(write_sheet(tmp_path / "sheet", page(latitude="47.451")))
        fault, = result.faults
        assert "its 3 trees are measured" in fault.line
        assert "47.4502, -122.3102" in fault.right
        after = book.record(before.property.id)
        assert (after.property.latitude_deg, after.trees) == (before.property.latitude_deg, before.trees)
        assert after.property.weather_station == "Seattle"  # the rest of the page is taken
        again = book.import_list(tmp_path / "list.csv", Given(Told()))
        assert (again.counts.known, again.counts.changed) == (3, 0)


def test_trees_given_in_metres_move_with_their_corner_and_it_is_said(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.sqlite") as book:
        book.import_sheet(write_sheet(tmp_path / "sheet", SHEET))
        result = book.import_sheet(write_sheet(tmp_path / "moved", page(latitude="47.451")))
        assert not result.faults
        assert any("its 2 trees, given in east and north" in told for told in result.told)
        assert book.properties()[0].latitude_deg == 47.451


def test_a_list_far_from_the_property_asks_about_the_property_too(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.sqlite") as book:
        book.import_sheet(write_sheet(tmp_path / "sheet", page(longitude="122.31", time_zone="")))
        (tmp_path / "list.csv").write_text(LIST)
        group, = book.import_list(tmp_path / "list.csv", Given(Told(ground="lawn"))).groups
        assert "is the property's own position, 47.45, 122.31, right?" in group.what
        assert [answer.word for answer in group.answers] == ["minus", "leave"]


def test_a_list_swapped_throughout_is_asked_about_in_a_new_property(tmp_path: Path) -> None:
    swapped = LIST.replace("Latitude,Longitude", "Longitude,Latitude").replace("-122", "-77")
    (tmp_path / "list.csv").write_text(swapped)
    with open_book(tmp_path / "book.sqlite") as book:
        said = Told(property_name="Alder Bank", ground="lawn", system="us")
        listing = book.import_list(tmp_path / "list.csv", Given(said))
        group, = listing.groups
        assert "swap" in [answer.word for answer in group.answers]
        mended = book.import_list(tmp_path / "list.csv", Given(said, mends=(("1", "swap"),)))
        assert (mended.ready, mended.needed) == (3, ())


@pytest.mark.parametrize(("latitude", "longitude"), [
    ("47°27'00\"N", "122°18'36\"W"), ("47 27 0 N", "122 18 36 w"), ("47° 27.0' N", "122°18.6′W"),
    ("47.45 N", "122.31° W"), ("47,45 N", "122,31 W"), ("47°27′N", "122º18’36”W")])
def test_degrees_with_minutes_seconds_and_letters_are_read(tmp_path: Path, latitude: str, longitude: str) -> None:
    with open_book(tmp_path / "book.sqlite") as book:
        book.import_sheet(write_sheet(tmp_path / "sheet", page(latitude=latitude, longitude=longitude)))
        ground, = book.properties()
        assert (ground.latitude_deg, ground.longitude_deg) == (47.45, -122.31)


@pytest.mark.parametrize("latitude", ["122.31 W", "47°27'00\"", "47°61'N", "by the gate", "47 N 27"])
def test_other_texts_are_no_degrees_and_the_right_form_is_said(tmp_path: Path, latitude: str) -> None:
    with open_book(tmp_path / "book.sqlite") as book, pytest.raises(PageRefused, match=r"such as 47\.45"):
        book.import_sheet(write_sheet(tmp_path / "sheet", page(latitude=latitude)))
