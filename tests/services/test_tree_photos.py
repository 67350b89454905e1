"""A photo of leaves at a tree: measured, mended by hand, and its figures kept as readings of the tree."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.records.observe import Tree
from rootcase.records.tree_photo import TreePhoto
from rootcase.services.canopy_photo import canopy_in
from rootcase.services.leaf_photo import leaves_in
from rootcase.services.read import spots
from rootcase.services.soil_photo import soil_in
from rootcase.services.tree_photos import (
    add_tree_photo,
    is_kept,
    keep_as_readings,
    leaves_left_out,
    mend_crown,
    mend_leaves,
    photo_behind,
    photos_of,
    point_at_soil,
    readings_of_photo,
    take_tree_photo_back,
    tree_photo_named,
)
from tests.fieldbook.sheets import whole_property
from tests.web.photos_told import soil_photo

DATA = Path(__file__).parents[1] / "data"
CARD, CROWN = DATA / "card_flat.jpg", DATA / "canopy_clear.jpg"
DAY = date(2016, 6, 3)
TYPED = {"shows": "leaves", "day": "2016-06-03"}
SIZE_PX = (1600, 1200)


@pytest.fixture(scope="module")
def call() -> Callable[..., Any]:
    """Measures the same once."""
    known: dict[tuple[Any, ...], Any] = {}

    def measured(function: Callable[..., Any], file: Path, *more: Any) -> Any:
        key = (function, file.name if file == CARD else file.stem, *more)
        return known[key] if key in known else known.setdefault(key, function(file, *more))

    return measured


@pytest.fixture(scope="module")
def soil(tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("soil") / "soil.png"
    file.write_bytes(soil_photo().read())
    return file


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory, call: Callable[..., Any]) -> Path:
    """A fieldbook with one measured photo."""
    path = tmp_path_factory.mktemp("photos") / "book.sqlite"
    with open_fieldbook(path) as book:
        with book.store.writing() as turn:
            turn.add(whole_property())
        record = book.record("p")
        made, wrong = add_tree_photo(book, record, record.trees[0], CARD, TYPED, call, by="rs", today=DAY, system="us")
        assert (wrong, bool(made)) == ({}, True)
    return path.parent


@pytest.fixture
def book(begun: Path, tmp_path: Path) -> Iterator[Fieldbook]:
    shutil.copytree(begun, tmp_path / "own")
    with open_fieldbook(tmp_path / "own" / "book.sqlite") as opened:
        yield opened


def at(book: Fieldbook) -> tuple[Tree, TreePhoto]:
    tree = book.record("p").trees[0]
    photo, = photos_of(book, "p", tree)
    return tree, photo


def keep(book: Fieldbook, by: str = "rs") -> str:
    tree, photo = at(book)
    return keep_as_readings(book, book.record("p"), tree, photo, by=by, system="us")


def test_the_figures_become_readings_of_the_tree_that_know_their_photo(book: Fieldbook) -> None:
    tree, photo = at(book)
    assert readings_of_photo(book.record("p"), photo) == ()
    assert not is_kept(book.record("p"), photo)
    assert keep(book) == ""
    record = book.record("p")
    came = readings_of_photo(record, photo)
    areas = [each for each in came if each.kind == "leaf_area_photo"]
    assert [each.value for each in areas] == pytest.approx([leaf.area_mm2 for leaf in photo.leaves], rel=1e-3)
    green, = (each for each in came if each.kind == "leaf_colour_photo")
    greens = sorted(leaf.dark_green for leaf in photo.leaves if leaf.dark_green is not None)
    assert green.value == pytest.approx(greens[len(greens) // 2], abs=1e-3)
    assert {(each.of, each.day, each.observer) for each in came} == {(tree.id, DAY, "rs")}
    assert {each.source for each in came} == {"measured on a photo: Leaves on the card"}
    assert is_kept(record, photo)
    assert photo_behind(book, "p", areas[0]) == photo
    assert photo_behind(book, "p", next(each for each in record.readings if each not in came)) is None
    assert keep(book, "jk") == ""
    assert readings_of_photo(book.record("p"), photo) == came


def test_no_casework_is_outdated_by_a_photo_before_its_readings(book: Fieldbook) -> None:
    assert not {"tree_photo_measured", "tree_photo_taken_back"} & {
        event.body.KIND for event in book.arrivals.since("p", 0)}
    keep(book)
    assert "reading_taken" in {event.body.KIND for event in book.arrivals.since("p", 0)}


def test_a_leaf_left_out_takes_its_reading_with_it_and_one_drawn_brings_one(
        book: Fieldbook, call: Callable[..., Any]) -> None:
    _, photo = at(book)
    keep(book)
    path = book.drawing.photo(photo.photo)
    assert path is not None
    middle = "760 560, 860 560, 860 640, 760 640"
    assert mend_leaves(book, "p", photo, middle, SIZE_PX, call, path, left_out=(0,), by="jk") == ""
    _, mended = at(book)
    assert (mended.mended, mended.by, mended.drawn) == (True, "jk", middle)
    assert [leaf.number for leaf in mended.leaves] == [*range(2, len(photo.leaves) + 1), len(photo.leaves) + 1]
    assert mended.leaves[-1].by_hand
    assert leaves_left_out(mended, call(leaves_in, path)) == ((0,), 0)
    assert not is_kept(book.record("p"), mended)
    assert keep(book) == ""
    record = book.record("p")
    assert is_kept(record, mended)
    areas = [each for each in readings_of_photo(record, mended) if each.kind == "leaf_area_photo"]
    assert [each.value for each in areas] == pytest.approx([leaf.area_mm2 for leaf in mended.leaves], rel=1e-3)


@pytest.mark.parametrize(("drawn", "wrong"), [
    ("1 1, 9 9", "three points"), ("1 1, 9 9, x 4", "no point of the photo"), ("1 1, 9 9, 9000 4", "no point")])
def test_what_was_drawn_and_is_no_outline_is_refused(book: Fieldbook, drawn: str, wrong: str,
                                                     call: Callable[..., Any]) -> None:
    _, photo = at(book)
    assert wrong in mend_leaves(book, "p", photo, drawn, SIZE_PX, call, CARD, left_out=(), by="rs")
    assert at(book)[1] == photo


def test_a_crown_from_its_mark_is_measured_mended_and_kept_with_the_mark(
        book: Fieldbook, call: Callable[..., Any]) -> None:
    tree, _ = at(book)
    typed = {**TYPED, "shows": "crown"}
    assert "where the camera" in add_tree_photo(book, book.record("p"), tree, CROWN, typed, call, by="rs",
                                                today=DAY, system="us")[1]["stand"]
    made, wrong = add_tree_photo(book, book.record("p"), tree, CROWN, {**typed, "stand": " north side,  1x "}, call,
                                 by="rs", today=DAY, system="us")
    assert wrong == {}
    photo = tree_photo_named(book, "p", tree, made)
    assert photo.crown is not None
    assert photo.crown.low_share < photo.crown.gap_share < photo.crown.high_share
    found = call(canopy_in, CROWN)
    size = found.width_px, found.height_px
    assert mend_crown(book, "p", photo, "1 1, 2", size, call, CROWN, by="jk")
    half = f"0 0, {size[0] // 2} 0, {size[0] // 2} {size[1]}, 0 {size[1]}"
    assert mend_crown(book, "p", photo, half, size, call, CROWN, by="jk") == ""
    mended = tree_photo_named(book, "p", tree, made)
    assert mended.crown is not None
    assert mended.crown.gap_share != photo.crown.gap_share
    assert (mended.left_out, mended.stand) == (half, "north side, 1x")
    assert keep_as_readings(book, book.record("p"), tree, mended, by="rs", system="us") == ""
    reading, = readings_of_photo(book.record("p"), mended)
    assert (reading.kind, reading.attributes["mark"]) == ("crown_gap_photo", "north side, 1x")
    assert reading.value == pytest.approx(mended.crown.gap_share, rel=1e-3)
    assert reading.doubts == ()


def test_soil_is_kept_at_its_spot_with_depth_and_state(book: Fieldbook, call: Callable[..., Any], soil: Path) -> None:
    tree, _ = at(book)
    record = book.record("p")
    typed = {**TYPED, "shows": "soil", "state": "moist", "pit": spots(record, tree)[0], "depth_from": "2",
             "depth_to": "4 in"}
    for field, text in (("state", "wet"), ("pit", "nowhere"), ("depth_from", "6"), ("depth_from", "deep")):
        _, wrong = add_tree_photo(book, record, tree, soil, {**typed, field: text}, call, by="rs", today=DAY,
                                  system="us")
        assert list(wrong) == [field]
    made, wrong = add_tree_photo(book, record, tree, soil, typed, call, by="rs", today=DAY, system="us")
    assert wrong == {}
    photo = tree_photo_named(book, "p", tree, made)
    assert photo.soil is not None
    assert (photo.soil.chip, photo.soil.near[0].chip) == ("10YR 4/3", "10YR 4/3")
    found = call(soil_in, soil)
    place, size = f"{found.spot_px.x:.1f} {found.spot_px.y:.1f}", (found.width_px, found.height_px)
    assert "empty middle" in point_at_soil(book, "p", photo, "1 1", size, call, soil, by="rs")
    assert "one place" in point_at_soil(book, "p", photo, f"{place}; 9 9", size, call, soil, by="rs")
    assert point_at_soil(book, "p", photo, place, size, call, soil, by="jk") == ""
    photo = tree_photo_named(book, "p", tree, made)
    assert (photo.drawn, photo.by) == (place.replace(".0", ""), "jk")
    assert keep_as_readings(book, record, tree, photo, by="rs", system="metric") == ""
    record = book.record("p")
    color, state = readings_of_photo(record, photo)
    assert (color.kind, color.choice) == ("soil_colour_photo", "10YR 4/3")
    assert (state.kind, state.choice) == ("soil_colour_state", "moist")
    assert (photo.soil.value, photo.soil.chroma) == ("4 5", "2 4")
    assert photo.soil.hue
    assert color.of == state.of == next(pit.id for pit in record.pits if pit.label == typed["pit"])
    assert (color.depth_from_m, color.depth_to_m) == (0.0508, 0.1016)
    assert color.doubts == ()
    assert is_kept(record, photo)


def test_a_photo_taken_back_takes_its_readings_along(book: Fieldbook) -> None:
    tree, photo = at(book)
    keep(book)
    before = book.record("p")
    assert take_tree_photo_back(book, before, photo, "  ", by="rs")
    assert readings_of_photo(book.record("p"), photo)
    assert take_tree_photo_back(book, before, photo, "another tree", by="rs") == ""
    assert photos_of(book, "p", tree) == ()
    assert readings_of_photo(book.record("p"), photo) == ()


@pytest.mark.parametrize(("change", "field"), [
    ({"day": "2016-06-04"}, "day"), ({"day": "soon"}, "day"), ({"shows": "roots"}, "shows"), ({}, "photo")])
def test_what_cannot_be_is_named_by_its_field(book: Fieldbook, change: dict[str, str], field: str,
                                              call: Callable[..., Any], tmp_path: Path) -> None:
    tree, _ = at(book)
    (tmp_path / "list.jpg").write_text("tag,dbh", encoding="utf-8")
    for file in (None, tmp_path / "list.jpg", CARD):
        made, wrong = add_tree_photo(book, book.record("p"), tree, file, {**TYPED, **change}, call, by="rs", today=DAY,
                                     system="us")
        assert made == ""
        assert field in wrong
        assert str(tmp_path) not in "".join(wrong.values())
