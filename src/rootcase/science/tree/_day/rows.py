"""Where the quantities of a block of lanes stand in its scratch, and how its loops are compiled."""

from __future__ import annotations

from typing import Any, NamedTuple

from numba import njit

BLOCK = 128
"""Lanes of a block: what a day touches of them fits the first-level cache."""
STRIDE = BLOCK + 16
"""From row to row of the scratch, a cache line more than a block: rows a power of two apart would share the few places
the cache has for their addresses."""
L1, L2, L3 = STRIDE, 2 * STRIDE, 3 * STRIDE
"""From the row of a layer's quantity to that of the second, third and fourth layer."""

INPUTS = ("available_water_mm", "perched_capacity_mm", "root_weight", "crown_per_ground", "neighbours_per_ground",
          "root_capacity", "salt_factor", "crown_coefficient", "turf_demand", "turf_topsoil_share",
          "evaporating_cover", "pervious", "joints", "infiltration_capacity_mm", "drainage_mm_day", "root_reserve",
          "irrigation_mm")
"""The table of lanes, four rows for each of the first three; the first rows of the scratch."""
(TAW, _, _, _, HOLD, _, _, _, ROOT, _, _, _, CROWN, OTHERS, CAPACITY, SALT, COEFFICIENT, TURF, TOP, EVAPORATING,
 PERVIOUS, JOINTS, INTAKE, DRAINING, RESERVE, IRRIGATION,
 STORE, _, _, _, PERCHED, SPRING, BUD_SET,
 PER_TAW, _, _, _, PER_HOLD, _, _, _, HOLDS, PER_INTAKE, COVER, WEIGHT, _, _, _,
 TREE_UPTAKE, OTHER_UPTAKE, THIRST, TURF_THIRST, SHADE, TURF_0_MOST, TURF_1_MOST, COVER_SHADE, GROUND_MOST,
 DEMAND, TURF_0, TURF_1, GROUND,
 IRRIGATED, SOAKED, LOST, OPEN, _, _, _, LEFT, _, _, _, TRANSPIRED, SHORT) = range(0, 74 * STRIDE, STRIDE)
ROWS = 74

KEPT = ("layers_mm", "perched_mm", "infiltration_mm", "lost_mm", "uptake_mm", "turf_mm", "evaporation_mm",
        "transpiration", "elongation")
"""What is kept of a day, four rows for the first."""
KEPT_ROWS = len(KEPT) + 3

# Products are added without rounding in between; no sum changes its order.
compiled = njit(cache=True, nogil=True, error_model="numpy", fastmath={"contract"})
in_any_order = njit(cache=True, nogil=True, error_model="numpy", fastmath={"contract", "reassoc"})
inlined = njit(cache=True, nogil=True, error_model="numpy", fastmath={"contract"}, forceinline=True)


class Constants(NamedTuple):
    """Those of the day, rearranged; all of the type of the lanes, so that no loop mixes two."""

    zero: Any
    one: Any
    tiny: Any
    interception_mm: Any
    leafless_water_share: Any
    q_base: Any
    """1 - ready share where nothing is asked."""
    q_per_mm: Any
    q_most: Any
    expansion_none: Any
    per_expansion_span: Any
    turf_shade_cut: Any
    turf_wetness: Any
    evaporation_most: Any
    evaporation_shade_cut: Any
    evaporation_wetness: Any
