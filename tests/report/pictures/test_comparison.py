"""The comparison and the phone's shoots: every mark from its number, no line added to another."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rootcase.records.compare import MeasureLine, TreeComparison
from rootcase.records.report import Casework
from rootcase.report.pictures import draw_comparison, draw_shoots
from tests.report.fixtures import casework_fixture, spread
from tests.report.pictures.marks import ET, group, mark, marks, number, points, root_of, texts

CLOSE = pytest.approx


@pytest.fixture(scope="module")
def casework() -> Casework:
    return casework_fixture()


@pytest.fixture(scope="module")
def line(casework: Casework) -> TreeComparison:
    measures = (MeasureLine("leaf_length", 0.11, 0.17, spread(0.66, 0.42, 0.98), None, "", ()),
                MeasureLine("crown_dieback", 0.25, 0.05, None, spread(0.20, 0.07, 0.33), "", ()),
                MeasureLine("crown_density", 0.58, 0.58, None, spread(0.0, -0.15, 0.15), "", ()),
                MeasureLine("live_crown_ratio", None, 0.65, None, None, "not_read_here", ()))
    return replace(casework.comparison.trees[0], share=spread(0.24, 0.17, 0.31), measures=measures)


def drawn(casework: Casework, line: TreeComparison, layout: str) -> ET.Element:
    return root_of(draw_comparison(casework.record, line.tree_id, line, layout).bare)  # type: ignore[arg-type]


@pytest.mark.parametrize("layout", ["wide", "phone"])
def test_every_span_stands_at_its_share_or_difference(casework: Casework, line: TreeComparison, layout: str) -> None:
    root = drawn(casework, line, layout)
    scales = marks(root, "scale")
    wanted = {0: [(24, 17, 31), (66, 42, 98)], 1: [(20, 7, 33), (0, -15, 15)]}
    for at, values in wanted.items():
        px = number(scales[at], "data-px-per-point")
        base = points(marks(scales[at], "yardstick")[0])[0][0] - px * (100 if at == 0 else 0)
        for measure, (mean, low, high) in zip(marks(scales[at], "measure"), values, strict=True):
            assert number(mark(measure, "best"), "cx") == CLOSE(base + px * mean, abs=0.05)
            ends = [x for x, _ in points(mark(measure, "nine-in-ten"))]
            assert ends == CLOSE([base + px * low, base + px * high], abs=0.05)


def test_shares_and_differences_have_scales_of_their_own(casework: Casework, line: TreeComparison) -> None:
    scales = marks(drawn(casework, line, "wide"), "scale")
    assert [len(marks(scale, "measure")) for scale in scales] == [2, 2]
    assert len({points(marks(scale, "yardstick")[0])[0][0] for scale in scales}) == 2


def test_what_may_not_be_compared_keeps_its_place_and_says_why(casework: Casework, line: TreeComparison) -> None:
    words = " ".join(texts(drawn(casework, line, "wide")))
    assert len(marks(drawn(casework, line, "wide"), "unknown")) == 1
    assert "Not read on this tree." in words
    assert "24 % (17 to 31)" in words
    assert "20 points more (7 to 33)" in words


def test_the_finding_counts_what_tells_the_tree_from_its_kind(casework: Casework, line: TreeComparison) -> None:
    assert "differs from its kind in 3 of 4 measures." in " ".join(texts(drawn(casework, line, "wide")))
    alike = replace(line, share=None, measures=line.measures[2:])
    assert "No measure tells oak 1 from its kind." in " ".join(texts(drawn(casework, alike, "wide")))
    nothing = replace(line, share=None, measures=line.measures[3:])
    assert "Nothing was read at" in " ".join(texts(drawn(casework, nothing, "wide")))


def test_on_a_phone_each_shoot_stands_at_its_length_in_a_row_of_its_year(casework: Casework) -> None:
    line = casework.comparison.trees[0]
    root = root_of(draw_shoots(casework.record, line.tree_id, line, "phone").bare)
    px = number(group(root, "years"), "data-px-per-mm")
    ground = points(mark(root, "ground-line"))[0][0]
    rows = marks(root, "year")
    assert [row.get("data-year") for row in rows] == ["2015", "2014", "2013", "2012"]
    for row, year in zip(rows, sorted(line.years, key=lambda each: -each.year), strict=True):
        found = sorted(points(shoot)[0][0] for shoot in marks(row, "shoot"))
        assert found == CLOSE(sorted(ground + px * length for length in year.lengths_mm), abs=0.05)
        assert year.yardstick_mm is not None
        assert points(mark(row, "yardstick-mean"))[0][0] == CLOSE(ground + px * year.yardstick_mm.mean, abs=0.05)
