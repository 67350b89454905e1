"""The second truth: the root zone once more, written from its equations, with four departures to switch on.

With none of them it must give what the program's model gives; with them it stands for a world the model does not know.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from rootcase.science.inference.shapley import shapley_values
from rootcase.science.soil.density import density_limits
from rootcase.science.soil.saxton_rawls import soil_water
from rootcase.science.tree.fixed import fixed
from rootcase.science.tree.parameters import Parameters
from rootcase.science.tree.season import DailyWeather, season_of
from rootcase.science.tree.site import Site
from tests.study.european_soils import european_soil, normal_density_mg_m3
from tests.study.practice import Case

TOP_M = np.array([0.0, 0.1, 0.3, 0.6])[:, None]
BOTTOM_M = np.array([0.1, 0.3, 0.6, 1.0])[:, None]
THICK_M, MIDDLE_M = BOTTOM_M - TOP_M, (TOP_M + BOTTOM_M) / 2.0
ORGANIC_SHARE = np.array([1.0, 0.6, 0.35, 0.25])[:, None]
TURF_TAKES = np.array([1.0, 0.4, 0.0, 0.0])[:, None]
LIMITS = ("strength", "air", "water", "salt", "nutrition", "establishment")
LOST_A_DAY, REGROWN_A_DAY = 0.05, 0.02
DAYS_BORNE, DROWNED = 3, 0.5
COLD_C, WARM_C = 5.0, 15.0
"""Roots under water die after three days at a twentieth a day in warm soil, and come back at a fiftieth. JUDGEMENT;
young oaks flooded in spring lost roots after four and six weeks: Copini et al. 2016, Frontiers in Plant Science 7:775
(abstract seen)."""


@dataclass(frozen=True, slots=True)
class World:
    """How the world differs from the model."""

    european_soils: bool = False
    """Retention and conductivity of Wösten et al. 1999, density of Manrique and Jones 1991."""
    storms: bool = False
    """Rain falls by the hour and what an hour cannot take in runs off."""
    half_rooting: float = 1.0
    """Resistance that halves rooting over what the model holds it for: cone against root."""
    memory: bool = False
    """Roots drown in standing water and regrow slowly."""


class Ground(NamedTuple):
    """What each limit owns of one site; every array ends in the lanes' axis."""

    strength: tuple[np.ndarray, ...]
    air: tuple[np.ndarray, ...]
    water: tuple[np.ndarray, ...]
    salt: tuple[np.ndarray, ...]
    nutrition: tuple[np.ndarray, ...]
    establishment: tuple[np.ndarray, ...]


def truths(cases: Sequence[Case], world: World, seed: int = 0) -> list[tuple[float, np.ndarray]]:
    """Share and losses of every case; cases of one weather and window run side by side."""
    groups: dict[tuple[str, int, int], list[int]] = {}
    for at, case in enumerate(cases):
        groups.setdefault((case.station, case.season, case.tree.spring_window_days), []).append(at)
    found: dict[int, tuple[float, np.ndarray]] = {}
    for members in groups.values():
        worth = _worth([cases[at] for at in members], world, seed)
        losses = -shapley_values(worth)
        found |= {at: (float(worth[-1, lane]), losses[:, lane]) for lane, at in enumerate(members)}
    return [found[at] for at in range(len(cases))]


def _worth(cases: Sequence[Case], world: World, seed: int) -> np.ndarray:
    """(64, cases): growth of each coalition over that of the yardstick."""
    tree = _joined([_ground(case.tree, case.parameters, world) for case in cases])
    yard = _joined([_ground(case.yardstick, case.parameters, world) for case in cases])
    p = {name: np.concatenate([getattr(case.parameters, name) for case in cases])
         for name in Parameters.__dataclass_fields__}
    crown = {name: np.array([float(np.asarray(getattr(case.tree, name))) for case in cases])
             for name in ("neighbours", "leaf", "trunk_diameter_m", "crown_radius_m")}
    mixes = [Ground(*(tree[bit] if mask >> bit & 1 else yard[bit] for bit in range(6))) for mask in range(64)]
    lanes = [_lanes(mix, p, crown) for mix in mixes]
    run = [mask for mask in range(64) if not mask >> LIMITS.index("nutrition") & 1]
    side_by_side = {name: np.concatenate([lanes[mask][name] for mask in run], axis=-1) for name in lanes[0]}
    spring, bud_set = _seasons(side_by_side, cases[0].days, cases[0].tree.spring_window_days, world, seed)
    by_run = {mask: at for at, mask in enumerate(run)}
    bit = 1 << LIMITS.index("nutrition")
    grown = []
    for mask in range(64):
        at = slice(by_run[mask & ~bit] * len(cases), (by_run[mask & ~bit] + 1) * len(cases))
        water = np.maximum(spring[at], 0.001) * np.maximum(bud_set[at], 0.001) ** p["bud_set_weight"]
        hunger = np.minimum(1.0, lanes[mask]["nitrogen"] / (0.3 + 0.7 * water)) ** 0.7
        grown.append(water * hunger * lanes[mask]["lock_up"])
    return np.stack(grown) / grown[0]


def _joined(grounds: Sequence[Ground]) -> Ground:
    return Ground(*(tuple(np.concatenate(part, axis=-1) for part in zip(*owned, strict=True))
                    for owned in zip(*grounds, strict=True)))


def _one(value: object) -> np.ndarray:
    return np.asarray(value, dtype=float).reshape(1)


def _ground(site: Site, parameters: Parameters, world: World) -> Ground:
    p = {name: getattr(parameters, name) for name in Parameters.__dataclass_fields__}
    sand, clay, sar = _one(site.sand), _one(site.clay), _one(site.sar)
    organic = np.minimum(ORGANIC_SHARE * _one(site.organic_matter_pct), 7.9)
    wilting, capacity, pores, conductivity, density = _soil(sand, clay, organic, _one(site.bulk_density_mg_m3), world)
    capacity = np.minimum(capacity + p["field_capacity_error"], pores - 0.005)
    air_filled = np.maximum(pores - capacity, 0.003)
    store = 1000.0 * np.maximum(capacity - wilting, 0.01) * THICK_M
    sodium = np.where(clay > 0.15, np.clip((sar - 8.0) / 12.0, 0.0, 1.0), 0.0)

    ramp = np.clip((air_filled - 0.015) / 0.085, 0.0, 1.0) * (1.0 - 0.5 * sodium)
    breath = 1.0 - (1.0 - ramp) * (1.0 - np.exp(-MIDDLE_M / 0.17))
    below_mottles = np.clip(BOTTOM_M - _one(site.mottle_depth_m), 0.0, THICK_M) / THICK_M
    breath = breath * (1.0 - below_mottles * (1.0 - p["mottled_root_share"]))
    drains = np.maximum(0.2, 24.0 * np.sqrt(conductivity[1] * conductivity[2]) * (1.0 - p["sodic_loss"] * sodium))
    drains = np.where(np.isnan(_one(site.drainage_mm_day)), drains, _one(site.drainage_mm_day))

    limits = density_limits(sand, clay)
    packed = np.clip((density[0] - limits.ideal) / (limits.restricts - limits.ideal), 0.0, 1.0)
    fine = np.clip((clay - 0.05) / 0.35, 0.0, 1.0)
    loose_rate, packed_rate = 330.0 ** (1.0 - fine) * 250.0**fine, 36.0 ** (1.0 - fine) * 5.0**fine
    takes = loose_rate ** (1.0 - packed) * packed_rate**packed * (1.0 - p["sodic_loss"] * sodium)
    ring = _one(site.infiltration_ring_mm_h)
    takes = np.where(np.isnan(ring), takes, ring) * p["infiltration_error"]

    salt_from = np.maximum(_one(site.salt_threshold_ds_m) + p["salt_threshold_error_ds_m"], 0.5)
    sigma = np.clip(1.0 - _one(site.salt_slope_pct) * p["salt_slope_error"] / 100.0 * np.maximum(
        0.0, _one(site.ece_ds_m) - salt_from), 0.05, 1.0)
    released = (p["nitrogen_release_per_year"] * 0.05 * 1e4 * organic / 100.0 * density * 1000.0 * THICK_M)[:2]
    limed = np.minimum(_one(site.lock_up_per_ph) * p["lock_up_error"] * np.maximum(0.0, _one(site.ph) - 7.0), 0.7)
    irrigation = tuple(_one(value) for value in (site.irrigation_mm, site.irrigation_every_days,
                                                 site.irrigation_first_day, site.irrigation_last_day))
    return Ground(
        strength=_strength(site, p, world), air=(breath, air_filled, drains, _one(site.run_on)),
        water=(store, _one(site.turf), _one(site.mulch), _one(site.bare), _one(site.paved), takes, *irrigation),
        salt=(sigma,), nutrition=(released, _one(site.turf), 25.0 * (_one(site.litter) + 0.5 * _one(site.mulch)),
                                  _one(site.nitrogen_added_kg_ha), 1.0 - limed),
        establishment=(_one(site.years_since_planting),))


def _soil(sand: np.ndarray, clay: np.ndarray, organic: np.ndarray, read: np.ndarray,
          world: World) -> tuple[np.ndarray, ...]:
    """Wilting point, field capacity, porosity, conductivity, density of four layers."""
    normal = (normal_density_mg_m3(organic) if world.european_soils
              else soil_water(sand, clay, organic).normal_density_mg_m3)
    density = np.where(np.isnan(read) | (TOP_M >= 0.3), normal, read)
    if world.european_soils:
        return (*european_soil(sand, clay, organic, density, topsoil=TOP_M < 0.3), density)
    return (*soil_water(sand, clay, organic, density)[:4], density)


def _strength(site: Site, p: dict[str, np.ndarray], world: World) -> tuple[np.ndarray, np.ndarray]:
    """Rooting that resistance leaves, by slices of a quarter layer, and the share of each layer above the refusal."""
    half = p["half_rooting_resistance_mpa"] * world.half_rooting

    def leaves(mpa: np.ndarray) -> np.ndarray:
        return 1.0 / (1.0 + (np.minimum(mpa, 100.0) / half) ** p["resistance_steepness"])

    depth = float(np.asarray(site.refusal_depth_m))
    stop, ratio = (drawn if np.isnan(told) else _one(told) for drawn, told in (
        (p["rod_stop_resistance_mpa"], site.reference_resistance_mpa),
        (p["below_refusal_ratio"], site.below_refusal_ratio)))
    start, from_m, cone = _one(site.surface_resistance_mpa), 0.0, None
    if site.cone_depth_m:
        cone = [float(np.asarray(mpa)) for mpa in site.cone_resistance_mpa]
        start, from_m = _one(cone[-1]), site.cone_depth_m[-1]
        if depth <= from_m:
            depth = np.inf
    start = np.minimum(start, stop) if depth < np.inf else start
    slices = []
    for top, thick in zip(TOP_M[:, 0], THICK_M[:, 0], strict=True):
        for at in range(4):
            middle = top + (at + 0.5) * thick / 4.0
            above = float(np.clip((depth - (middle - thick / 8.0)) / (thick / 4.0), 0.0, 1.0))
            if cone is not None and (middle <= from_m or depth == np.inf):
                mpa = _one(np.interp(middle, site.cone_depth_m, cone))
            else:
                mpa = start + (stop - start) * min((middle - from_m) / (depth - from_m), 1.0)
            slices.append(above * leaves(mpa) + (1.0 - above) * leaves(stop * ratio))
    passes = np.stack(slices)
    passes[2:] = np.minimum.accumulate(passes[2:], axis=0)  # under 5 cm nothing is easier than what lies above it
    below = np.clip(BOTTOM_M - depth, 0.0, THICK_M) / THICK_M
    return passes.reshape(4, 4, 1).mean(axis=1), 1.0 - below


def _lanes(mix: Ground, p: dict[str, np.ndarray], crown: dict[str, np.ndarray]) -> dict[str, np.ndarray]:
    factor, above = mix.strength
    breath, air_filled, drains, run_on = mix.air
    store, turf, mulch, bare, paved, takes, *irrigation = mix.water
    released, nitrogen_turf, litter_nitrogen, added, lock_up = mix.nutrition
    years, = mix.establishment
    curve = p["root_depth_curve"]
    shares = curve ** (100.0 * TOP_M) - curve ** (100.0 * BOTTOM_M)
    shares = shares / shares.sum(axis=0)
    turf, open_part = np.minimum(turf, 1.0 - paved), 1.0 - paved * (1.0 - p["rootable_under_paving"])
    room = 1.0 - TURF_TAKES * p["turf_root_cut"] * turf / open_part
    rooting = np.maximum(factor * breath * room, 0.001)
    free = p["free_root_spread_ratio"]
    topsoil = (shares * rooting)[:2].sum(axis=0) / shares[:2].sum(axis=0)
    advance = np.maximum(p["root_advance_m_year"] * np.sqrt(topsoil), 1e-9) * years
    spread = np.minimum(((5.5 * crown["trunk_diameter_m"] + advance) / crown["crown_radius_m"]) ** 2, free)
    rooted = spread * open_part
    reach = np.minimum(rooted / free, 1.0)
    kept = 1.0 - p["plasticity"]
    own, others = 1.0 / rooted, crown["neighbours"] * np.maximum(0.0, 1.0 - 1.0 / rooted)
    fits = np.minimum(1.0, (1.0 - paved - turf) / np.maximum(mulch + bare, 1e-12))
    bare, covered = bare * fits, 1.0 - paved - turf - bare * fits
    supply = ((released * rooting[:2]).sum(axis=0) + 8.0 * reach) * (1.0 - 0.4 * nitrogen_turf)
    supply = supply + litter_nitrogen * rooting[0] + added
    return {
        "store": store, "stands": 1000.0 * air_filled * THICK_M * above, "roots": shares * rooting**kept,
        "reach": reach**kept, "own": own, "others": others, "sigma": mix.salt[0],
        "kcb": p["basal_crop_coefficient"] * crown["leaf"], "turf": p["turf_coefficient"] * turf / open_part,
        "turf_top": p["turf_topsoil_share"],
        "evaporates": (bare + covered * (1.0 - p["mulch_evaporation_cut"])) / open_part,
        "arrives": (1.0 - paved) / open_part * run_on, "joints": p["joint_rain_share"] * paved / open_part,
        "takes": takes * (1.0 - paved) / open_part, "puddles": fixed("surface_store_mm") * (1.0 - paved) / open_part,
        "drains": drains, "reserve": p["root_reserve"], "irrigation": irrigation[0], "every": irrigation[1],
        "first": irrigation[2], "last": irrigation[3],
        "nitrogen": supply * rooted * (1.0 - others) / p["nitrogen_demand_kg_ha"], "lock_up": lock_up,
    }


def _seasons(lane: dict[str, np.ndarray], weather: DailyWeather, window: int, world: World,
             seed: int) -> tuple[np.ndarray, np.ndarray]:
    """Elongation this spring and transpiration late last summer, day by day."""
    season = season_of(weather, window)
    rng = np.random.default_rng(seed)
    count = len(lane["sigma"])
    water, perched = lane["store"].copy(), np.zeros(count)
    alive, drowned_days = np.ones((4, count)), np.zeros((4, count))
    spring, bud_set = np.zeros(count), np.zeros(count)
    for day, (rain, et0, leaf) in enumerate(zip(season.rain_mm, season.et0_mm, season.leaf, strict=True)):
        doy = int(season.day_of_year[day])
        watered = (doy >= lane["first"]) & (doy <= lane["last"]) & ((doy - lane["first"]) % lane["every"] == 0)
        cover = np.minimum(1.0, lane["own"] + lane["others"])
        through = (rain - min(rain, 1.4 * leaf) * cover) * lane["arrives"]
        irrigation = lane["irrigation"] * watered
        hours = _hours(rain, doy, rng) if world.storms else None
        free = _soaks(lane, through, irrigation, hours) + rain * lane["joints"] + perched
        for layer in range(4):
            into = np.minimum(free, lane["store"][layer] - water[layer])
            water[layer] += into
            free = free - into
        perched = np.minimum(free - np.minimum(free, lane["drains"]), lane["stands"].sum(axis=0))
        standing, left = np.zeros((4, count)), perched.copy()
        for layer in (3, 2, 1, 0):
            here = np.minimum(left, lane["stands"][layer])
            standing[layer] = here / np.maximum(lane["stands"][layer], 1e-12)
            left -= here
        roots = lane["roots"] * alive
        grows, drinks = _drink(lane, water, standing, roots, et0, leaf, cover)
        if world.memory:
            mean_c = (weather.t_min_c[day] + weather.t_max_c[day]) / 2.0
            warmth = np.clip((mean_c - COLD_C) / (WARM_C - COLD_C), 0.0, 1.0)
            drowned_days = np.where(standing > DROWNED, drowned_days + 1, 0)
            regrown = REGROWN_A_DAY * (1.0 - alive) * (standing <= DROWNED)
            alive += np.where(drowned_days > DAYS_BORNE, -LOST_A_DAY * alive, regrown) * warmth
        if season.spring[0] <= day < season.spring[1]:
            spring += grows
        if season.bud_set[0] <= day < season.bud_set[1]:
            bud_set += drinks
    return spring / (season.spring[1] - season.spring[0]), bud_set / (season.bud_set[1] - season.bud_set[0])


def _drink(lane: dict[str, np.ndarray], water: np.ndarray, standing: np.ndarray, roots: np.ndarray, et0: float,
           leaf: float, cover: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Takes the day's water from the layers; gives elongation and transpiration."""
    x = water / lane["store"]
    demand = lane["kcb"] * et0 * (0.15 + 0.85 * leaf)
    ready = np.clip(0.5 + 0.04 * (5.0 - demand * (lane["own"] + lane["others"]) - lane["turf"] * et0), 0.1, 0.8)
    supply = np.minimum(1.0, x / (1.0 - ready)) * (1.0 - standing)
    stretch = np.minimum(supply, np.clip((x - 0.3) / 0.45, 0.0, 1.0))
    weight = roots / roots.sum(axis=0)
    capacity = np.minimum(lane["reach"] * roots.sum(axis=0), 1.0)

    def meets(share: np.ndarray) -> np.ndarray:
        return share * (1.0 + lane["reserve"]) / (share + lane["reserve"])

    reachable = (weight * supply).sum(axis=0)
    transpires = meets(capacity * reachable) * lane["sigma"]
    grows = meets(capacity * (weight * stretch).sum(axis=0)) * lane["sigma"]
    uptake = demand * (lane["own"] * transpires + lane["others"] * meets(reachable))
    drawn = uptake * weight * supply / np.maximum(reachable, 1e-300)
    asks = lane["turf"] * et0 * (1.0 - 0.5 * np.minimum(1.0, lane["own"]) * leaf)
    turf = np.zeros_like(x)
    turf[0] = asks * lane["turf_top"] * np.minimum(1.0, x[0] / 0.6)
    turf[1] = asks * (1.0 - lane["turf_top"]) * np.minimum(1.0, x[1] / 0.6)
    turf[0] += 1.05 * et0 * lane["evaporates"] * (1.0 - 0.6 * cover * leaf) * np.minimum(1.0, x[0] / 0.7)
    all_drawn = drawn + turf
    met = np.minimum(1.0, water / np.maximum(all_drawn, 1e-300))
    water -= all_drawn * met
    np.maximum(water, 0.0, out=water)
    taken = (drawn * met).sum(axis=0)
    return grows, transpires * np.where(uptake > 0.0, taken / np.maximum(uptake, 1e-300), 1.0)


def _hours(rain_mm: float, day_of_year: int, rng: np.random.Generator) -> np.ndarray:
    """Share of the day's rain in each wet hour: few and uneven in summer, more in winter. JUDGEMENT."""
    warm = 0.5 - 0.5 * np.cos(2.0 * np.pi * (day_of_year - 15) / 365.0)
    hours = 1 + rng.poisson(7.0 - 5.0 * warm)
    weights = rng.exponential(size=hours)
    return np.asarray(weights / weights.sum()) if rain_mm > 0.0 else np.ones(1)


def _soaks(lane: dict[str, np.ndarray], through: np.ndarray, irrigation: np.ndarray,
           hours: np.ndarray | None) -> np.ndarray:
    """What of the day's water goes in: the model's curve, or hour by hour with puddles that carry over."""
    if hours is None:
        capacity = np.maximum(fixed("storm_hours") * lane["takes"] + lane["puddles"], 1e-9)
        return np.asarray(capacity * (1.0 - np.exp(-(through + irrigation) / capacity)))
    soaked, puddle = np.zeros_like(through), np.zeros_like(through)
    given = [*(through * share for share in hours), *([irrigation / 4.0] * 4 if irrigation.any() else [])]
    for water in given:
        here = puddle + water
        goes_in = np.minimum(here, lane["takes"])
        puddle = np.minimum(here - goes_in, lane["puddles"])
        soaked += goes_in
    return np.asarray(soaked + puddle)
