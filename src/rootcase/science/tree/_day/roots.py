"""What roots, turf and air take from a block in a day, and what the tree has of it."""

from __future__ import annotations

from typing import Any

from rootcase.science.tree._day.ground import any_above_zero
from rootcase.science.tree._day.rows import (
    BLOCK,
    BUD_SET,
    CAPACITY,
    DEMAND,
    GROUND,
    L1,
    L2,
    L3,
    LEFT,
    OPEN,
    OTHER_UPTAKE,
    RESERVE,
    ROOT,
    SHORT,
    SPRING,
    STORE,
    TRANSPIRED,
    TREE_UPTAKE,
    TURF_0,
    TURF_1,
    WEIGHT,
    Constants,
    compiled,
    inlined,
)


@inlined
def day_of(s: Any, i: int, et0: Any, drink: Any, c: Constants, stands: bool, neighbours: bool) -> Any:
    """q; what roots find in each layer (u); the draw of all roots over w u; the tree's transpiration over its most."""
    q = min(c.q_base + et0 * s[DEMAND + i], c.q_most)
    u0, u1 = min(q, s[STORE + i]), min(q, s[STORE + L1 + i])
    u2, u3 = min(q, s[STORE + L2 + i]), min(q, s[STORE + L3 + i])
    if stands:
        u0, u1 = u0 * s[OPEN + i], u1 * s[OPEN + L1 + i]
        u2, u3 = u2 * s[OPEN + L2 + i], u3 * s[OPEN + L3 + i]
    rooted = _rooted(s, i, u0, u1, u2, u3)
    spare, tree = q * s[RESERVE + i], s[CAPACITY + i] * rooted
    a = tree + spare
    if neighbours:
        b = rooted + spare
        per_ab = c.one / (a * b)
        uptake = drink * (s[TREE_UPTAKE + i] * b + s[OTHER_UPTAKE + i] * a) * per_ab
        return q, (u0, u1, u2, u3), uptake, tree * (b * per_ab)
    per_a = c.one / a
    return q, (u0, u1, u2, u3), drink * s[TREE_UPTAKE + i] * per_a, tree * per_a


@inlined
def _rooted(s: Any, i: int, u0: Any, u1: Any, u2: Any, u3: Any) -> Any:
    return (s[ROOT + i] * u0 + s[ROOT + L1 + i] * u1) + (s[ROOT + L2 + i] * u2 + s[ROOT + L3 + i] * u3)


@inlined
def left_of_stores(s: Any, i: int, et0: Any, u: Any, uptake: Any, c: Constants, grass: bool) -> Any:
    """What roots, turf and air would leave of each layer's store: below 0 where they ask for more than there is."""
    x0, x1 = s[STORE + i], s[STORE + L1 + i]
    above = s[GROUND + i] * min(c.evaporation_wetness, x0)
    left1 = x1 - uptake * (s[WEIGHT + L1 + i] * u[1])
    if grass:
        above += s[TURF_0 + i] * min(c.turf_wetness, x0)
        left1 -= et0 * (s[TURF_1 + i] * min(c.turf_wetness, x1))
    return (x0 - uptake * (s[WEIGHT + i] * u[0]) - et0 * above, left1,
            s[STORE + L2 + i] - uptake * (s[WEIGHT + L2 + i] * u[2]),
            s[STORE + L3 + i] - uptake * (s[WEIGHT + L3 + i] * u[3]))


@inlined
def _settle(s: Any, i: int, left: Any, c: Constants) -> None:
    s[STORE + i], s[STORE + L1 + i] = max(left[0], c.zero), max(left[1], c.zero)
    s[STORE + L2 + i], s[STORE + L3 + i] = max(left[2], c.zero), max(left[3], c.zero)


@inlined
def _pass(s: Any, et0: Any, drink: Any, c: Constants, stands: bool, neighbours: bool, grass: bool) -> None:
    for i in range(BLOCK):
        _, u, uptake, _ = day_of(s, i, et0, drink, c, stands, neighbours)
        _settle(s, i, left_of_stores(s, i, et0, u, uptake, c, grass), c)


@compiled
def plain_day(s: Any, et0: Any, drink: Any, c: Constants, stands: bool, neighbours: bool, grass: bool) -> None:
    """A day of which nothing is counted, in the loop for what there is in the block."""
    if stands:
        _pass(s, et0, drink, c, True, True, True)
    elif neighbours and grass:
        _pass(s, et0, drink, c, False, True, True)
    elif neighbours:
        _pass(s, et0, drink, c, False, True, False)
    elif grass:
        _pass(s, et0, drink, c, False, False, True)
    else:
        _pass(s, et0, drink, c, False, False, False)


@inlined
def stretched(s: Any, i: int, q: Any, u: Any, c: Constants) -> Any:
    """Elongation over its most."""
    steep = q * c.per_expansion_span
    m0 = min(u[0], max((s[STORE + i] - c.expansion_none) * steep, c.zero))
    m1 = min(u[1], max((s[STORE + L1 + i] - c.expansion_none) * steep, c.zero))
    m2 = min(u[2], max((s[STORE + L2 + i] - c.expansion_none) * steep, c.zero))
    m3 = min(u[3], max((s[STORE + L3 + i] - c.expansion_none) * steep, c.zero))
    tree = s[CAPACITY + i] * _rooted(s, i, m0, m1, m2, m3)
    return tree / (tree + q * s[RESERVE + i])


@inlined
def _spring_pass(s: Any, et0: Any, drink: Any, c: Constants, stands: bool) -> None:
    for i in range(BLOCK):
        q, u, uptake, _ = day_of(s, i, et0, drink, c, stands, True)
        s[SPRING + i] += stretched(s, i, q, u, c)
        _settle(s, i, left_of_stores(s, i, et0, u, uptake, c, True), c)


@compiled
def spring_day(s: Any, et0: Any, drink: Any, c: Constants, stands: bool) -> None:
    if stands:
        _spring_pass(s, et0, drink, c, True)
    else:
        _spring_pass(s, et0, drink, c, False)


@inlined
def _bud_set_pass(s: Any, et0: Any, drink: Any, c: Constants, stands: bool) -> None:
    for i in range(BLOCK):
        _, u, uptake, tree = day_of(s, i, et0, drink, c, stands, True)
        left = left_of_stores(s, i, et0, u, uptake, c, True)
        s[LEFT + i], s[LEFT + L1 + i], s[LEFT + L2 + i], s[LEFT + L3 + i] = left
        s[TRANSPIRED + i] = tree
        s[SHORT + i] = max(c.zero, -min(left[0], left[1], left[2], left[3]))


@inlined
def _cut_to_met(s: Any, et0: Any, drink: Any, c: Constants, stands: bool) -> None:
    for i in range(BLOCK):
        _, u, uptake, tree = day_of(s, i, et0, drink, c, stands, True)
        s[TRANSPIRED + i] = tree * met(s, i, u, uptake, c)


@compiled
def bud_set_day(s: Any, et0: Any, drink: Any, c: Constants, stands: bool) -> None:
    if stands:
        _bud_set_pass(s, et0, drink, c, True)
        if any_above_zero(s, SHORT, c):
            _cut_to_met(s, et0, drink, c, True)
    else:
        _bud_set_pass(s, et0, drink, c, False)
        if any_above_zero(s, SHORT, c):
            _cut_to_met(s, et0, drink, c, False)
    for i in range(BLOCK):
        s[BUD_SET + i] += s[TRANSPIRED + i]
        s[STORE + i], s[STORE + L1 + i] = max(s[LEFT + i], c.zero), max(s[LEFT + L1 + i], c.zero)
        s[STORE + L2 + i], s[STORE + L3 + i] = max(s[LEFT + L2 + i], c.zero), max(s[LEFT + L3 + i], c.zero)


@inlined
def met(s: Any, i: int, u: Any, uptake: Any, c: Constants) -> Any:
    """Share of the roots' draw that the layers can meet, from what that would leave of them."""
    r0, r1, r2, r3 = s[ROOT + i] * u[0], s[ROOT + L1 + i] * u[1], s[ROOT + L2 + i] * u[2], s[ROOT + L3 + i] * u[3]
    all_met = ((r0 * share_met(s, i, c) + r1 * share_met(s, L1 + i, c))
               + (r2 * share_met(s, L2 + i, c) + r3 * share_met(s, L3 + i, c)))
    return all_met / max((r0 + r1) + (r2 + r3), c.tiny) if uptake > 0 else c.one


@inlined
def share_met(s: Any, i: int, c: Constants) -> Any:
    return min(c.one, s[STORE + i] / max(s[STORE + i] - s[LEFT + i], c.tiny))
