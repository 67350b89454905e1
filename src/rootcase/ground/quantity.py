"""How numbers and quantities are written: sensible figures, both systems, a true minus sign."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Literal

from rootcase.ground.units import convert, in_us_units, unit_label, unit_name
from rootcase.ground.words import say

System = Literal["us", "metric"]

_MINUS = "\N{MINUS SIGN}"
_PAIRS = {
    "m": ("ft", "m"), "mm": ("in", "mm"), "cm": ("in", "cm"), "m2": ("ft2", "m2"), "m3": ("yd3", "m3"),
    "L": ("gal", "L"), "kg": ("lb", "kg"), "g": ("oz", "g"), "MPa": ("psi", "MPa"), "kPa": ("psi", "kPa"),
    "degC": ("degF", "degC"), "degC_diff": ("degF_diff", "degC_diff"), "m/s": ("mph", "km/h"), "mm/h": ("in/h", "mm/h"),
    "mm/week": ("in/week", "mm/week"), "L/m2": ("gal/1000ft2", "L/m2"), "kg/m2": ("lb/1000ft2", "kg/m2"),
    "L/min": ("gal/min", "L/min"), "1": ("%", "%"),
}


def number(value: float | None, figures: int | None = None) -> str:
    """Write a number with two significant figures, three from 100 up, or as many as asked; trailing zeros fall away.

    >>> number(12.7), number(1249.2), number(-5.04), number(0.0834), number(45.72, 3), number(None)
    ('13', '1,250', '−5', '0.083', '45.7', 'not known')
    """
    if value is None or not math.isfinite(value):
        return _no_figure(value)
    return _written(value, _decimals(value, figures))


def interval(low: float, high: float, figures: int | None = None) -> str:
    """Write an interval in words, both ends to the same decimals; one number when they read alike.

    >>> interval(22.3, 38.1), interval(-3.2, 12.4), interval(5.01, 5.02), interval(2.0, math.inf)
    ('22 to 38', '−3 to 12', '5', '2 to no end')
    """
    if not (math.isfinite(low) and math.isfinite(high)):
        return say("quantity.interval", low=number(low, figures), high=number(high, figures))
    decimals = _decimals(max(abs(low), abs(high)), figures)
    first, second = _written(low, decimals), _written(high, decimals)
    return first if first == second else say("quantity.interval", low=first, high=second)


def show(value: float | None, unit: str, system: System, pair: tuple[str, str] | None = None,
         figures: int | None = None) -> str:
    """Write a quantity in the reader's system with the other one behind it.

    `unit` is the unit of the value; `pair` the US and the metric unit to write, where the usual two will not do.

    >>> show(0.127, "m", "metric", ("in", "cm")), show(0.127, "m", "us", ("in", "cm")), show(0.14, "1", "us")
    ('13 cm (5 in)', '5 in (13 cm)', '14 %')
    """
    if value is None or not math.isfinite(value):
        return _no_figure(value)
    if unit == "year":
        return f"{value:.0f}"
    return _both(lambda to: with_unit(number(convert(value, unit, to), figures), to), unit, system, pair)


def show_interval(low: float, high: float, unit: str, system: System, pair: tuple[str, str] | None = None,
                  figures: int | None = None) -> str:
    """Write an interval of a quantity in the reader's system with the other one behind it.

    >>> show_interval(0.1, 0.25, "m", "metric", ("in", "cm")), show_interval(0.0234, 0.38, "1", "us")
    ('10 to 25 cm (3.9 to 9.8 in)', '2 to 38 %')
    """
    if not (math.isfinite(low) and math.isfinite(high)):
        return say("quantity.interval", low=show(low, unit, system, pair, figures),
                   high=show(high, unit, system, pair, figures))
    return _both(lambda to: with_unit(interval(convert(low, unit, to), convert(high, unit, to), figures), to),
                 unit, system, pair)


def with_unit(written: str, unit: str) -> str:
    """Put a unit's label behind a number that is already written; thousands keep their comma in US units, where it is
    nothing else.

    >>> with_unit("20", "degC"), with_unit("45", "deg"), with_unit("1,330", "ft2"), with_unit("1,330", "m2")
    ('20 °C', '45°', '1,330 ft²', '1330 m²')
    """
    label = unit_label(unit)
    if not label:
        return written
    measure = written if in_us_units(unit) else written.replace(",", "")
    return f"{measure}{'' if label == '°' else ' '}{label}"


def both_units(unit: str) -> tuple[str, str]:
    """The US and the metric unit that a quantity of this unit is written in; twice the same where there is but one.

    >>> both_units("m"), both_units("mg/L")
    (('ft', 'm'), ('mg/L', 'mg/L'))
    """
    name = unit_name(unit)
    return _PAIRS.get(name, (name, name))


def _no_figure(value: float | None) -> str:
    if value is None or math.isnan(value):
        return say("quantity.not_known")
    return say("quantity.no_end" if value > 0 else "quantity.no_end_below")


def _both(write: Callable[[str], str], unit: str, system: System, pair: tuple[str, str] | None) -> str:
    us, metric = (write(to) for to in pair or both_units(unit))
    first, second = (us, metric) if system == "us" else (metric, us)
    return first if first == second else say("quantity.both", first=first, second=second)


def _decimals(value: float, figures: int | None) -> int:
    """Places behind the point that leave the wanted significant figures."""
    if value == 0:
        return 0
    wanted = figures or (3 if abs(value) >= 100 else 2)
    return wanted - 1 - math.floor(math.log10(abs(value)))


def _written(value: float, decimals: int) -> str:
    text = f"{abs(round(value, decimals)):,.{max(decimals, 0)}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return f"{_MINUS}{text}" if value < 0 and text != "0" else text
