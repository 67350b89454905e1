"""Every mark of the section follows its number, by the scale that the picture itself names."""

from dataclasses import replace

import pytest

from rootcase.records.compare import TreeComparison
from rootcase.records.estimate import Estimate
from rootcase.records.explain import Explanation, SoilColumn
from rootcase.records.observe import PropertyRecord, Reading
from rootcase.report.pictures import draw_section
from tests.report.fixtures import casework_fixture
from tests.report.pictures.marks import ET, group, mark, marks, number, points, root_of, texts

Given = tuple[PropertyRecord, TreeComparison, Explanation]
CLOSE = pytest.approx


@pytest.fixture(scope="module")
def given() -> Given:
    casework = casework_fixture()
    return casework.record, casework.comparison.trees[0], casework.explanations[0]


def drawn(given: Given) -> ET.Element:
    record, comparison, explanation = given
    return root_of(draw_section(record, comparison.tree_id, comparison, explanation).bare)


def with_soil(given: Given, **changes: object) -> Given:
    record, comparison, explanation = given
    return record, comparison, replace(explanation, soil=replace(explanation.soil, **changes))  # type: ignore[arg-type]


def with_measure(given: Given, kind: str, value: float) -> Given:
    record, comparison, explanation = given
    lines = tuple(replace(m, tree_value=value) if m.kind == kind else m for m in comparison.measures)
    return record, replace(comparison, measures=lines), explanation


def with_reading(given: Given, kind: str, value: float, of: str | None = None) -> Given:
    record, comparison, explanation = given
    subjects = (of or comparison.tree_id, *(pit.id for pit in record.pits_of(comparison.tree_id)))
    readings = tuple(replace(r, value=value) if r.kind == kind and r.of in subjects else r for r in record.readings)
    return replace(record, readings=readings), comparison, explanation


def px_per_cm(root: ET.Element) -> float:
    return number(group(root, "block here"), "data-px-per-cm")


def test_the_rod_goes_as_deep_as_it_went(given: Given) -> None:
    before, after = drawn(with_soil(given, known_to_m=0.42)), drawn(with_soil(given, known_to_m=0.67))
    for name in ("read", "rod"):
        moved = (number(mark(group(after, "block here"), name), "height")
                 - number(mark(group(before, "block here"), name), "height"))
        assert moved == CLOSE(25 * px_per_cm(before), abs=0.02)
    blank = [mark(group(root, "block here"), "unknown") for root in (before, after)]
    assert number(blank[1], "y") - number(blank[0], "y") == CLOSE(25 * px_per_cm(before), abs=0.02)


def test_the_rootable_depth_moves_its_line_and_its_bar(given: Given) -> None:
    def at(depth_m: float) -> ET.Element:
        return drawn(with_soil(given, rootable_depth_m=Estimate(depth_m, depth_m, 0.1, 0.5, 0.2, 0.4)))

    before, after = at(0.13), at(0.31)
    lines = [points(mark(group(root, "block here"), "rootable"))[0][1] for root in (before, after)]
    bars = [points(mark(group(root, "block here"), "rootable-bar"))[1][1] for root in (before, after)]
    assert lines[1] - lines[0] == CLOSE(18 * px_per_cm(before), abs=0.02)
    assert bars[1] - bars[0] == CLOSE(18 * px_per_cm(before), abs=0.02)
    assert "roots live to 12\xa0in (31\xa0cm)" in texts(after)


@pytest.mark.parametrize(("share", "ends"), [(0.0, 0), (0.07, 7), (0.20, 20), (1.0, 100)])
def test_a_dead_end_is_drawn_for_each_hundredth_of_dieback(given: Given, share: float, ends: int) -> None:
    here = group(drawn(with_measure(given, "crown_dieback", share)), "above here")
    assert len(marks(here, "dead-end")) == ends
    assert len(marks(here, "end")) == 100 - ends


def test_a_taller_tree_is_taller_by_the_scale(given: Given) -> None:
    before, after = (drawn(with_measure(given, "tree_height", metres)) for metres in (9.0, 14.0))
    px_per_m = number(group(before, "above here"), "data-px-per-m")
    assert number(group(after, "above here"), "data-px-per-m") == px_per_m, "the yardstick sets the scale"
    tall = [points(mark(group(root, "above here"), "height")) for root in (before, after)]
    assert tall[0][0][1] - tall[1][0][1] == CLOSE(5 * px_per_m, abs=0.02)
    bar = mark(before, "metres")
    assert number(bar, "width") / number(group(before, "scale"), "data-metres") == CLOSE(px_per_m, abs=0.01)
    bar = mark(before, "feet")
    assert number(bar, "width") / number(group(before, "scale"), "data-feet") == CLOSE(px_per_m * 0.3048, abs=0.01)


def test_the_crown_is_as_wide_as_it_was_read(given: Given) -> None:
    def width(metres: float) -> float:
        record, comparison, explanation = with_measure(given, "crown_spread", metres)
        here = group(drawn((record, comparison, explanation)), "above here")
        xs = [float(e.attrib["d"][1:].split(" ")[0]) for e in marks(here, "end")]
        return max(xs) - min(xs)

    assert width(9.0) / width(6.0) == CLOSE(1.5, rel=0.08)


def test_litter_and_mulch_lie_on_the_block_at_its_scale(given: Given) -> None:
    before, after = (drawn(with_reading(given, "litter_depth", millimetres)) for millimetres in (20.0, 70.0))
    tall = [number(mark(group(root, "block here"), "loose litter"), "height") for root in (before, after)]
    assert tall[1] - tall[0] == CLOSE(5 * px_per_cm(before), abs=0.02)


def test_cover_takes_its_share_of_the_ground_line(given: Given) -> None:
    def turf(share: float) -> float:
        root = drawn(with_soil(given, cover=(("turf", share), ("mulch", 1 - share))))
        return sum(number(e, "data-length") for e in marks(group(root, "above here"), "cover turf"))

    assert turf(0.8) / turf(0.4) == CLOSE(2.0, abs=0.001)


def hardened(soil: SoilColumn, mpa: float) -> dict[str, object]:
    return {"hardness_mpa": tuple(Estimate(mpa, mpa, mpa, mpa, mpa, mpa) for _ in soil.hardness_mpa)}


def test_resistance_moves_the_curve_and_thickens_the_bars(given: Given) -> None:
    soil = given[2].soil
    before, after = (drawn(with_soil(given, **hardened(soil, mpa))) for mpa in (2.4, 3.1))
    step = number(group(before, "hardness here"), "data-px-per-mpa")
    curves = [points(mark(group(root, "hardness here"), "curve"))[0][0] for root in (before, after)]
    assert abs(curves[1] - curves[0]) == CLOSE(0.7 * step, abs=0.02)
    bars = [number(marks(group(root, "block here"), "press")[0], "stroke-width") for root in (before, after)]
    assert bars[1] - bars[0] == CLOSE(0.7 * 2.6, abs=0.02)
    soft = drawn(with_soil(given, **hardened(soil, 1.9)))
    assert marks(group(soft, "block here"), "press") == []


def test_shoots_are_laid_end_to_end_at_their_lengths(given: Given) -> None:
    record, comparison, explanation = given
    root = drawn(given)
    twig = group(root, "twig here")
    scale = number(twig, "data-px-per-mm")
    lengths = [points(e)[0][1] - points(e)[1][1] for e in marks(twig, "year")]
    read = [y.tree_mm.mean for y in sorted(comparison.years, key=lambda y: y.year) if y.tree_mm]
    assert lengths == CLOSE([mm * scale for mm in read], abs=0.02)
    longer = tuple(replace(y, tree_mm=replace(y.tree_mm, mean=2 * y.tree_mm.mean)) if y.tree_mm else y
                   for y in comparison.years)
    doubled = group(drawn((record, replace(comparison, years=longer), explanation)), "twig here")
    assert number(doubled, "data-px-per-mm") == scale, "the yardstick sets the scale"
    taller = [points(e)[0][1] - points(e)[1][1] for e in marks(doubled, "year")]
    assert taller == CLOSE([2 * v for v in lengths], abs=0.04)


def test_water_bars_are_the_water_of_their_layer(given: Given) -> None:
    layers = given[2].soil.layers
    root = drawn(with_soil(given, known_to_m=1.0))
    step = number(group(root, "water here"), "data-px-per-mm-dm")
    there = [number(e, "width") for e in marks(group(root, "water here"), "there")]
    per_dm = [layer.available_water_mm / (10 * (layer.bottom_m - layer.top_m)) for layer in layers]
    assert there == CLOSE([step * v for v in per_dm], abs=0.02)
    reach = [number(e, "width") for e in marks(group(root, "water here"), "in-reach")]
    wanted = [step * v * layer.water_in_reach_mm / layer.available_water_mm
              for v, layer in zip(per_dm, layers, strict=True) if layer.water_in_reach_mm]
    assert reach == CLOSE(wanted, abs=0.02)


def test_a_buried_flare_goes_into_the_ground_like_a_post(given: Given) -> None:
    root = drawn(given)
    assert len(marks(group(root, "above here"), "post")) == 1
    assert len(marks(group(root, "above there"), "flare")) == 1


def test_what_was_not_read_stays_blank_and_says_so() -> None:
    casework = casework_fixture()
    nothing = (casework.record, casework.comparison.trees[7], casework.explanations[7])
    root = drawn(nothing)
    here = group(root, "block here")
    for name in ("layer", "root", "press", "rod", "rootable", "read"):
        assert marks(here, name) == [], name
    assert len(marks(group(root, "above here"), "unknown-crown")) == 1
    assert marks(group(root, "hardness here"), "curve") == []
    assert "How deep roots can live here is not known; in the wood it is 31\xa0in." in texts(root)
    assert texts(root).count("not known") >= 4


def test_a_crown_that_is_only_partly_read_names_what_it_assumes(given: Given) -> None:
    record, comparison, explanation = given
    unread = ("live_crown_ratio", "dbh")
    fewer = tuple(r for r in record.readings if not (r.of == comparison.tree_id and r.kind in unread))
    words = " ".join(texts(drawn((replace(record, readings=fewer), comparison, explanation))))
    assert "This tree: not known and drawn as usual: crown base, trunk." in words


def test_what_is_doubted_or_only_a_limit_is_in_no_figure(given: Given) -> None:
    record, comparison, explanation = given
    comparison = replace(comparison, measures=tuple(m for m in comparison.measures if m.kind != "tree_height"))
    height = next(r for r in record.readings if (r.of, r.kind) == (comparison.tree_id, "tree_height"))
    rest = tuple(r for r in record.readings if r.id != height.id)

    def words(*heights: Reading) -> str:
        return " ".join(texts(drawn((replace(record, readings=(*rest, *heights)), comparison, explanation))))

    limit = replace(height, id="x1", value=15.24, sign=">")
    doubted = replace(height, id="x2", value=91.4, doubts=("tall",))
    left_out = "This tree: doubted or only a limit, and so not drawn: height."
    assert left_out in words(limit, doubted)
    assert words(limit, doubted, height) == words(height)
    assert "so not drawn" not in words(height)


def test_the_finding_is_reckoned_and_in_the_readers_unit(given: Given) -> None:
    assert "Roots have 5\xa0in to live in. In the wood they have 31\xa0in." in texts(drawn(given))
    record, comparison, explanation = given
    metric = replace(record, property=replace(record.property, system="metric"))
    words = texts(drawn((metric, comparison, explanation)))
    assert "Roots have 13\xa0cm to live in. In the wood they have 78\xa0cm." in words
    soil = replace(explanation.soil, rootable_depth_m=replace(explanation.soil.rootable_depth_m, mean=0.75))
    deep = " ".join(texts(drawn((record, comparison, replace(explanation, soil=soil)))))
    assert "Roots can live to 30\xa0in here; in the wood to 31\xa0in." in deep
