"""The one trunk that stands for several stems."""

from __future__ import annotations

from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import OutOfRange
from rootcase.science.tree.trunk import one_trunk_mm
from rootcase.science.zones.protection import combined_stem_m

STEMS = st.lists(st.floats(5.0, 3000.0), min_size=1, max_size=8)


@given(STEMS)
def test_its_basal_area_is_that_of_all_stems(stems: list[float]) -> None:
    assert float(one_trunk_mm(stems)) == pytest.approx(hypot(*stems), rel=1e-12)


@given(st.lists(st.floats(5.0, 3000.0), min_size=2, max_size=5))
def test_of_two_to_five_stems_it_is_what_the_zone_around_a_trunk_counts(stems: list[float]) -> None:
    assert float(one_trunk_mm(stems)) == pytest.approx(1000 * float(combined_stem_m([each / 1000 for each in stems])))


@pytest.mark.parametrize("stems", [[-1.0], [10_001.0], [300.0, float("nan")]])
def test_what_is_no_trunk_is_refused(stems: list[float]) -> None:
    with pytest.raises(OutOfRange, match="stem_diameters_mm"):
        one_trunk_mm(stems)
