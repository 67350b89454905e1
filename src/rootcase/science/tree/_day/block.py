"""Blocks of lanes through all days."""

from __future__ import annotations

from typing import Any

import numpy as np

from rootcase.science.tree._day.ground import any_above_zero, fill, irrigate, leaf_out, load, prepare, stand, take_in
from rootcase.science.tree._day.roots import (
    bud_set_day,
    day_of,
    left_of_stores,
    met,
    plain_day,
    share_met,
    spring_day,
    stretched,
)
from rootcase.science.tree._day.rows import (
    BLOCK,
    BUD_SET,
    GROUND,
    L1,
    L2,
    L3,
    LEFT,
    LOST,
    OTHERS,
    PERCHED,
    RESERVE,
    ROOT,
    SALT,
    SOAKED,
    SPRING,
    STORE,
    STRIDE,
    TAW,
    TURF,
    TURF_0,
    TURF_1,
    Constants,
    compiled,
)


@compiled
def run_lanes(table: Any, schedule: Any, watered: Any, weather: Any, windows: Any, c: Constants, s: Any, first: int,
              last: int, out: Any, kept: Any) -> None:
    """Lanes `first` to `last` through all days: S and B into `out` (2, lanes), and every day into `kept` (days, rows,
    lanes) where it has days. `s` is the caller's scratch."""
    for start in range(first, last, BLOCK):
        _run_block(table, schedule, watered, weather, windows, c, s, start, min(BLOCK, last - start), out, kept)


@compiled
def _run_block(table: Any, schedule: Any, watered: Any, weather: Any, windows: Any, c: Constants, s: Any, start: int,
               lanes: int, out: Any, kept: Any) -> None:
    load(table, s, start, lanes)
    prepare(s, c)
    neighbours, grass = any_above_zero(s, OTHERS, c), any_above_zero(s, TURF, c)
    plans = np.zeros(watered.shape[0], np.bool_)
    for lane in range(start, start + lanes):
        plans[schedule[lane]] = True
    stands, was_watered, leaf_before = False, False, -c.one
    for day in range(weather.shape[1]):
        rain, et0, leaf = weather[0, day], weather[1, day], weather[2, day]
        leaf_share = c.leafless_water_share + (c.one - c.leafless_water_share) * leaf
        if leaf != leaf_before:
            leaf_out(s, leaf, leaf_share, c)
            leaf_before = leaf
        waters = False
        for plan in range(plans.size):
            waters |= plans[plan] and watered[plan, day]
        if waters or was_watered:
            irrigate(s, schedule, watered, start, lanes, day)
            was_watered = waters
        stood = stands
        if rain > 0 or waters:
            take_in(s, rain, leaf, c)
            stands = fill(s, c)
        elif stands:
            s[SOAKED:SOAKED + BLOCK] = c.zero
            stands = fill(s, c)
        if stands:
            stand(s, c)
        drink = et0 * leaf_share
        if kept.shape[0] > 0:
            _keep(s, et0, drink, rain > 0 or waters or stood, start, lanes, kept[day], c)
        if windows[2] <= day < windows[3]:
            spring_day(s, et0, drink, c, stands)
        elif windows[0] <= day < windows[1]:
            bud_set_day(s, et0, drink, c, stands)
        else:
            plain_day(s, et0, drink, c, stands, neighbours, grass)
        if kept.shape[0] > 0:
            _keep_end(s, start, lanes, kept[day])
    for i in range(lanes):
        most = (c.one + s[RESERVE + i]) * s[SALT + i]
        out[0, start + i] = most * s[SPRING + i] / (windows[3] - windows[2])
        out[1, start + i] = most * s[BUD_SET + i] / (windows[1] - windows[0])


@compiled
def _keep(s: Any, et0: Any, drink: Any, wet: bool, start: int, lanes: int, kept: Any, c: Constants) -> None:
    """The day's flows, before the water is drawn. [mm]"""
    stand(s, c)
    for i in range(lanes):
        q, u, uptake, tree = day_of(s, i, et0, drink, c, True, True)
        left = left_of_stores(s, i, et0, u, uptake, c, True)
        s[LEFT + i], s[LEFT + L1 + i], s[LEFT + L2 + i], s[LEFT + L3 + i] = left
        top, next_ = share_met(s, i, c), share_met(s, L1 + i, c)
        most, lane = (c.one + s[RESERVE + i]) * s[SALT + i], start + i
        if wet:
            kept[5, lane], kept[6, lane] = s[SOAKED + i], s[LOST + i]
        kept[7, lane] = uptake * (s[ROOT + i] * u[0] * top + s[ROOT + L1 + i] * u[1] * next_
                                  + s[ROOT + L2 + i] * u[2] * share_met(s, L2 + i, c)
                                  + s[ROOT + L3 + i] * u[3] * share_met(s, L3 + i, c))
        kept[8, lane] = et0 * (s[TURF_0 + i] * min(c.turf_wetness, s[STORE + i]) * top * s[TAW + i]
                               + s[TURF_1 + i] * min(c.turf_wetness, s[STORE + L1 + i]) * next_ * s[TAW + L1 + i])
        kept[9, lane] = et0 * s[GROUND + i] * min(c.evaporation_wetness, s[STORE + i]) * top * s[TAW + i]
        kept[10, lane] = most * tree * met(s, i, u, uptake, c)
        kept[11, lane] = most * stretched(s, i, q, u, c)


@compiled
def _keep_end(s: Any, start: int, lanes: int, kept: Any) -> None:
    for i in range(lanes):
        for layer in range(4):
            kept[layer, start + i] = s[STORE + layer * STRIDE + i] * s[TAW + layer * STRIDE + i]
        kept[4, start + i] = s[PERCHED + i]
