"""What every implementation of the model must pass, on the sites of its cases."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from rootcase.science.tree.attribution import LIMITS, attribute
from rootcase.science.tree.effects import reserve
from rootcase.science.tree.fixed import Array
from rootcase.science.tree.growth import growth, run
from rootcase.science.tree.lanes import lanes_of
from rootcase.science.tree.parameters import central_parameters, draw_parameters
from rootcase.science.tree.season import DailyWeather
from rootcase.science.tree.site import Site, forest_floor, salt_tolerance
from tests.archetypes import archetypes, as_published, greensboro_twice, seattle, weather_of, with_reading_errors

pytestmark = pytest.mark.property

LOAMS = ("dry lawn loam, dry year", "healthy lawn tree", "sand lawn")
DRAINED = tuple(name for name in archetypes() if name != "waterlogged clay")
FLAT = 0.001
"""Growth may be this much the other way and still count as flat."""


def steps(site: Site, change: str, values: list[float], draws: int, weather: DailyWeather,
          make: Callable[[Site, float], Site] | None = None) -> Array:
    """Growth at each value of one input (values, draws), everything else the same."""
    rng = np.random.default_rng(5)
    parameters = draw_parameters(draws, rng)
    base = with_reading_errors(site, draws, rng)
    changed = make or (lambda ground, value: replace(ground, **{change: value}))
    return np.stack([growth(changed(base, value), parameters, weather, 1).index for value in values])


def paving(ground: Site, share: float) -> Site:
    return replace(ground, paved=share, turf=1.0 - share, litter=0.0, mulch=0.0, bare=0.0)


def mulching(ground: Site, share: float) -> Site:
    return replace(ground, mulch=share, turf=1.0 - share, litter=0.0, bare=0.0, paved=0.0)


CHANGES = {
    "refusal_depth_m": ([0.076, 0.15, 0.3, 0.6, 1.2], 1, None),
    "infiltration_ring_mm_h": ([1.0, 5.0, 20.0, 80.0, 300.0], 1, None),
    "irrigation_mm": ([0.0, 3.0, 6.0, 10.7], 1, None),
    "years_since_planting": ([0.0, 1.0, 3.0, 8.0, np.inf], 1, None),
    "surface_resistance_mpa": ([0.5, 1.0, 1.5, 2.2], -1, None),
    "paved": ([0.0, 0.3, 0.6, 0.9], -1, paving),
    "ece_ds_m": ([0.4, 2.0, 4.0, 8.0], -1, None),
    "mulch": ([0.0, 0.3, 0.6, 1.0], 1, mulching),
}
"""Values in order, whether growth rises (1) or falls (-1) with them, how the site changes."""


@pytest.mark.parametrize(("name", "change"), [
    (name, change) for name in DRAINED for change in CHANGES
    # Paving that takes the place of a forest round the tree takes its neighbours' roots too.
    if (name, change) != ("woodland clay", "paved")])
def test_more_of_it_is_better_or_worse_on_the_whole(name: str, change: str, long: bool) -> None:
    values, sign, make = CHANGES[change]
    grown = sign * steps(archetypes()[name], change, values, 1000 if long else 250, weather_of(name), make)
    assert np.diff(np.median(grown, axis=1)).min() >= -FLAT
    assert np.diff(grown.mean(axis=1)).min() >= -FLAT


@pytest.mark.parametrize("name", LOAMS)
@pytest.mark.parametrize(("change", "draws"), [
    ("infiltration_ring_mm_h", 1.0), ("irrigation_mm", 1.0), ("years_since_planting", 1.0), ("ece_ds_m", 0.99),
    ("surface_resistance_mpa", 0.99), ("mulch", 0.99), ("paved", 0.98)])
def test_on_ground_that_drains_it_holds_draw_by_draw(name: str, change: str, draws: float) -> None:
    values, sign, make = CHANGES[change]
    grown = sign * steps(archetypes()[name], change, values, 1000, weather_of(name), make)
    assert np.mean(np.all(np.diff(grown, axis=0) >= -1e-9, axis=0)) >= draws


def test_depth_is_not_promised_draw_by_draw() -> None:
    # A larger root system drinks the same scarce water sooner, and perched water wets deeper roots.
    values, _, _ = CHANGES["refusal_depth_m"]
    grown = steps(archetypes()["sports field clay"], "refusal_depth_m", values, 1000, greensboro_twice())
    losing = np.mean(np.any(np.diff(grown, axis=0) < 0.0, axis=0))
    assert 0.1 < losing < 0.4  # reference: prototype had .20


def test_water_on_ground_that_stands_in_water_does_harm() -> None:
    values, _, _ = CHANGES["irrigation_mm"]
    grown = steps(archetypes()["waterlogged clay"], "irrigation_mm", values, 250, greensboro_twice())
    assert np.median(grown[-1]) < np.median(grown[0])


def test_rain_every_day_leaves_only_the_roots_to_limit() -> None:
    weather = greensboro_twice()
    wet = replace(weather, rain_mm=np.full(len(weather.rain_mm), 8.0))
    lanes = lanes_of(archetypes()["dry lawn loam, dry year"], as_published(central_parameters()))
    spring = float(run(lanes, wet, 1).spring[0])
    assert spring == pytest.approx(float(reserve(lanes.root_capacity, lanes.root_reserve)[0]), abs=0.01)
    assert spring == pytest.approx(0.87, abs=0.04)  # reference: prototype, on a loam it does not describe


def test_a_dry_late_summer_shortens_next_year_s_shoots() -> None:
    # Rain from 15 July to 15 September was 17, 89, 69 mm before; growth .24, .39, .40 (reference: prototype)
    lawn, central = archetypes()["dry lawn loam, dry year"], as_published(central_parameters())
    grown = [float(growth(lawn, central, seattle(year), 1).index[0]) for year in (2013, 2014, 2015)]
    assert grown[0] < 0.75 * min(grown[1:])
    assert np.abs(np.array(grown) - [0.24, 0.39, 0.40]).max() <= 0.05


def test_the_seed_matters_little(long: bool) -> None:
    names = list(archetypes()) if long else ["sports field clay", "healthy lawn tree", "irrigated lawn loam"]
    for name in names:
        quantiles = []
        for seed in range(10 if long else 6):
            rng = np.random.default_rng(seed)
            parameters = draw_parameters(1000, rng)
            site = with_reading_errors(archetypes()[name], 1000, rng)
            here, there = (growth(ground, parameters, weather_of(name), 1).index
                           for ground in (site, forest_floor(site)))
            quantiles.append(np.quantile(here / there, [0.5, 0.05, 0.95]))
        median, low, high = np.std(quantiles, axis=0)
        assert median <= 0.01, name
        assert max(low, high) <= 0.02, name


def one_limit_bad(limit: str, rng: np.random.Generator) -> Site:
    """A mulched tree on good ground with one thing wrong, badly but not equally so."""
    good = archetypes()["mulched bed loam"]
    sand, clay = rng.choice(np.array([[0.4, 0.2], [0.3, 0.3], [0.65, 0.1]]))
    site = replace(good, sand=float(sand), clay=float(clay), refusal_depth_m=1.1, surface_resistance_mpa=0.8,
                   bulk_density_mg_m3=np.nan, organic_matter_pct=rng.uniform(4.0, 5.0))
    if limit == "strength":
        return replace(site, refusal_depth_m=rng.uniform(0.06, 0.2), surface_resistance_mpa=rng.uniform(1.4, 2.2))
    if limit == "air":
        return replace(site, mottle_depth_m=rng.uniform(0.0, 0.05), drainage_mm_day=rng.uniform(0.2, 0.4), run_on=2.5)
    if limit == "water":
        paved = rng.uniform(0.4, 0.9)
        return replace(site, mulch=0.0, turf=1.0 - paved, paved=paved)
    if limit == "salt":
        threshold, slope = salt_tolerance("low")
        return replace(site, ece_ds_m=rng.uniform(5.0, 8.0), salt_threshold_ds_m=threshold, salt_slope_pct=slope)
    if limit == "nutrition":
        return replace(site, ph=rng.uniform(8.0, 8.6), lock_up_per_ph=0.22)
    return replace(site, years_since_planting=rng.uniform(0.0, 1.0), trunk_diameter_m=0.05, crown_radius_m=1.2)


def test_a_tree_with_one_thing_wrong_is_told_which(long: bool) -> None:
    trees, draws = (100, 1000) if long else (24, 100)
    named = []
    for number in range(trees):
        rng = np.random.default_rng(number)
        limit = LIMITS[number % len(LIMITS)]
        site = with_reading_errors(one_limit_bad(limit, rng), draws, rng)
        found = attribute(site, forest_floor(site), draw_parameters(draws, rng), [greensboro_twice()], 2)
        named.append(LIMITS[int(np.argmax(found.loss.mean(axis=1)))] == limit)
    assert np.mean(named) >= 0.95
