"""Whether a typical year's rain is in the millimetres its heading says, or in tenths of them."""

from __future__ import annotations

from collections.abc import Sequence

from rootcase.fieldbook.intake.weather.station_file import RainUnit
from rootcase.ground.words import say

TENTHS, MM = 0.1, 1.0
_STEP_TENTHS = 2.54
"""A hundredth of an inch."""
_WET_HOURS, _ON_STEPS = 50, 0.9
"""JUDGEMENT: of whole numbers four in ten lie on such steps by chance, so nine in ten of fifty never do."""
_WETTEST_YEAR_MM = 12_000.0
"""No place on earth has more in a mean year (Mawsynram has some 11,870: memory)."""


def rain_factor(rain: Sequence[float], said: RainUnit) -> tuple[float | None, str]:
    """Millimetres in one of the file's units, and why; None where the figures do not tell.

    Rain was measured in hundredths of an inch: in tenths of a millimetre those are 3, 5, 8, 10, 13, in millimetres
    0.3, 0.5, 0.8. Whole numbers nearly all on those steps are therefore tenths.
    """
    total = sum(rain)
    if said:
        return (TENTHS if said == "tenths" else MM), say(f"weather.rain_{said}_said")
    if not total:
        return None, say("weather.rain_never")
    if any(value != int(value) for value in rain):
        return MM, say("weather.rain_mm")
    wet = [value for value in rain if value]
    on_steps = sum(round(round(value / _STEP_TENTHS) * _STEP_TENTHS) == value for value in wet)
    if len(wet) >= _WET_HOURS and on_steps >= _ON_STEPS * len(wet):
        return TENTHS, say("weather.rain_tenths_steps", year=f"{total:,.0f}")
    if total > _WETTEST_YEAR_MM:
        return TENTHS, say("weather.rain_tenths_year", year=f"{total:,.0f}")
    return None, say("weather.rain_not_told", year=f"{total:,.0f}", tenths=f"{total * TENTHS:,.0f}")
