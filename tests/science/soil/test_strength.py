"""Truths about strength and moisture."""

from __future__ import annotations

import pytest

from rootcase.ground.errors import OutOfRange
from rootcase.science.soil.strength import strength_at_field_capacity_mpa, strength_limits

pytestmark = pytest.mark.property


def test_a_reading_at_field_capacity_stays() -> None:
    assert strength_at_field_capacity_mpa(2.3, 0.28, 0.28, 2.5) == 2.3


def test_a_dry_reading_comes_down_and_a_wet_one_up() -> None:
    dry, wet = strength_at_field_capacity_mpa(2.0, [0.20, 0.35], 0.28, 2.5)
    assert dry < 2.0 < wet


def test_there_and_back_again() -> None:
    there = strength_at_field_capacity_mpa(3.1, 0.18, 0.30, 2.5)
    assert strength_at_field_capacity_mpa(there, 0.30, 0.18, 2.5) == pytest.approx(3.1)


def test_the_ratio_is_that_of_the_source_s_form() -> None:
    """0.03 theta^-2 rho^6 at 1.4 Mg/m3 is 3.6142 MPa at 0.25 and 2 MPa at 0.3361 (computed; invented coefficients)."""
    assert strength_at_field_capacity_mpa(3.6142, 0.25, 0.3361, 2.0) == pytest.approx(2.0, abs=0.001)


def test_the_limits_stand_in_order() -> None:
    limits = strength_limits()
    assert limits.works_well_from < limits.hinders_above < limits.stops_above


def test_psi_given_for_megapascal_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"strength_mpa is outside its range .got 300 MPa"):
        strength_at_field_capacity_mpa(300.0, 0.2, 0.3, 2.5)
