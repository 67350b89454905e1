"""The map of a property: what is drawn stands where it was drawn, at its true distance, and can be read when dense."""

from __future__ import annotations

import math
import random
from dataclasses import replace
from datetime import date

import pytest

from rootcase.records.apply.jobs import Job, Pace
from rootcase.records.observe import Aerial, BuriedLine, KeepOff, Place, PropertyRecord, Tree
from rootcase.records.prescribe import Dose
from rootcase.report.palette import PAPER
from rootcase.report.pictures import draw_plan
from rootcase.report.pictures.ground_map import DENSE, PHONE, WIDE, Size, Underlay, View, draw_ground
from rootcase.science.plane import in_picture_m
from tests.report.fixtures import casework_fixture
from tests.report.pictures.marks import ET, group, mark, marks, number, points, root_of, texts

GAS = BuriedLine("g", "p", "to the school", "gas", ((20.0, 20.0), (60.0, 25.0), (60.0, 45.0)))
HYDRANT = BuriedLine("w", "p", "hydrant", "water", ((55.0, 2.0), (40.0, 30.0)))
WELL = KeepOff("k", "p", "well", "drinking water", ((30.0, 40.0), (33.0, 40.0), (33.0, 43.0), (30.0, 43.0)), 8.0)
YARD = KeepOff("y", "p", "play yard", "children", ((5.0, 5.0), (15.0, 5.0), (15.0, 12.0), (10.0, 8.0)), 0.0)


@pytest.fixture(scope="module")
def record() -> PropertyRecord:
    return replace(casework_fixture().record, lines=(GAS, HYDRANT), keep_off=(WELL, YARD))


def metres(root: ET.Element, x: float, y: float) -> tuple[float, float]:
    """As a script turns a touch into metres."""
    ground = group(root, "ground")
    scale = number(ground, "data-px-per-m")
    return (number(ground, "data-west") + (x - number(ground, "data-left")) / scale,
            number(ground, "data-south") + (number(ground, "data-foot") - y) / scale)


@pytest.mark.parametrize("size", [WIDE, PHONE], ids=lambda size: size.name)
@pytest.mark.parametrize("view", [None, View(40.0, 20.0, 35.0)])
def test_everything_stands_where_it_was_drawn(record: PropertyRecord, size: Size, view: View | None) -> None:
    root = root_of(draw_ground(record, view, size, "us").bare)
    for line in record.lines:
        drawn = [metres(root, *point) for point in points(mark(root, f"line {line.kind}"))]
        assert drawn == [pytest.approx(point, abs=0.01) for point in line.points_m]
    for area, found in zip(record.keep_off, marks(root, "area"), strict=True):
        assert [metres(root, *point) for point in points(found)] == [
            pytest.approx(corner, abs=0.01) for corner in area.outline_m]
    trunks = {(round(east, 1), round(north, 1)) for east, north in (
        metres(root, number(each, "cx"), number(each, "cy")) for each in marks(root, "trunk"))}
    assert trunks <= {(round(tree.east_m or 0, 1), round(tree.north_m or 0, 1)) for tree in record.trees}
    assert view is not None or len(trunks) == len(record.trees)


def test_ground_is_kept_off_at_its_true_distance(record: PropertyRecord) -> None:
    root = root_of(draw_ground(record, None, WIDE, "metric").bare)
    scale = number(group(root, "ground"), "data-px-per-m")
    well, yard = marks(root, "held-off")
    assert number(well, "stroke-width") == pytest.approx(2 * 8.0 * scale, abs=0.01)
    assert number(yard, "stroke-width") == 0.0
    left_out = list(root.iter("{http://www.w3.org/2000/svg}mask"))
    assert number(left_out[0][1], "stroke-width") == pytest.approx(2 * 8.0 * scale, abs=0.01)
    assert {"keep off: well, 8 m (26 ft) round it", "keep off: play yard"} <= {
        words.replace("\xa0", " ") for words in texts(root)}


def test_buried_lines_have_their_own_dashes_here_and_on_the_plan(record: PropertyRecord) -> None:
    plan = root_of(draw_plan(record, casework_fixture().plan).bare)
    for root in (root_of(draw_ground(record, None, WIDE, "us").bare), plan):
        assert {each.get("stroke-dasharray") for each in marks(root, "line")} == {"14 5 2 5"}
        assert {"gas: to the school", "water: hydrant"} <= set(texts(root))
    words = " ".join(texts(plan))
    assert "buried lines told: gas: to the school; water:" in words
    assert "others not known" in words
    assert "have them marked before any digging" in words


@pytest.mark.parametrize("system", ["us", "metric"])
def test_the_marks_of_the_frame_are_round_distances_from_the_origin(record: PropertyRecord, system: str) -> None:
    root = root_of(draw_ground(record, View(41.3, 20.7, 37.0), WIDE, "us" if system == "us" else "metric").bare)
    unit = 0.3048 if system == "us" else 1.0
    shown = [each for each in root.iter("{http://www.w3.org/2000/svg}text") if each.get("text-anchor") == "middle"
             and (each.text or "").isdigit() and each.get("font-size") == "12"]
    assert shown
    for each in shown:
        assert metres(root, number(each, "x"), 0.0)[0] == pytest.approx(float(each.text or "") * unit, abs=0.02)


def test_a_picture_lies_by_its_four_numbers(record: PropertyRecord) -> None:
    aerial = Aerial("a", "0" * 64, 1200, 900, 0.05, 30.0, 10.0, 35.0)
    root = root_of(draw_ground(record, None, WIDE, "us", Underlay(aerial, "/x?a=1&b=2")).bare)
    image = next(root.iter("{http://www.w3.org/2000/svg}image"))
    assert image.get("href") == "/x?a=1&b=2"
    a, b, c, d, e, f = (float(part) for part in (image.get("transform") or "")[7:-1].split())
    for right, down in ((0.0, 0.0), (1200.0, 0.0), (0.0, 900.0)):
        wanted = in_picture_m(right, down, 0.05, 30.0, 10.0, 35.0)
        assert metres(root, a * right + c * down + e, b * right + d * down + f) == pytest.approx(wanted, abs=0.02)
    assert all(each.get("fill") == "none" for each in marks(root, "place")), "ground does not hide the picture"
    plates, names = marks(root, "plate"), marks(root, "place-name")
    assert names
    assert all(each.get("fill") == PAPER["ink"] for each in names), "no light word stands on a picture"
    assert len(plates) >= len(names)


def test_several_hundred_trees_carry_numbers_that_lie_on_nothing(record: PropertyRecord) -> None:
    dice = random.Random(1)
    many = tuple(Tree(f"t{i}", "p", record.places[0].id, f"oak {i}", dice.uniform(0, 160), dice.uniform(0, 90))
                 for i in range(400))
    dense = replace(record, trees=many)
    for size in (WIDE, PHONE):
        picture = draw_ground(dense, None, size, "us")
        assert picture.faults == ()
        root = root_of(picture.bare)
        assert len(marks(root, "trunk")) == 400
        names = [each.text or "" for each in marks(root, "tree-name")]
        assert all(name.isdigit() for name in names)
        for each in marks(root, "tree-name"):
            tree = next(tree for tree in many if tree.label == f"oak {each.text}")
            east, north = metres(root, number(each, "x"), number(each, "y") - 5)
            assert math.hypot(east - (tree.east_m or 0), north - (tree.north_m or 0)) < 0.3
    near = root_of(draw_ground(dense, View(80.0, 40.0, 40.0), WIDE, "us").bare)
    in_view = len(marks(near, "trunk"))
    assert in_view > DENSE
    assert len(marks(near, "tree-name")) > 0.7 * in_view


def test_a_property_on_which_nothing_is_drawn_has_a_map_too(record: PropertyRecord) -> None:
    bare = replace(record, trees=(), places=(), outlines=(), lines=(), keep_off=())
    for size in (WIDE, PHONE):
        picture = draw_ground(bare, None, size, "metric")
        assert picture.faults == ()
        assert "Trees in view: 0" in picture.alt


def test_what_is_drawn_anew_is_cased(record: PropertyRecord) -> None:
    for chosen in ("g", "k", record.trees[0].id, next(place.id for place in record.places if place.outline_m)):
        assert len(marks(root_of(draw_ground(record, None, WIDE, "us", chosen=chosen).bare), "chosen")) == 1


@pytest.mark.property
def test_names_that_break_pictures_are_words_here() -> None:
    nasty = '<script>"x"</script> & \x00 🌳'
    record = casework_fixture().record
    place = Place("l", "p", nasty, "lawn", ((0.0, 0.0), (50.0, 0.0), (50.0, 40.0), (0.0, 40.0)))
    record = replace(record, places=(place,), trees=(Tree("t", "p", "l", nasty, 9.0, 9.0),),
                     lines=(replace(GAS, name=nasty),), keep_off=(replace(WELL, name=nasty, reason=nasty),))
    root = root_of(draw_ground(record, None, WIDE, "us").bare)
    assert not [each for each in root.iter() if each.tag.endswith("script")]


def test_holes_of_work_are_drawn_as_a_grid_at_their_true_spacing(record: PropertyRecord) -> None:
    tree = next(tree for tree in record.trees if tree.east_m is not None)
    dose = Dose(78.5, holes=40, hole_m=0.06, depth_m=0.45, spacing_m=1.0)
    job = Job(id="j", property_id="p", place_id="", tree_id=tree.id, tree_label=tree.label, plan="",
              remedy="core_holes", dose=dose, first=date(2016, 5, 1), last=date(2016, 5, 9), product="", litres=0.0,
              pace=Pace(minutes=10.0, source="", how_known=""))
    root = root_of(draw_ground(record, None, WIDE, "us", work=[job]).bare)
    holes = [(number(each, "cx"), number(each, "cy")) for each in marks(root, "hole")]
    assert len(holes) == 40
    scale = number(group(root, "ground"), "data-px-per-m")
    assert min(math.dist(holes[0], other) for other in holes[1:]) == pytest.approx(scale, rel=0.01)
    assert not marks(root_of(draw_ground(record, None, WIDE, "us").bare), "hole")
