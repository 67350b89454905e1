"""Plan, bars of all trees, shoots and remedies: every mark from its number."""

import math
from dataclasses import replace

import pytest

from rootcase.records.observe import Place
from rootcase.records.report import Casework
from rootcase.report.pictures import draw_plan, draw_remedies, draw_shares, draw_shoots
from tests.report.fixtures import casework_fixture
from tests.report.pictures.marks import ET, group, mark, marks, number, points, root_of, texts

CLOSE = pytest.approx


@pytest.fixture(scope="module")
def casework() -> Casework:
    return casework_fixture()


def plan_of(casework: Casework) -> ET.Element:
    return root_of(draw_plan(casework.record, casework.plan).bare)


def test_treated_ground_has_its_true_area(casework: Casework) -> None:
    root = plan_of(casework)
    scale = number(group(root, "trees"), "data-px-per-m")
    item = next(i for i in casework.plan.items if i.remedy == "mulch")
    radius = number(mark(group(group(root, "trees"), "treated mulch"), "dose"), "r")
    assert math.pi * (radius / scale) ** 2 == CLOSE(item.dose.area_m2, rel=0.001)
    bar = mark(root, "metres")
    assert number(bar, "width") / number(group(root, "scale"), "data-metres") == CLOSE(scale, abs=0.01)


def test_trees_stand_where_they_stand_and_are_as_wide_as_they_are(casework: Casework) -> None:
    root = plan_of(casework)
    scale = number(group(root, "trees"), "data-px-per-m")
    trunks = sorted((number(e, "cx"), number(e, "cy")) for e in marks(root, "trunk"))
    trees = sorted((t.east_m or 0.0, t.north_m or 0.0) for t in casework.record.trees)
    for (x, y), (east, north) in zip(trunks, trees, strict=True):
        assert x - trunks[0][0] == CLOSE(scale * (east - trees[0][0]), abs=0.03)
        assert trunks[0][1] - y == CLOSE(scale * (north - trees[0][1]), abs=0.03), "north is up"
    widest = max(number(e, "r") for e in marks(root, "crown"))
    assert widest == CLOSE(scale * 6.0, abs=0.02)


def test_the_plan_names_work_wishes_and_what_nobody_asked(casework: Casework) -> None:
    words = " ".join(texts(plan_of(casework)))
    for wanted in ("3 of 8 trees get work", "Wood-chip mulch", "Pitch: the lawn stays, holes closed the same day.",
                   "buried lines: not known", "We did not ask about the edge of the beds.",
                   "oak 2, maple 4, maple 5, oak 7, oak 8", "Yardstick trees"):
        assert wanted in words, wanted


def test_trees_and_ground_without_positions_are_named_not_guessed(casework: Casework) -> None:
    lost = replace(casework.record.trees[0], east_m=None, north_m=None)
    record = replace(casework.record, trees=(lost, *casework.record.trees[1:]))
    assert "Nobody measured where they stand: oak 1." in texts(root_of(draw_plan(record, casework.plan).bare))
    nowhere = replace(record, places=tuple(replace(p, outline_m=()) for p in record.places), outlines=(),
                      trees=tuple(replace(t, east_m=None, north_m=None) for t in record.trees))
    root = root_of(draw_plan(nowhere, casework.plan).bare)
    assert marks(root, "trunk") == []
    assert "not known: nobody measured where the trees stand" in texts(root)


def test_a_crown_nobody_measured_is_dotted(casework: Casework) -> None:
    dotted = [e for e in marks(plan_of(casework), "crown") if e.get("stroke-dasharray") == "1.6 4.4"]
    assert len(dotted) == 1, "oak 8"


def test_bars_of_all_trees_are_their_shares(casework: Casework) -> None:
    root = root_of(draw_shares(casework.record, casework.comparison).bare)
    scale = number(group(root, "row"), "data-px-per-percent")
    tall = [number(e, "height") for e in marks(root, "tree")]
    assert tall == CLOSE([100 * scale * t.share.mean for t in casework.comparison.trees if t.share], abs=0.02)
    assert len(marks(root, "unknown")) == 1
    assert "29 %" in texts(root)


def test_each_shoot_stands_at_its_length(casework: Casework) -> None:
    comparison = casework.comparison.trees[0]
    root = root_of(draw_shoots(casework.record, comparison.tree_id, comparison).bare)
    scale = number(group(root, "years"), "data-px-per-mm")
    for drawn, year in zip(marks(root, "year"), sorted(comparison.years, key=lambda y: y.year), strict=True):
        assert drawn.get("data-year") == str(year.year)
        lengths = [points(e)[0][1] - points(e)[1][1] for e in marks(drawn, "shoot")]
        assert lengths == CLOSE([scale * mm for mm in sorted(year.lengths_mm, reverse=True)], abs=0.02)
        assert len(marks(drawn, "not-read")) == year.not_read
        assert year.yardstick_shoots_mm
        band = mark(drawn, "nine-in-ten")
        assert number(band, "height") == CLOSE(scale * (year.yardstick_shoots_mm.high - year.yardstick_shoots_mm.low),
                                               abs=0.02)


def test_a_remedy_stands_on_what_the_tree_grows_now(casework: Casework) -> None:
    comparison, explanation, plan = casework.comparison.trees[0], casework.explanations[0], casework.plan.trees[0]
    root = root_of(draw_remedies(casework.record, plan.tree_id, comparison, explanation, plan).bare)
    scale = number(group(root, "remedies"), "data-px-per-point")
    rows = {e.get("data-remedy"): e for e in marks(root, "remedy") if e.get("data-remedy")}
    assert next(iter(rows)) == "nothing"
    assert comparison.share
    now = mark(rows["mulch"], "now")
    assert number(now, "width") == CLOSE(scale * 100 * comparison.share.mean, abs=0.02)
    bar = next(e for e in marks(rows["mulch"], "remedy") if e.tag.endswith("rect"))
    assert number(bar, "x") == CLOSE(number(now, "x") + number(now, "width"), abs=0.02)
    gain = next(o.gain_points for o in plan.remedies if o.remedy == "mulch")
    assert gain
    assert number(bar, "width") == CLOSE(scale * gain.mean, abs=0.02)
    assert len(marks(rows["keep_off"], "unknown")) == 1, "a gain that is not known keeps its place"
    assert "Wood-chip mulch: proposed" in texts(root)


@pytest.mark.parametrize(("name", "light"), [("hall", True), ("hall of the market by the old mill", False)])
def test_a_building_s_name_is_light_only_where_all_of_it_lies_on_the_dark(casework: Casework, name: str,
                                                                          light: bool) -> None:
    corners = ((0.0, 40.0), (9.0, 40.0), (9.0, 46.0), (0.0, 46.0))
    hall = Place("hall", casework.record.property.id, name, "building", corners)
    root = root_of(draw_plan(replace(casework.record, outlines=(hall,)), casework.plan).bare)
    (written,) = (e for e in marks(root, "place-name") if (e.text or "").startswith("hall"))
    assert (written.get("fill") == "#FFFFFF") == light
