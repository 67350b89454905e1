"""Formulas that nobody asks for by name: steps inside others, and what takes every day of a station's weather."""

from __future__ import annotations

from collections.abc import Mapping

_CHECK = "checks what other formulas take"
_DAYS = "takes every day of a station's weather, which nobody types"
_STEP = "a step inside another formula that is offered"
_GROUND = "a step of the forecast of workable ground"
_SOIL_WARMTH = "a step of the soil's temperature carried on from a reading"
_MODEL = "a part of the growth model"
_TRIALS = "a step of the analysis of trials"

INNER: Mapping[str, str] = {
    "chemistry.soil_mass.charge_matched_kg_m2": _STEP,
    "compost.material.checked": _CHECK,
    "compost.reach.sums": _STEP,
    "compost.spread.unmeasured": _STEP,
    "microscope.clumping.half_width_of_mean": _STEP,
    "microscope.poisson.beyond_each_end": _STEP,
    "microscope.poisson.whole": _CHECK,
    "tree.fixed.day_constants": _MODEL,
    "tree.fixed.fixed": _MODEL,
    "tree.parameters.central_parameters": _MODEL,
    "trials.carried.growth_times": _TRIALS,
    "trials.carried.size_here": _TRIALS,
    "trials.freedom.answered": _TRIALS,
    "warmth.hardiness.hardiness_zone": _DAYS,
    "warmth.soil_below_air.error_of_mean": _SOIL_WARMTH,
    "warmth.soil_below_air.faded": _SOIL_WARMTH,
    "water.atmosphere.pressure_at_height_kpa": _STEP,
    "water.balance_dual.dual_run": _DAYS,
    "water.balance_single.settle": _STEP,
    "water.balance_single.single_run": _DAYS,
    "water.clear_sky.clear_share": _STEP,
    "water.clear_sky.height_of_sun_of_day": _STEP,
    "water.clear_sky.height_of_sun_of_hour": _STEP,
    "water.known_weather.reference_of_known_mm_day": _DAYS,
    "water.missing_days.after_another_station": _DAYS,
    "water.missing_days.between_neighbours": _DAYS,
    "water.radiation.lost_to_sky": _STEP,
    "water.reference_et.hargreaves_from_radiation_mm_day": _STEP,
    "water.reference_et.penman_monteith_from_parts_mm": _STEP,
    "water.sun.energy_above_air_mj_m2": _STEP,
    "water.sun.height_of_sun_summed": _STEP,
    "water.sun.season_sine": _STEP,
    "water.sun.year_angle_rad": _STEP,
    "water.workable.fullness": _GROUND,
    "water.workable.next_day": _GROUND,
    "water.workable.rain_carried": _GROUND,
    "water.workable.wet_of": _GROUND,
}
"""Each with why it is left out of the list of sums."""
