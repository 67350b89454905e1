"""From readings of shoots to the arrays that are pooled."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from rootcase.casework.species import growth_class_of
from rootcase.ground.dates import last_finished_season, season_year
from rootcase.records.observe import PropertyRecord, Reading, Tree
from rootcase.science.inference.pooling import Shoots
from rootcase.tables.load import table

SHOOT_KINDS = ("shoot_length_by_year", "shoot_length_last")


@dataclass(frozen=True, slots=True)
class ShootReading:
    """One shoot of one growth year; no length where it could not be read."""

    year: int
    shoot: str
    position: str
    length_mm: float | None
    reading_id: str


@dataclass(frozen=True, slots=True)
class Gathered:
    """Who is in the pool, and what was read of them."""

    trees: tuple[Tree, ...]
    readings: Mapping[str, tuple[ShootReading, ...]]
    years: tuple[int, ...]
    groups: tuple[str, ...]
    group_of: Mapping[str, str]
    yardstick_trees: frozenset[str]
    position_differs: frozenset[str]
    arrays: Shoots | None
    """None where no shoot was read at all."""


def species_of(record: PropertyRecord, tree_id: str) -> str:
    """What kind a tree is: the botanical name as last read, or an empty text.

    Parameters
    ----------
    record : the property, corrections applied.
    tree_id : the tree.

    Returns
    -------
    The name as in the table of species, or an empty text.

    Raises
    ------
    Nothing.

    Notes
    -----
    No kind is guessed.

    References
    ----------
    None: it looks up what was read.

    Examples
    --------
    >>> from rootcase.records.observe import Property
    >>> ground = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> empty = PropertyRecord(ground, (), (), (), (), (), (), (), {})
    >>> species_of(empty, "t")
    ''
    """
    named = [r.choice for r in record.of(tree_id, kind="species") if r.choice]
    return named[-1] if named else ""


def shoots_of(record: PropertyRecord, tree_id: str) -> tuple[ShootReading, ...]:
    """Which shoots of a tree may be compared: sunlit, finished, grown where the tree stands now.

    Parameters
    ----------
    record : the property, corrections applied.
    tree_id : the tree.

    Returns
    -------
    One row a shoot and year, lengths in [mm]; a year that could not be read has none.

    Raises
    ------
    Nothing.

    Notes
    -----
    Shaded shoots, unfinished seasons and seasons up to planting are left out; a length of zero is not a length.

    References
    ----------
    Leader, upper and lower shoots differ by half: Bai, Chaney and Qi 2004, J. Arboriculture 30(3):137-145, tables
    1-4 (numbers seen, authors from memory). The rest is common practice, no source.

    Examples
    --------
    >>> from rootcase.records.observe import Property
    >>> ground = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> empty = PropertyRecord(ground, (), (), (), (), (), (), (), {})
    >>> shoots_of(empty, "t")
    ()
    """
    planted = [int(r.value) for r in record.of(tree_id, kind="planting_year") if r.value is not None]
    first_year = planted[-1] + 1 if planted else 0
    latitude_deg = record.property.latitude_deg
    found = []
    for reading in (r for r in record.of(tree_id) if r.kind in SHOOT_KINDS):
        position = reading.attributes.get("position") or _position_same_day(record, reading)
        finished = last_finished_season(reading.day, latitude_deg)
        year = reading.growth_year or finished
        if position == "shaded" or not first_year <= year <= finished:
            continue
        if reading.nothing == "not read" or (reading.value is not None and reading.value > 0):
            shoot = f"{season_year(reading.day, latitude_deg)} {reading.series}"
            found.append(ShootReading(year, shoot, position, reading.value, reading.id))
    return tuple(found)


def _position_same_day(record: PropertyRecord, reading: Reading) -> str:
    same = [r.choice for r in record.of(reading.of, kind="shoot_position") if r.day == reading.day and r.choice]
    return same[-1] if same else ""


def growth_prior(species: str) -> tuple[float, float]:
    """What stands in for a kind of which no healthy tree was read.

    Parameters
    ----------
    species : botanical name or synonym; of a kind the table of species lacks its genus counts, else the medium class.

    Returns
    -------
    Natural log of the growth class's typical shoot [mm], and its log standard deviation.

    Raises
    ------
    Nothing.

    Notes
    -----
    A class is a weak prior: its middle and width are judgement.

    References
    ----------
    Tables growth_class (limits, seen), species and compare/growth_prior (middle and width, JUDGEMENT).

    Examples
    --------
    >>> round(float(np.exp(growth_prior("no such kind")[0])))
    450
    """
    row = table("compare/growth_prior").row(growth_class=growth_class_of(species))
    return float(np.log(row["typical_mm"])), float(row["log_sd"])


def gather(record: PropertyRecord) -> Gathered:
    """Who is pooled with whom: trees of the yardsticks first, then the compared ones, with the arrays of their shoots.

    Parameters
    ----------
    record : the property, corrections applied.

    Returns
    -------
    Gathered; its arrays hold natural logs of lengths in [mm], and are None where no shoot was read.

    Raises
    ------
    Nothing.

    Notes
    -----
    A tree without a yardstick is grouped by its species, so that its growth class stands in; one whose kind nobody
    told stands alone.

    References
    ----------
    Table compare/pooling for what another or unknown position of shoots costs.

    Examples
    --------
    >>> from rootcase.records.observe import Property
    >>> ground = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> empty = PropertyRecord(ground, (), (), (), (), (), (), (), {})
    >>> gather(empty).arrays is None
    True
    """
    yardstick_of = {tree_id: y.id for y in record.yardsticks for tree_id in y.tree_ids}
    compared = [t for t in record.trees if t.id not in yardstick_of]
    healthy = [t for t in record.trees if t.id in yardstick_of]
    trees = tuple(healthy + compared)
    group_of = {t.id: yardstick_of.get(t.id) or record.compared_with.get(t.id)
                or f"species {species_of(record, t.id) or t.id}" for t in trees}
    groups = tuple(sorted(set(group_of.values())))
    readings = {t.id: shoots_of(record, t.id) for t in trees}
    years = tuple(sorted({s.year for found in readings.values() for s in found if s.length_mm}))
    positions = {g: {s.position for t in healthy if group_of[t.id] == g for s in readings[t.id]} for g in groups}
    differs = frozenset(t.id for t in compared if positions[group_of[t.id]] and readings[t.id]
                        and not {s.position for s in readings[t.id]} <= positions[group_of[t.id]] - {""})
    arrays = _arrays(record, trees, readings, years, groups, group_of, frozenset(yardstick_of), differs)
    return Gathered(trees, readings, years, groups, group_of, frozenset(yardstick_of), differs, arrays)


def _arrays(record: PropertyRecord, trees: tuple[Tree, ...], readings: Mapping[str, tuple[ShootReading, ...]],
            years: tuple[int, ...], groups: tuple[str, ...], group_of: Mapping[str, str],
            healthy: frozenset[str], differs: frozenset[str]) -> Shoots | None:
    rows = sorted((i, years.index(s.year), s.shoot, float(np.log(s.length_mm)))
                  for i, t in enumerate(trees) for s in readings[t.id] if s.length_mm)
    if not rows:
        return None
    species = [species_of(record, t.id) for t in trees]
    kinds = [name or t.id for t, name in zip(trees, species, strict=True)]
    spread = {row["name"]: float(row["size"]) for row in table("compare/pooling").rows}
    shoot_names = sorted({(i, shoot) for i, _, shoot, _ in rows})
    priors = [growth_prior(next(s for t, s in zip(trees, species, strict=True) if group_of[t.id] == g)) for g in groups]
    return Shoots(
        log_length=np.array([row[3] for row in rows]),
        tree=np.array([row[0] for row in rows]), year=np.array([row[1] for row in rows]),
        shoot=np.array([shoot_names.index((row[0], row[2])) for row in rows]),
        tree_group=np.array([groups.index(group_of[t.id]) for t in trees]),
        tree_is_yardstick=np.array([t.id in healthy for t in trees]),
        tree_species=_numbered(kinds), tree_genus=_numbered([kind.split(" ")[0] for kind in kinds]),
        tree_place=_numbered([t.place_id for t in trees]),
        tree_extra_sd=np.array([spread["position"] * (t.id in differs) for t in trees]),
        group_prior_log_mean=np.array([prior[0] for prior in priors]),
        group_prior_log_sd=np.array([prior[1] for prior in priors]), years=len(years))


def _numbered(names: list[str]) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
    order = sorted(set(names))
    return np.array([order.index(name) for name in names], dtype=np.int64)
