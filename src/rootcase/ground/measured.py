"""Amounts that are measured out: rounded once, in the property's own system, and told so that they come back.

What is printed in the other system has as many figures as it takes to print the first again, read by our own parser.
Thousands are parted by a comma in US units alone; elsewhere a comma can be two things, and the parser would ask.
"""

from __future__ import annotations

import math

from rootcase.ground.quantity import System, number, with_unit
from rootcase.ground.units import convert
from rootcase.ground.words import say

Pair = tuple[str, str]
"""The US and the metric unit."""
_MOST_FIGURES = 12
_TAPE = {"in": (1.0, 0.5, 0.25), "cm": (2.0, 0.5, 0.1)}
"""From which depth on, steps of a tape from there up, and below. JUDGEMENT."""


def measured(value: float, unit: str, system: System, pair: Pair, figures: int | None = None) -> float:
    """Round an amount to what is printed of it in the property's own system; in its own unit again.

    >>> round(measured(3.2135, "m3", "us", ("yd3", "m3")), 6), measured(3.2135, "m3", "metric", ("yd3", "m3"))
    (3.21113, 3.2)
    """
    own = _own(system, pair)
    return convert(_value(number(convert(value, unit, own), figures)), own, unit)


def not_above(value: float, unit: str, system: System, pair: Pair, figures: int) -> float:
    """As `measured`, but never more than the amount itself: what a cap allows is not rounded up.

    >>> not_above(5.267, "kg", "metric", ("lb", "kg"), 3), measured(5.267, "kg", "metric", ("lb", "kg"), 3)
    (5.26, 5.27)
    """
    own = _own(system, pair)
    amount = convert(value, unit, own)
    if amount <= 0.0:
        return 0.0
    step = 10.0 ** (math.floor(math.log10(amount)) - figures + 1)
    return convert(_value(number(math.floor(amount / step + 1e-6) * step, figures)), own, unit)


def on_a_tape(depth_m: float, system: System) -> float:
    """Round a depth to the steps of a tape in the property's own system; nothing is rounded to none. [m]

    >>> round(on_a_tape(0.08, "us"), 4), on_a_tape(0.08, "metric"), round(on_a_tape(0.0125, "us"), 4)
    (0.0762, 0.08, 0.0127)
    """
    own = _own(system, ("in", "cm"))
    whole, coarse, fine = _TAPE[own]
    depth = convert(depth_m, "m", own)
    step = coarse if depth >= whole else fine
    return convert(max(math.floor(depth / step + 0.5), 1) * step, own, "m")


def told(value: float, unit: str, system: System, pair: Pair, figures: int | None = None) -> str:
    """Write an amount in the property's own system with the other behind it, so that each brings the other back.

    >>> told(3.2135, "m3", "us", ("yd3", "m3")), told(4460.0, "L", "metric", ("gal", "L"))
    ('4.2 yd³ (3.2 m³)', '4460 L (1,178 gal)')
    """
    own = _own(system, pair)
    other = pair[1] if own == pair[0] else pair[0]
    first = number(convert(value, unit, own), figures)
    there = convert(_value(first), own, other)
    finer = (number(there, more) for more in (figures, *range(3, _MOST_FIGURES)))
    second = next(text for text in finer if number(convert(_value(text), other, own), figures) == first)
    here, back = with_unit(first, own), with_unit(second, other)
    return here if here == back else say("quantity.both", first=here, second=back)


def _own(system: System, pair: Pair) -> str:
    return pair[0] if system == "us" else pair[1]


def _value(written: str) -> float:
    return float(written.replace(",", ""))
