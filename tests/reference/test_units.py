"""Every conversion beside pint 0.25.3."""

from __future__ import annotations

import pytest

from rootcase.ground.units import NAMES, convert
from tests.reference.programs import NOT_PINTS, read

ROWS = read("pint_conversions.csv")


@pytest.mark.parametrize("row", ROWS, ids=lambda row: "{value} {from_unit} in {to_unit}".format(**row))
def test_our_conversion_is_pints(row: dict[str, str]) -> None:
    ours = convert(float(row["value"]), row["from_unit"], row["to_unit"])
    assert ours == pytest.approx(float(row["answer"]), rel=1e-12, abs=1e-12)


def test_no_unit_is_left_uncompared() -> None:
    compared = {row[column] for row in ROWS for column in ("from_unit", "to_unit")}
    assert compared | NOT_PINTS == {*NAMES}
