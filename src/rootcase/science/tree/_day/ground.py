"""A block made ready, its leaves, and the water that comes to it."""

from __future__ import annotations

from typing import Any

from rootcase.science.tree._day.exponential import soaked_share
from rootcase.science.tree._day.rows import (
    BLOCK,
    BUD_SET,
    CAPACITY,
    COEFFICIENT,
    COVER,
    COVER_SHADE,
    CROWN,
    DEMAND,
    DRAINING,
    EVAPORATING,
    GROUND,
    GROUND_MOST,
    HOLD,
    HOLDS,
    INTAKE,
    IRRIGATED,
    IRRIGATION,
    JOINTS,
    L1,
    L2,
    L3,
    LOST,
    OPEN,
    OTHER_UPTAKE,
    OTHERS,
    PER_HOLD,
    PER_INTAKE,
    PER_TAW,
    PERCHED,
    PERVIOUS,
    RESERVE,
    ROOT,
    SALT,
    SHADE,
    SOAKED,
    SPRING,
    STORE,
    STRIDE,
    TAW,
    THIRST,
    TOP,
    TREE_UPTAKE,
    TURF,
    TURF_0,
    TURF_0_MOST,
    TURF_1,
    TURF_1_MOST,
    TURF_THIRST,
    WEIGHT,
    Constants,
    compiled,
    in_any_order,
    inlined,
)


@compiled
def load(table: Any, s: Any, start: int, lanes: int) -> None:
    """A block that is not full repeats its last lane."""
    for row in range(len(table)):
        values = table[row]
        for i in range(BLOCK):
            s[row * STRIDE + i] = values[start + min(i, lanes - 1)]


@compiled
def prepare(s: Any, c: Constants) -> None:
    for layer in range(0, 4 * STRIDE, STRIDE):
        for i in range(layer, layer + BLOCK):
            s[STORE + i], s[OPEN + i] = c.one, c.one
            s[PER_TAW + i] = c.one / s[TAW + i]
            s[PER_HOLD + i] = c.one / s[HOLD + i] if s[HOLD + i] > 0 else c.zero
            s[WEIGHT + i] = s[ROOT + i] / s[TAW + i]
    for i in range(BLOCK):
        s[PERCHED + i], s[SPRING + i], s[BUD_SET + i], s[IRRIGATED + i] = c.zero, c.zero, c.zero, c.zero
        s[HOLDS + i] = s[HOLD + i] + s[HOLD + L1 + i] + s[HOLD + L2 + i] + s[HOLD + L3 + i]
        s[PER_INTAKE + i] = c.one / max(s[INTAKE + i], c.tiny)
        s[COVER + i] = min(c.one, s[CROWN + i] + s[OTHERS + i])
        most = s[COEFFICIENT + i] * (c.one + s[RESERVE + i])
        turf = s[TURF + i] / c.turf_wetness
        s[TREE_UPTAKE + i] = most * s[CROWN + i] * s[CAPACITY + i] * s[SALT + i]
        s[OTHER_UPTAKE + i] = most * s[OTHERS + i]
        s[THIRST + i] = c.q_per_mm * s[COEFFICIENT + i] * (s[CROWN + i] + s[OTHERS + i])
        s[TURF_THIRST + i] = c.q_per_mm * s[TURF + i]
        s[SHADE + i] = c.turf_shade_cut * min(c.one, s[CROWN + i])
        s[TURF_0_MOST + i] = turf * s[TOP + i] * s[PER_TAW + i]
        s[TURF_1_MOST + i] = turf * (c.one - s[TOP + i]) * s[PER_TAW + L1 + i]
        s[COVER_SHADE + i] = c.evaporation_shade_cut * s[COVER + i]
        s[GROUND_MOST + i] = c.evaporation_most * s[EVAPORATING + i] * s[PER_TAW + i] / c.evaporation_wetness


@compiled
def leaf_out(s: Any, leaf: Any, leaf_share: Any, c: Constants) -> None:
    """What the leaves decide and only they."""
    for i in range(BLOCK):
        lit = c.one - s[SHADE + i] * leaf
        s[DEMAND + i] = s[THIRST + i] * leaf_share + s[TURF_THIRST + i]
        s[TURF_0 + i], s[TURF_1 + i] = s[TURF_0_MOST + i] * lit, s[TURF_1_MOST + i] * lit
        s[GROUND + i] = s[GROUND_MOST + i] * (c.one - s[COVER_SHADE + i] * leaf)


@compiled
def irrigate(s: Any, schedule: Any, watered: Any, start: int, lanes: int, day: int) -> None:
    for i in range(BLOCK):
        waters = watered[schedule[start + min(i, lanes - 1)], day]
        s[IRRIGATED + i] = s[IRRIGATION + i] if waters else s[IRRIGATION + i] - s[IRRIGATION + i]


@compiled
def take_in(s: Any, rain: Any, leaf: Any, c: Constants) -> None:
    """What soaks in, through open ground and joints."""
    held = min(rain, c.interception_mm * leaf)
    for i in range(BLOCK):
        arriving = (rain - held * s[COVER + i]) * s[PERVIOUS + i] + s[IRRIGATED + i]
        s[SOAKED + i] = s[INTAKE + i] * soaked_share(arriving * s[PER_INTAKE + i]) + rain * s[JOINTS + i]


@compiled
def fill(s: Any, c: Constants) -> bool:
    """Layers fill from the top, then drainage, then what perches and what does not fit. Does water stand anywhere?"""
    for i in range(BLOCK):
        s[LOST + i] = _poured(s, L1 + i, _poured(s, i, s[SOAKED + i] + s[PERCHED + i], c), c)
    if not any_above_zero(s, LOST, c):
        s[PERCHED:PERCHED + BLOCK] = c.zero
        return False
    for i in range(BLOCK):
        free = _poured(s, L3 + i, _poured(s, L2 + i, s[LOST + i], c), c)
        perched = min(free - min(free, s[DRAINING + i]), s[HOLDS + i])
        s[LOST + i] = free - perched
        s[PERCHED + i] = perched
    return any_above_zero(s, PERCHED, c)


@in_any_order
def any_above_zero(s: Any, row: int, c: Constants) -> bool:
    """Of a row that is nowhere below: by its sum, whose order does not matter for that."""
    total = c.zero
    for i in range(row, row + BLOCK):
        total += s[i]
    return bool(total > 0)


@inlined
def _poured(s: Any, i: int, free: Any, c: Constants) -> Any:
    """Fill one layer; what is still free."""
    into = min(free, s[TAW + i] * (c.one - s[STORE + i]))
    s[STORE + i] = min(c.one, s[STORE + i] + into * s[PER_TAW + i])
    return free - into


@compiled
def stand(s: Any, c: Constants) -> None:
    """What perched water, stacked from the lowest layer up, leaves open of each layer's air-filled pores."""
    for i in range(BLOCK):
        left = _stacked(s, L3 + i, s[PERCHED + i], c)
        left = _stacked(s, L2 + i, left, c)
        left = _stacked(s, L1 + i, left, c)
        _stacked(s, i, left, c)


@inlined
def _stacked(s: Any, i: int, left: Any, c: Constants) -> Any:
    here = min(left, s[HOLD + i])
    s[OPEN + i] = max(c.one - here * s[PER_HOLD + i], c.zero)
    return left - here
