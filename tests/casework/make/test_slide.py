"""Counts to numbers: by hand on the side, by the functions of science underneath, and what is refused."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from math import inf, isinf, pi

import numpy as np
import pytest

from rootcase.casework.make.slide import counted
from rootcase.casework.make.slides_beside import observer_error, slides_beside
from rootcase.ground.errors import Missing
from rootcase.records.make.batch import Figure
from rootcase.records.make.slide import Method, PhotoLength, Slide, SlideRow, Source
from rootcase.science.microscope.poisson import poisson_limits

DAY = date(2016, 5, 3)
EVEN = (9, 7, 12, 8, 6, 10)
CLUMPS = (0, 1, 0, 14, 2, 0, 0, 23, 1, 3)
CHAMBER = {"square_mm2": 0.0025, "depth_mm": 0.02, "dilution": 100.0}
WET = {"field_number_mm": 18.0, "objective": 40.0, "spread_mm2": 324.0, "drop_ul": 20.0, "dilution": 10.0}
SOIL = {"suspension_ml": 50.0, "mass_g": 5.0}


def slide(method: Method, *rows: SlideRow, source: Source = "batch", constant: str = "", **figures: float) -> Slide:
    return Slide(id="s", method=method, source=source, source_id="b", counted="bacteria", day=DAY, by="rs", rows=rows,
                 figures=tuple(Figure(name, value) for name, value in figures.items()), constant=constant)


def fields(*counts: int, label: str = "", **figures: float) -> SlideRow:
    return SlideRow(label=label, counts=counts, figures=tuple(Figure(*each) for each in figures.items()))


def test_a_chamber_gives_numbers_per_millilitre_with_exact_ends() -> None:
    found = counted(slide("chamber", fields(*EVEN), **CHAMBER))
    per_ml = found.numbers[0]
    low, high = poisson_limits(sum(EVEN), 0.95)
    volume_ml = 0.0025 * 0.02 / 1000
    assert (found.scatter, found.fields, found.counted, per_ml.unit) == ("exact", 6, 52, "1/mL")
    assert per_ml.value == pytest.approx(52 / 6 / volume_ml * 100)
    assert (per_ml.low, per_ml.high) == pytest.approx((float(low) / 6 / volume_ml * 100,
                                                       float(high) / 6 / volume_ml * 100))


def test_clumps_widen_the_interval_and_ask_for_more_fields() -> None:
    found = counted(slide("chamber", fields(*CLUMPS), **CHAMBER))
    low, high = (float(end) / len(CLUMPS) for end in poisson_limits(sum(CLUMPS), 0.95))
    assert found.scatter == "clumped"
    assert found.per_field is not None
    assert found.per_field.low < low
    assert found.per_field.high > high
    assert (found.still_needed or 0) > (counted(slide("chamber", fields(*EVEN), **CHAMBER)).still_needed or 0)


def test_an_end_that_nothing_bounds_stays_infinite() -> None:
    found = counted(slide("chamber", fields(0, 40), **CHAMBER, **SOIL))
    assert [isinf(each.high) for each in found.numbers] == [True, True]
    assert found.numbers[0].value < inf


def test_none_seen_is_told_with_its_upper_end() -> None:
    found = counted(slide("chamber", fields(0, 0, 0), **CHAMBER))
    assert found.scatter == "none seen"
    assert found.numbers[0].low == 0.0
    assert found.numbers[0].high == pytest.approx(-np.log(0.05) / 3 / (0.0025 * 0.02 / 1000) * 100)


def test_a_wet_mount_gives_numbers_per_dry_gram_and_mass_by_the_constant() -> None:
    found = counted(slide("fields", fields(*EVEN), constant="fry_1990", cell_um3=0.2, **WET, **SOIL))
    in_field_ml = 20 / 1000 * pi / 4 * (18 / 40) ** 2 / 324
    per_g = found.numbers[1]
    assert per_g.value == pytest.approx(52 / 6 / in_field_ml * 10 * 50 / 5)
    carbon = next(each for each in found.weighed if each.mass.unit == "ug/g")
    assert (carbon.constant, carbon.of) == ("fry_1990", "carbon")
    assert carbon.mass.high == pytest.approx(per_g.high * 0.2 * 0.31e-6)


def test_a_smear_is_weighed_by_the_areas_of_its_rings() -> None:
    rings = (fields(9, 12, 7, inner_mm=0.0, outer_mm=3.0), fields(4, 3, 5, inner_mm=3.0, outer_mm=6.0))
    found = counted(slide("smear", *rings, field_number_mm=18.0, objective=100.0, drop_ul=10.0))
    assert found.scatter == "rings"
    assert found.per_field is not None
    assert found.per_field.value == pytest.approx((28 / 3 * 9 + 4 * 27) / 36)
    assert found.plain_mean == pytest.approx(40 / 6)
    assert found.per_field.low < found.per_field.value < found.per_field.high
    with pytest.raises(Missing, match="one field"):
        counted(slide("smear", rings[0], fields(4, inner_mm=3.0, outer_mm=6.0), field_number_mm=18.0, objective=100.0,
                      drop_ul=10.0))


def test_crossings_become_metres() -> None:
    figures = {"square_mm2": 0.04, "mesh_mm": 0.02, "spread_mm2": 324.0, "drop_ul": 20.0}
    found = counted(slide("crossings", fields(5, 8, 6, 7), **figures, **SOIL))
    in_field_ml = 20 / 1000 * 0.04 / 324
    assert found.numbers[0].unit == "m/mL"
    assert found.numbers[0].value == pytest.approx(pi / 4 * 6.5 * 0.02 / 1000 / in_field_ml)
    assert found.numbers[1].value == pytest.approx(10 * found.numbers[0].value)
    on_filter = counted(slide("crossings", fields(5, 8, 6, 7), square_mm2=0.04, mesh_mm=0.02, filter_mm2=201.0,
                              filtered_g=0.0005, constant="bakken_olsen_1983", diameter_um=2.5))
    assert [each.unit for each in on_filter.numbers] == ["m/g"]
    assert on_filter.numbers[0].value == pytest.approx(pi / 4 * 6.5 * 0.02 / 1000 * 201 / 0.04 / 0.0005)
    assert on_filter.weighed[0].mass.value == pytest.approx(on_filter.numbers[0].value * pi / 4 * 6.25 * 0.13)


def photo(length_mm: float, mended_mm: float | None = None) -> PhotoLength:
    return PhotoLength(id=f"p{length_mm}", photo="0" * 64, um_per_px=0.5, area_mm2=0.12, length_mm=length_mm,
                       low_mm=0.9 * length_mm, high_mm=1.1 * length_mm, mended_mm=mended_mm, by="rs", day=DAY)


def test_photos_give_metres_by_their_own_scatter_and_mended_lengths_stand() -> None:
    bare = slide("photos", spread_mm2=324.0, drop_ul=20.0)
    with pytest.raises(Missing, match="no photo"):
        counted(bare)
    in_photo_ml = 20 / 1000 * 0.12 / 324
    one = counted(replace(bare, photos=(photo(1.2),)))
    assert (one.scatter, one.mended) == ("photo", False)
    assert one.numbers[0].low == pytest.approx(0.9 * 1.2 / 1000 / in_photo_ml)
    alone = counted(replace(bare, photos=(photo(1.2, mended_mm=1.0),))).numbers[0]
    assert (alone.low, alone.high, alone.value) == (0.0, inf, pytest.approx(1.0 / 1000 / in_photo_ml))
    more = counted(replace(bare, photos=(photo(1.2), photo(0.8, mended_mm=1.0))))
    assert (more.scatter, more.mended, more.fields) == ("fields", True, 2)
    assert more.numbers[0].value == pytest.approx(1.1 / 1000 / in_photo_ml)


def test_no_interval_is_narrower_than_what_was_counted_or_measured_allows() -> None:
    alike = (fields(4, 4, inner_mm=0.0, outer_mm=3.0), fields(4, 4, inner_mm=3.0, outer_mm=6.0))
    found = counted(slide("smear", *alike, field_number_mm=18.0, objective=100.0, drop_ul=10.0)).per_field
    low, high = (float(end) / 4 for end in poisson_limits(16, 0.95))
    assert found is not None
    assert (found.low < low, found.high > high) == (True, True)
    bare = slide("photos", spread_mm2=324.0, drop_ul=20.0)
    for pair in ((photo(1.2), photo(1.2)), (photo(1.3, mended_mm=1.2), photo(1.2))):
        of_two = counted(replace(bare, photos=pair)).per_field
        assert of_two is not None
        assert of_two.low <= 1.08 + 1e-12
        assert of_two.high >= 1.32 - 1e-12


def test_tubes_are_told_as_bounds_where_none_or_all_are_positive() -> None:
    def tubes(*positive: int) -> Slide:
        return slide("tubes", *(fields(each, inoculum_ml=10.0**-place, tubes=3.0) for place, each in
                                enumerate(positive, 1)))
    seen = counted(tubes(2, 1, 0))
    assert seen.numbers[0].value == pytest.approx(14.7, rel=0.01)
    assert (seen.bound, seen.scatter) == ("", "tubes")
    assert counted(tubes(0, 0, 0)).bound == "fewer"
    assert counted(tubes(0, 0, 0)).numbers[0].value == pytest.approx(3.0, rel=0.02)
    assert counted(tubes(3, 3, 3)).bound == "more"
    assert isinf(counted(tubes(3, 3, 3)).numbers[0].high)


def test_nematodes_are_told_by_feeding_group_and_per_hundred_grams() -> None:
    rows = (fields(20, 18, label="bacterivore"), fields(3, 5, label="fungivore"), fields(0, 0, label="unnamed"))
    found = counted(slide("sieve", *rows, aliquot_ml=2.0, extract_ml=20.0, mass_g=39.0, source="soil"))
    assert found.numbers[0].unit == "1/100g"
    assert found.numbers[0].value == pytest.approx(23 * 10 * 100 / 39)
    assert [each.group for each in found.groups if each.counted] == ["bacterivore", "fungivore"]
    assert found.groups[0].share == pytest.approx(38 / 46)


def test_feeding_groups_counted_in_unlike_numbers_of_fields_are_asked_for() -> None:
    rows = (fields(20, 18, label="bacterivore"), fields(3, label="fungivore"))
    with pytest.raises(Missing, match="feeding groups were not counted in the same number of fields"):
        counted(slide("sieve", *rows, aliquot_ml=2.0, extract_ml=20.0, mass_g=39.0, source="soil"))


@pytest.mark.parametrize("method", ["chamber", "fields", "smear", "crossings", "tubes", "sieve"])
def test_what_a_method_does_not_show_is_never_left_out_and_no_geometry_is_guessed(method: Method) -> None:
    with pytest.raises(Missing, match="was not told"):
        counted(slide(method, fields(*EVEN)))


def test_a_slide_lies_only_beside_its_like() -> None:
    own = slide("fields", constant="fry_1990")
    like = replace(own, id="y", source="yardstick", counted="Bacteria", day=DAY - timedelta(days=7))
    assert slides_beside(own, [own, like])[0].why_not == ()
    for other, reason in ((replace(like, method="chamber"), "method"), (replace(like, by="jk"), "operator"),
                          (replace(like, constant="bratbak_1985"), "constant"),
                          (replace(like, counted="cells"), "counted"),
                          (replace(like, day=DAY + timedelta(days=8)), "week")):
        assert slides_beside(own, [other])[0].why_not == (reason,)
    assert slides_beside(own, [replace(like, repeat_of="x"), replace(like, source="soil")]) == ()


def test_blind_repeats_tell_an_observers_error() -> None:
    first = replace(slide("fields", fields(14, 22, 9, 30, 17)), id="a")
    again = replace(slide("fields", fields(16, 19, 11, 27, 18)), id="b", repeat_of="a")
    found = observer_error([first, again], "rs", "fields")
    assert found is not None
    assert (found.pairs, round(found.sd, 3), round(found.cv_pct, 2)) == (5, 1.643, 8.98)
    assert observer_error([first, replace(again, by="jk")], "rs", "fields") is None
    assert observer_error([first, again], "jk", "fields") is None
