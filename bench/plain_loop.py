"""The peer of the engine bench: docs/model.md 1.6 as anyone would write it, lane by lane, with ifs and `math.exp`.

It is pinned: a test holds the hash of this file, so that the yardstick of the speed figures cannot drift, and another
checks it against the numpy twin, so that it does the same work.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numba import njit

from rootcase.science.tree.lanes import Lanes
from rootcase.science.tree.season import Season, is_watered

COLUMNS = ("crown_per_ground", "neighbours_per_ground", "root_capacity", "salt_factor", "crown_coefficient",
           "turf_demand", "turf_topsoil_share", "evaporating_cover", "pervious", "joints", "infiltration_capacity_mm",
           "drainage_mm_day", "root_reserve", "irrigation_mm")


def prepared(lanes: Lanes, season: Season) -> tuple[Any, ...]:
    """The arguments of `plain_loop`, one row a lane."""
    columns = np.column_stack([getattr(lanes, name) for name in COLUMNS])
    every = np.where(lanes.irrigation_mm > 0.0, lanes.irrigation_every_days, 0.0)
    watered = np.zeros((lanes.count, len(season.rain_mm)), dtype=np.bool_)
    for lane in np.flatnonzero(every):
        watered[lane] = is_watered(every[lane], lanes.irrigation_first_day[lane], lanes.irrigation_last_day[lane],
                                   season.day_of_year)
    return (np.ascontiguousarray(lanes.available_water_mm.T), np.ascontiguousarray(lanes.perched_capacity_mm.T),
            np.ascontiguousarray(lanes.root_weight.T), columns, watered, season.rain_mm, season.et0_mm, season.leaf,
            season.bud_set, season.spring)


@njit(cache=True, nogil=True, error_model="numpy")
def plain_loop(taw: Any, hold: Any, root: Any, columns: Any, watered: Any, rain: Any, et0: Any, leaf: Any,
               bud_set: Any, spring: Any) -> Any:
    """S and B of every lane (2, lanes)."""
    out = np.zeros((2, taw.shape[0]))
    water, share, saturated = np.empty(4), np.empty(4), np.empty(4)
    supply, uptake, drawn = np.empty(4), np.empty(4), np.empty(4)
    for lane in range(taw.shape[0]):
        crown, others, capacity, salt, coefficient, turf, top, evaporating = columns[lane, :8]
        pervious, joints, intake, draining, reserve, irrigation = columns[lane, 8:]
        water[:] = taw[lane]
        perched = 0.0
        for day in range(rain.shape[0]):
            cover = min(1.0, crown + others)
            arriving = (rain[day] - min(rain[day], 1.4 * leaf[day]) * cover) * pervious
            if watered[lane, day]:
                arriving += irrigation
            free = perched + rain[day] * joints
            if arriving > 0.0 and intake > 0.0:
                free += intake * (1.0 - math.exp(-arriving / intake))

            for layer in range(4):
                put = min(free, taw[lane, layer] - water[layer])
                water[layer] += put
                free -= put
            free -= min(free, draining)
            perched = min(free, hold[lane, 0] + hold[lane, 1] + hold[lane, 2] + hold[lane, 3])
            left = perched
            for layer in range(3, -1, -1):
                if left > 0.0 and hold[lane, layer] > 0.0:
                    here = min(left, hold[lane, layer])
                    saturated[layer] = here / hold[lane, layer]
                    left -= here
                else:
                    saturated[layer] = 0.0

            demand = coefficient * et0[day] * (0.15 + 0.85 * leaf[day])
            ready = 0.5 + 0.04 * (5.0 - demand * (crown + others) - turf * et0[day])
            ready = min(max(ready, 0.1), 0.8)
            rooted, stretched = 0.0, 0.0
            for layer in range(4):
                share[layer] = water[layer] / taw[lane, layer]
                supply[layer] = min(1.0, share[layer] / (1.0 - ready)) * (1.0 - saturated[layer])
                rooted += root[lane, layer] * supply[layer]
                stretched += root[lane, layer] * min(supply[layer], max((share[layer] - 0.3) / 0.45, 0.0))
            tree = capacity * rooted * (1.0 + reserve) / (capacity * rooted + reserve) * salt
            if spring[0] <= day < spring[1]:
                out[0, lane] += capacity * stretched * (1.0 + reserve) / (capacity * stretched + reserve) * salt
            asked = demand * (crown * tree + others * rooted * (1.0 + reserve) / (rooted + reserve))

            grass = turf * et0[day] * (1.0 - 0.5 * min(1.0, crown) * leaf[day])
            for layer in range(4):
                uptake[layer] = asked * root[lane, layer] * supply[layer] / rooted if rooted > 0.0 else 0.0
                drawn[layer] = uptake[layer]
            drawn[0] += grass * top * min(1.0, share[0] / 0.6)
            drawn[1] += grass * (1.0 - top) * min(1.0, share[1] / 0.6)
            drawn[0] += (1.05 * et0[day] * evaporating * (1.0 - 0.6 * cover * leaf[day])
                         * min(1.0, share[0] / 0.7))
            taken = 0.0
            for layer in range(4):
                if drawn[layer] > water[layer]:
                    uptake[layer] *= water[layer] / drawn[layer]
                    drawn[layer] = water[layer]
                water[layer] -= drawn[layer]
                taken += uptake[layer]
            if bud_set[0] <= day < bud_set[1]:
                out[1, lane] += tree * (taken / asked if asked > 0.0 else 1.0)
        out[0, lane] /= spring[1] - spring[0]
        out[1, lane] /= bud_set[1] - bud_set[0]
    return out
