"""From a property's readings to the model's inputs of one tree and of its yardstick, drawn over their errors."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial
from math import inf
from typing import Any, cast

import numpy as np

from rootcase.casework.draws import FloatArray, Middle, stream
from rootcase.casework.explain.book import Book
from rootcase.casework.explain.errors import ReadingErrors, draw_reading_errors
from rootcase.casework.explain.ground import Ground, ground_of
from rootcase.casework.explain.laboratory import PERCENT
from rootcase.casework.explain.plant import Luck, plant, root_radius_m
from rootcase.casework.explain.soil import chemistry, water_ways, watering
from rootcase.casework.explain.strength import Strength, strength
from rootcase.casework.explain.surface import covers
from rootcase.casework.explain.texture import LARGEST_CLAY, texture
from rootcase.records.explain import Turned
from rootcase.records.observe import PropertyRecord, Tree
from rootcase.science.soil.saxton_rawls import soil_water
from rootcase.science.tree.fixed import fixed
from rootcase.science.tree.parameters import Parameters, central_parameters, draw_parameters
from rootcase.science.tree.site import Site, forest_floor

OWN_CHEMISTRY = {"bulk_density": "bulk_density_mg_m3", "organic_matter": "organic_matter_pct", "ece": "ece_ds_m",
                 "sar": "sar", "soil_ph": "ph"}
SOIL_KINDS = ("probe_depth", "penetration_profile", "bulk_density", "texture_feel", "sand", "mottle_top")
"""Readings whose depth says how deep the ground is known."""


@dataclass(frozen=True, slots=True)
class TreeInputs:
    """One tree and its yardstick as the model takes them, n draws each."""

    tree: Site
    yardstick: Site
    parameters: Parameters
    read: Mapping[str, tuple[str, ...]]
    """Ids of the readings used, by the kind that stands for the input."""
    assumed: tuple[str, ...]
    """Kinds that were not read and stand in by a prior."""
    yardstick_read: Mapping[str, tuple[str, ...]]
    known_to_m: float
    yardstick_known_to_m: float
    doubts: tuple[str, ...]
    """Keys of the words that say what was taken at a formula's limit."""
    turned: tuple[Turned, ...]


def tree_inputs(record: PropertyRecord, tree: Tree, *, draws: int, seed: int) -> TreeInputs:
    """What the model is told about one tree and its yardstick, and what was assumed for want of a reading.

    Parameters
    ----------
    record : the property, corrections applied.
    tree : the tree.
    draws : how many, above 0.
    seed : start of the random streams.

    Returns
    -------
    TreeInputs : sites of n draws, in SI units.

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    Streams belong to (seed, tree, purpose) and, for what is read at the yardstick, to (seed, yardstick, purpose):
    another tree on the property changes nothing, another reading leaves the other draws as they were, and trees of
    one yardstick share its errors. A missing reading takes a central value by kind of place with the error of a
    reading that was not made, and is named. The yardstick's ground is a forest floor of the tree's texture with
    whatever was read at its own trees in its place; neighbours stay the tree's.

    References
    ----------
    docs/model.md, 1.11. Tables explain/*: JUDGEMENT, row by row.

    Examples
    --------
    >>> from rootcase.records.observe import Place, Property
    >>> place, oak = Place("l", "p", "green", "pitch"), Tree("t", "p", "l", "oak 1", None, None)
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> bare = PropertyRecord(owner, (place,), (oak,), (), (), (), (), (), {})
    >>> inputs = tree_inputs(bare, oak, draws=200, seed=1)
    >>> "probe_depth" in inputs.assumed, inputs.tree.refusal_depth_m.shape, inputs.yardstick.litter
    (True, (200,), 1.0)
    """
    luck = partial(stream, seed, "explain", tree.id)
    yardstick = next((y for y in record.yardsticks if y.id == record.compared_with.get(tree.id)), None)
    kin = tuple(t for t in record.trees if yardstick is not None and t.id in yardstick.tree_ids)
    healthy = ground_of(record, kin) if kin else None
    parameters = draw_parameters(draws, luck("parameters"))
    ground, book, healthy_book = ground_of(record, [tree]), Book(), Book()
    site, hard = _tree_site(ground, healthy, record.property.latitude_deg, parameters, luck, book)
    floor, healthy_to = forest_floor(site), 0.0
    if healthy is not None and yardstick is not None:
        own_luck = partial(stream, seed, "yardstick", yardstick.id)
        floor, healthy_hard = _own_yardstick(floor, healthy, record.property.latitude_deg, parameters, own_luck,
                                             healthy_book)
        healthy_to = max(healthy_hard.known_to_m, _deepest(healthy))
    return TreeInputs(site, floor, parameters, book.read, tuple(dict.fromkeys(book.not_read)), healthy_book.read,
                      max(hard.known_to_m, _deepest(ground)), healthy_to, _doubts(ground),
                      (*book.turned, *(replace(turned, at_yardstick=True) for turned in healthy_book.turned)))


def central_site(record: PropertyRecord, tree: Tree) -> Site:
    """One tree as it was read, without the errors of reading.

    Parameters
    ----------
    record : the property, corrections applied.
    tree : the tree.

    Returns
    -------
    Site of one draw, in SI units.

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    What `tree_inputs` draws around. No seed enters and no id, so that what is measured out by it is the same however
    often it is asked. What was not read stands at its central value.

    References
    ----------
    As `tree_inputs`.

    Examples
    --------
    >>> from rootcase.records.observe import Place, Property
    >>> place, oak = Place("l", "p", "green", "pitch"), Tree("t", "p", "l", "oak 1", None, None)
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> bare = PropertyRecord(owner, (place,), (oak,), (), (), (), (), (), {})
    >>> central_site(bare, oak).turf.round(2).tolist()
    [0.7]
    """
    yardstick = next((y for y in record.yardsticks if y.id == record.compared_with.get(tree.id)), None)
    kin = tuple(t for t in record.trees if yardstick is not None and t.id in yardstick.tree_ids)
    healthy = ground_of(record, kin) if kin else None
    middle = cast(np.random.Generator, Middle())
    return _tree_site(ground_of(record, [tree]), healthy, record.property.latitude_deg, central_parameters(),
                      lambda purpose: middle, Book())[0]


def _tree_site(ground: Ground, healthy: Ground | None, latitude_deg: float, parameters: Parameters, luck: Luck,
               book: Book) -> tuple[Site, Strength]:
    draws = parameters.draws
    errors = draw_reading_errors(draws, luck("errors"))
    own = plant(ground, healthy, latitude_deg, luck, draws, book)
    sand, clay, felt = texture(ground, luck("texture"), draws)
    book.note("texture_feel", felt)
    soil = chemistry(ground, sand, clay, errors, book)
    hard = _hardness(ground, parameters, errors, luck, (sand, clay, soil["organic_matter_pct"]), book)
    years, trunk, radius = (float(np.median(own[name])) for name in
                            ("years_since_planting", "trunk_diameter_m", "crown_radius_m"))
    reach = root_radius_m(years, trunk, radius)
    shares, seen, by_ring = covers(ground, radius, reach, luck("covers"), draws)
    if not by_ring:
        book.note("cover_share_by_ring", ())
    if seen:
        book.note("cover_share_by_ring", seen)
    told: dict[str, Any] = (own | soil | hard.fields | shares | water_ways(ground, luck, draws, book)
                            | watering(ground, latitude_deg < 0, luck, draws, book))
    return Site(sand=sand, clay=clay, **told), hard


def _own_yardstick(floor: Site, healthy: Ground, latitude_deg: float, parameters: Parameters, luck: Luck,
                   book: Book) -> tuple[Site, Strength]:
    """The forest floor with whatever was read at the yardstick's own trees in its place."""
    draws = parameters.draws
    errors = draw_reading_errors(draws, luck("errors"))
    sand, clay = np.broadcast_to(floor.sand, draws), np.broadcast_to(floor.clay, draws)
    soil = chemistry(healthy, sand, clay, errors, book)
    read: dict[str, Any] = {field: soil[field] for kind, field in OWN_CHEMISTRY.items() if kind in book.read}
    organic = np.broadcast_to(read.get("organic_matter_pct", floor.organic_matter_pct), draws)
    hard = _hardness(healthy, parameters, errors, luck, (sand, clay, organic), book)
    if hard.readings:
        read |= {name: value for name, value in hard.fields.items() if name not in _assumed_fields(hard)}
        if "probe_depth" not in hard.assumed:
            read["below_refusal_ratio"] = np.nan  # its own rod tells nothing below, so that is drawn as the tree's
    radius = float(np.median(floor.crown_radius_m))
    shares, seen, _ = covers(healthy, radius, root_radius_m(inf, 0.0, radius), luck("covers"), draws)
    if seen:
        book.note("cover_share_by_ring", seen)
        read |= shares
    watered = watering(healthy, latitude_deg < 0, luck, draws, book)
    if "irrigation_kind" in book.read:
        read |= watered
    return replace(floor, **read, **water_ways(healthy, luck, draws, book)), hard


def _hardness(ground: Ground, parameters: Parameters, errors: ReadingErrors, luck: Luck,
              soil: tuple[FloatArray, FloatArray, FloatArray], book: Book) -> Strength:
    sand, clay, organic_matter_pct = soil
    water = soil_water(sand, clay, np.minimum(organic_matter_pct, fixed("largest_organic_matter_pct")))
    dry = np.minimum(water.wilting_point / water.field_capacity, 1.0)
    rng = luck("hardness")
    found = strength(ground, parameters, errors, rng.standard_normal(parameters.draws),
                     np.stack([dry, np.ones_like(dry)]), rng.random(parameters.draws))
    if found.readings:
        book.note("penetration_profile" if "cone_depth_m" in found.fields else "probe_depth", found.readings)
    book.not_read.extend(found.assumed)
    return found


def _assumed_fields(hard: Strength) -> tuple[str, ...]:
    """Inputs a kind of place stands in for; a yardstick keeps the forest floor's instead."""
    stand_in = {"probe_depth": ("refusal_depth_m", "reference_resistance_mpa"),
                "penetration_profile": ("surface_resistance_mpa",)}
    return tuple(field for kind in hard.assumed for field in stand_in[kind])


def _doubts(ground: Ground) -> tuple[str, ...]:
    """What was read beyond the source of the water formulas, which then take their limit."""
    largest = fixed("largest_organic_matter_pct") / PERCENT
    beyond = {"explain.doubt.clay": any((r.value or 0.0) > LARGEST_CLAY for r in ground.numbers("clay")),
              "explain.doubt.organic_matter": any((r.value or 0.0) > largest for r in ground.topsoil("organic_matter"))}
    return tuple(key for key, holds in beyond.items() if holds)


def _deepest(ground: Ground) -> float:
    """Deepest depth a reading of the soil reaches. [m]"""
    return max((r.depth_to_m or r.depth_from_m or 0.0 for kind in SOIL_KINDS for r in ground.take(kind)), default=0.0)
