"""What the model must know of the tree itself: its size, its years on the spot, leaf, neighbours, kind."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import inf
from statistics import mode
from typing import Any

import numpy as np

from rootcase.casework.draws import FloatArray
from rootcase.casework.explain.book import Book
from rootcase.casework.explain.errors import assumed, centre, figure, floor_sd, read_sd, spread
from rootcase.casework.explain.ground import M_PER_MM, Ground
from rootcase.casework.species import known_as
from rootcase.ground.dates import last_finished_season
from rootcase.records.observe import Reading, by_stem
from rootcase.science.tree.fixed import fixed
from rootcase.science.tree.site import lock_up_risk, salt_tolerance
from rootcase.science.tree.trunk import one_trunk_mm
from rootcase.tables.readings import kinds

SPRING_WINDOW_DAYS = {"fixed": 45, "free": 100}
UNKNOWN_SPECIES = {"salt_tolerance": "low", "lime_chlorosis_risk": "medium", "growth_habit": "fixed"}
"""Where the kind is not in the table. JUDGEMENT."""

Luck = Callable[[str], np.random.Generator]
"""The random stream of one purpose, so that a reading more or less leaves the other draws as they were."""


def plant(ground: Ground, healthy: Ground | None, latitude_deg: float, luck: Luck, draws: int,
          book: Book) -> dict[str, Any]:
    """Fields of the model's Site that belong to the tree and not to its ground.

    Parameters
    ----------
    ground : what was read at the tree.
    healthy : what was read at its yardstick's trees; None where there is none.
    latitude_deg : north above zero. [deg]
    luck : random streams by purpose.
    draws : how many, above 0.
    book : where readings used and not made are noted.

    Returns
    -------
    Fields by name. [m, yr, shares as the names say]

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    Trunk and crown stand in for one another. A planting year nobody knows is reckoned from the trunk; a tree in
    woodland, or one known to have grown from seed, is established. Leaf is crown density over the yardstick's.

    References
    ----------
    Tables explain/quantities, explain/assumed_readings, species: JUDGEMENT, row by row.

    Examples
    --------
    >>> def luck(purpose):
    ...     return np.random.default_rng(1)
    >>> fields = plant(Ground("woodland", {}), None, 47.0, luck, 3, Book())
    >>> fields["years_since_planting"].tolist(), fields["neighbours"], fields["leaf"]
    ([inf, inf, inf], 1.0, 1.0)
    """
    trunk, radius = _size(ground, luck("size").standard_normal((2, draws)), book)
    years = _years(ground, latitude_deg, trunk, luck("years").standard_normal((2, draws)), book)
    return {"trunk_diameter_m": trunk, "crown_radius_m": radius, "years_since_planting": years,
            "leaf": _leaf(ground, healthy, luck("leaf").standard_normal(draws)),
            "neighbours": _neighbours(ground), **_species(ground, book)}


def root_radius_m(years: float, trunk_m: float, radius_m: float) -> float:
    """Radius over which covers are weighted: the free root system's, or a planted tree's so far.

    Parameters
    ----------
    years : since planting; infinite for an established tree. [yr], 0 or above
    trunk_m : trunk diameter. [m]
    radius_m : radius of the crown. [m]

    Returns
    -------
    Radius. [m]

    Raises
    ------
    Nothing.

    Notes
    -----
    Central figures; the model draws the spread itself.

    References
    ----------
    Table explain/quantities: JUDGEMENT.

    Examples
    --------
    >>> round(root_radius_m(inf, 0.4, 5.0), 2), round(root_radius_m(2.0, 0.06, 1.2), 2)
    (7.42, 0.93)
    """
    free = radius_m * float(np.sqrt(figure("rooted_per_crown_area")))
    if years == inf:
        return free
    so_far = fixed("root_ball_per_trunk") * trunk_m + figure("early_root_advance_m_year") * years
    return max(min(free, so_far), figure("least_root_radius_m"))


def _size(ground: Ground, z: FloatArray, book: Book) -> tuple[FloatArray, FloatArray]:
    """Trunk diameter and crown radius; where one was not read it follows from the other."""
    trunks, spreads = ground.numbers("dbh"), ground.numbers("crown_spread")
    book.note("dbh", trunks)
    book.note("crown_spread", spreads)
    per_trunk = figure("crown_radius_per_trunk")
    trunk_m = _one_trunk_m(trunks) if trunks else figure("planted_trunk_m")
    radius_m = centre(spreads, "crown_radius") / 2.0 if spreads else trunk_m * per_trunk
    if spreads and not trunks:
        trunk_m = radius_m / per_trunk
    trunk = spread(trunk_m, "trunk_diameter", floor_sd("trunk_diameter") if trunks else None, z[1])
    paced = read_sd("crown_spread", len(spreads), "crown_radius") if spreads else None
    radius = spread(radius_m, "crown_radius", paced, z[0])
    return np.clip(trunk, 0.005, 9.0), np.clip(radius, 0.1, 35.0)


def _one_trunk_m(trunks: Sequence[Reading]) -> float:
    """The trunk as it was read; of several stems the one with the basal area of all."""
    return float(one_trunk_mm([centre(stem, "trunk_diameter") for stem in by_stem(trunks)])) * M_PER_MM


def _years(ground: Ground, latitude_deg: float, trunk_m: FloatArray, z: FloatArray, book: Book) -> FloatArray:
    """Growing seasons from planting to the newest look; infinite for a tree that grew here from seed."""
    stock, planted = ground.choice("stock_kind"), ground.numbers("planting_year")
    never = np.full(trunk_m.size, inf)
    if stock is not None and stock.choice == "self_sown":
        book.note("planting_year", [stock])
        return never
    if planted:
        latest = max(planted, key=lambda r: (r.day, r.id))
        book.note("planting_year", [latest])
        basis = ground.choice("planting_year_basis")
        told = basis.choice if basis is not None else "guess"
        sd = 0.0 if told == "record" else kinds()["planting_year"].error_size or 0.0
        sd *= figure("guessed_year_factor") if told == "guess" else 1.0
        season = last_finished_season(ground.newest_day, latitude_deg)
        return np.asarray(np.maximum(season - (latest.value or season) + sd * z[0], 0.0))
    if ground.place_kind == "woodland":
        return never
    book.note("planting_year", ())
    yearly = figure("trunk_growth_m_year") * np.exp(figure("trunk_growth_log_sd") * z[1])
    return np.asarray(np.maximum((trunk_m - figure("planted_trunk_m")) / yearly, 0.0))


def _neighbours(ground: Ground) -> float:
    """Share of the ground beside the tree under other crowns: from the light it stands in, else from its place."""
    light = ground.numbers("crown_exposure")
    if light:
        return float(np.clip(1.0 - np.mean([r.value for r in light if r.value is not None]) / 5.0, 0.0, 1.0))
    return assumed(ground.place_kind, "neighbours")


def _leaf(ground: Ground, healthy: Ground | None, z: FloatArray) -> FloatArray | float:
    density = ground.numbers("crown_density")
    if not density:
        return 1.0
    theirs = healthy.numbers("crown_density") if healthy is not None else ()
    full = centre(theirs, "leaf") if theirs else figure("healthy_crown_density")
    drawn = spread(centre(density, "leaf"), "leaf", read_sd("crown_density", len(density), "leaf"), z)
    return np.asarray(np.clip(drawn / max(full, 0.05), 0.05, 1.0))


def _species(ground: Ground, book: Book) -> dict[str, Any]:
    named = [r for r in ground.take("species") if r.choice]
    kind = _kind(named[-1].choice or "") if named else None
    book.note("species", named if kind is not None else ())
    known = kind or UNKNOWN_SPECIES
    threshold, slope = salt_tolerance(known["salt_tolerance"])
    return {"salt_threshold_ds_m": threshold, "salt_slope_pct": slope,
            "lock_up_per_ph": lock_up_risk(known["lime_chlorosis_risk"]),
            "spring_window_days": SPRING_WINDOW_DAYS[known["growth_habit"]]}


def _kind(name: str) -> dict[str, str] | None:
    """Tolerances of a species; of most of its genus where only that is known; None where the table has neither."""
    same = known_as(name)
    return {column: mode(str(row[column]) for row in same) for column in UNKNOWN_SPECIES} if same else None
