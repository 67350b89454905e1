"""Truths about geometry, biomass, crossings and nematodes."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from rootcase.ground.errors import ImpossibleValue, Missing, OutOfRange
from rootcase.science.microscope.biomass import (
    hypha_volume_mm3,
    mass_by_constant_ug,
    mass_ug,
    rod_volume_um3,
)
from rootcase.science.microscope.crossings import line_length_mm, newman_length_mm, tennant_length_mm
from rootcase.science.microscope.geometry import (
    circle_area_mm2,
    corrected_for_recovery,
    counted_volume_ml,
    number_per_gram,
    number_per_ml,
)
from rootcase.science.microscope.methods import methods
from rootcase.science.microscope.nematodes import (
    GROUPS,
    community_indices,
    families_named,
    feeding_group_shares,
    nematodes_per_100_g,
)
from rootcase.tables.load import table
from tests.science.microscope.scenes import mean_length_ratio

pytestmark = pytest.mark.property


@given(st.floats(0, 1000), st.floats(1, 1e4), st.floats(0.01, 100))
def test_twice_the_dilution_is_twice_the_number_and_twice_the_volume_half(
        mean: float, dilution: float, area_mm2: float) -> None:
    one = number_per_ml(mean, counted_volume_ml(area_mm2, 0.1), dilution)
    assert number_per_ml(mean, counted_volume_ml(area_mm2, 0.1), 2 * dilution) == pytest.approx(2 * one)
    assert number_per_ml(mean, counted_volume_ml(2 * area_mm2, 0.1), dilution) == pytest.approx(one / 2)


def test_what_was_put_in_is_found_again() -> None:
    per_g, dry_g, suspension_ml, recovery = 3e8, 0.8, 10.0, 0.7
    seen = per_g * dry_g / suspension_ml * recovery
    assert corrected_for_recovery(number_per_gram(seen, suspension_ml, dry_g), recovery) == pytest.approx(per_g)


@given(st.floats(0.2, 3.0), st.floats(1.0, 8.0))
def test_a_rod_is_as_large_as_its_slices(width: float, slender: float) -> None:
    length, radius = width * slender, width / 2

    def disc(x: float) -> float:
        into = max(radius - min(x, length - x), 0.0)
        return np.pi * (radius**2 - into**2)

    whole = quad(disc, 0, length, points=sorted({radius, length - radius}))[0]
    assert rod_volume_um3(width, length) == pytest.approx(whole, rel=1e-6)


def test_a_rod_shorter_than_wide_is_refused() -> None:
    with pytest.raises(OutOfRange, match="length_um over width_um"):
        rod_volume_um3(1.0, 0.8)


def test_every_constant_is_told_by_name_and_none_is_averaged() -> None:
    found = mass_by_constant_ug(hypha_volume_mm3(1000, 2.5), "hyphae", "carbon")
    assert list(found) == ["wet_1.1_dry_20_pct", "wet_1.1_dry_25_pct", "van_veen_paul_1979", "bakken_olsen_1983"]
    assert float(found["van_veen_paul_1979"] / found["wet_1.1_dry_20_pct"]) == pytest.approx(1.5)
    with pytest.raises(Missing, match="says nothing of carbon"):
        mass_ug(1.0, "hyphae", "harley_1971", "carbon")
    with pytest.raises(Missing, match="no rows"):
        mass_ug(1.0, "bacteria", "harley_1971", "dry")


@pytest.mark.parametrize("row", table("microscope/biomass_constants").rows,
                         ids=lambda row: f"{row['organism']}-{row['constant']}")
def test_a_constant_lies_in_its_own_range_and_carbon_under_the_dry_mass(row: dict[str, float]) -> None:
    dry, low, high = (row[f"dry{which}_g_cm3"] for which in ("", "_low", "_high"))
    assert low is None or low < dry < high
    assert None in (dry, row["carbon_g_cm3"]) or 0.3 < row["carbon_g_cm3"] / dry < 0.6


@given(st.integers(0, 5000), st.floats(0.1, 20), st.floats(100, 4e4))
def test_the_two_formulas_agree_on_a_square_grid(crossings: int, spacing_mm: float, area_mm2: float) -> None:
    newman = newman_length_mm(crossings, area_mm2, line_length_mm(area_mm2, spacing_mm))
    assert tennant_length_mm(crossings, spacing_mm) == pytest.approx(float(newman), rel=5e-4)


@pytest.mark.parametrize(("grid_mm", "lengths_mm"), [(2.0, (0.5, 3.0)), (10.0, (30.0, 200.0))])
def test_pieces_short_and_long_are_found_in_the_mean(grid_mm: float, lengths_mm: tuple[float, float]) -> None:
    assert mean_length_ratio(grid_mm, 80, 400, lengths_mm) == pytest.approx(1.0, abs=0.015)


def test_a_field_is_no_larger_than_its_square() -> None:
    assert 0.78 < float(circle_area_mm2(0.3)) / 0.3**2 < 0.79


def test_nematodes_go_with_the_aliquot_and_the_loss() -> None:
    one = nematodes_per_100_g(46, 2, 20, 39, 1)
    assert nematodes_per_100_g(46, 4, 20, 39, 0.5) == pytest.approx(one)
    with pytest.raises(OutOfRange, match="aliquot_ml over extract_ml"):
        nematodes_per_100_g(46, 21, 20, 39, 1)


@given(st.dictionaries(st.sampled_from(GROUPS), st.integers(0, 200), min_size=1).filter(lambda n: any(n.values())))
def test_the_groups_are_all_of_the_nematodes(numbers: dict[str, int]) -> None:
    found = feeding_group_shares(numbers, 0.95)  # type: ignore[arg-type]
    assert tuple(found) == GROUPS
    assert sum(each.share for each in found.values()) == pytest.approx(1.0)
    assert all(each.low <= each.share <= each.high for each in found.values())


@given(st.lists(st.tuples(st.sampled_from(GROUPS), st.integers(1, 5), st.integers(1, 99)), min_size=1, max_size=12),
       st.integers(2, 9))
def test_indices_stay_in_their_bounds_and_do_not_go_with_how_many(
        taxa: list[tuple[str, int, int]], times: int) -> None:
    groups, cp, numbers = (list(column) for column in zip(*taxa, strict=True))
    one = community_indices(groups, cp, numbers)  # type: ignore[arg-type]
    more = community_indices(groups, cp, [times * number for number in numbers])  # type: ignore[arg-type]
    for name in one.__slots__:
        value = getattr(one, name)
        assert value == pytest.approx(getattr(more, name)) if value is not None else getattr(more, name) is None
        assert value is None or (0.0 <= value <= 100.0 if name.endswith("_pct") else 1.0 <= value <= 5.0)
    assert (one.maturity is None) == (set(groups) == {"herbivore"})


def test_only_named_families_and_known_groups_are_taken() -> None:
    with pytest.raises(Missing, match="Belondiridae"):
        families_named(["Belondiridae"])
    with pytest.raises(ImpossibleValue, match="no such feeding group"):
        community_indices(["worm"], [1], [1])  # type: ignore[list-item]
    with pytest.raises(ImpossibleValue, match="taxa do not match"):
        community_indices(["predator"], [1, 2], [1])
    with pytest.raises(Missing, match="no nematode"):
        feeding_group_shares({"predator": 0}, 0.95)


def test_every_method_says_what_it_does_not_show() -> None:
    assert all(method.counted and method.not_shown and method.source for method in methods())
    assert [row["order"] for row in table("microscope/methods").rows] == [1, 2, 3, 4, 5, 6, 7]
