"""The two units that an amount is told in."""

from __future__ import annotations

from rootcase.ground.quantity import both_units
from rootcase.ground.units import is_unit

_ALSO = {"degC_day": ("degF_day", "degC_day"), "mm/day": ("in/day", "mm/day"), "kg/m3": ("lb/yd3", "kg/m3"),
         "mL": ("fl_oz", "mL"), "mm/m": ("in/ft", "mm/m")}


def both(unit: str) -> tuple[str, str]:
    """The US and the metric unit; twice the same where the two are one, or where it is a bare number.

    >>> both("mm/day"), both("m"), both("1"), both("")
    (('in/day', 'mm/day'), ('ft', 'm'), ('1', '1'), ('', ''))
    """
    return _ALSO.get(unit) or (both_units(unit) if unit not in ("", "1") and is_unit(unit) else (unit, unit))
