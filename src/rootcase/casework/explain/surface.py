"""What lies on the ground over the roots: covers by ring, or one class, or what its kind of place usually has."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from rootcase.casework.draws import FloatArray
from rootcase.casework.explain.errors import assumed, figure
from rootcase.casework.explain.ground import Ground
from rootcase.records.observe import Reading
from rootcase.science.circle import ring_in_unit_circles
from rootcase.science.tree.site import COVERS
from rootcase.science.zones.amounts import ring_area_m2
from rootcase.tables.load import table
from rootcase.tables.readings import kinds


def covers(ground: Ground, crown_radius_m: float, root_radius_m: float, rng: np.random.Generator,
           draws: int) -> tuple[dict[str, FloatArray], tuple[Reading, ...], bool]:
    """Shares of the five covers on the ground over the roots.

    Parameters
    ----------
    ground : what was read.
    crown_radius_m : radius of the crown. [m], above 0
    root_radius_m : radius over which roots stand. [m], above 0
    rng : the generator.
    draws : how many, above 0.

    Returns
    -------
    (shares, readings, by_ring): shares by cover, (draws,) each, summing to 1; the readings; whether they were of
    rings.

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    Rings are weighted by their part of the rooted ground. Shares are drawn from a Dirichlet whose size is the number
    of foot points behind them: all rings' together, a few for one class that covers most, fewer still for a guess
    from the kind of place. One class alone is taken to hold as many of those points as the class says, the rest
    spread as in such places; paving within 25 m or open soil, where read, tell the share beyond the dripline.

    References
    ----------
    Tables explain/cover_classes, explain/quantities: JUDGEMENT. Foot points: table observe/readings, JUDGEMENT.

    Examples
    --------
    >>> shares, used, by_ring = covers(Ground("pitch", {}), 4.0, 6.0, np.random.default_rng(1), 2000)
    >>> round(float(shares["turf"].mean()), 1), used, by_ring
    (0.7, (), False)
    """
    edges = {"0-1 m": 1.0, "half crown": 0.5 * crown_radius_m, "dripline": crown_radius_m,
             "twice crown": 2.0 * crown_radius_m}
    rings = _rings(ground, edges)
    used: tuple[Reading, ...] = tuple(reading for ring in rings.values() for reading in ring)
    if rings:
        share, looks = _by_ring(rings, edges, root_radius_m)
    else:
        share, looks, used = _by_class(ground, crown_radius_m, root_radius_m)
    alive = share > 0
    drawn = np.zeros((draws, len(COVERS)))
    drawn[:, alive] = rng.dirichlet(looks * share[alive], size=draws) if alive.sum() > 1 else 1.0
    return {cover: drawn[:, i] for i, cover in enumerate(COVERS)}, used, bool(rings)


def _rings(ground: Ground, edges: Mapping[str, float]) -> dict[str, list[Reading]]:
    """What was counted by ring, from the trunk outward; a count of no known ring or cover tells nothing."""
    known = {str(row["cover"]) for row in table("explain/cover_classes").rows}
    rings: dict[str, list[Reading]] = {ring: [] for ring in sorted(edges, key=lambda ring: edges[ring])}
    for reading in ground.numbers("cover_share_by_ring"):
        if reading.series in edges and reading.attributes.get("cover") in known:
            rings[reading.series].append(reading)
    return {ring: counted for ring, counted in rings.items() if any(reading.value for reading in counted)}


def _by_ring(rings: Mapping[str, list[Reading]], edges: Mapping[str, float],
             root_radius_m: float) -> tuple[FloatArray, float]:
    total, inner = np.zeros(len(COVERS)), 0.0
    for at, (ring, counted) in enumerate(rings.items(), 1):
        outer = root_radius_m if at == len(rings) else min(max(edges[ring], inner), root_radius_m)
        # Several counts of a ring each hold the whole of it, whichever covers they name.
        share = sum(((reading.value or 0.0) * _as_model(reading.attributes["cover"]) for reading in counted),
                    start=np.zeros(len(COVERS)))
        total += max(float(ring_in_unit_circles(outer, inner)), 0.0) * share / share.sum()
        inner = max(outer, inner)
    return total / total.sum(), (kinds()["cover_share_by_ring"].error_size or 1.0) * len(rings)


def _by_class(ground: Ground, crown_radius_m: float,
              root_radius_m: float) -> tuple[FloatArray, float, tuple[Reading, ...]]:
    usual = np.array([assumed(ground.place_kind, cover) for cover in COVERS])
    choice = ground.choice("ground_under_crown")
    looks = figure("looks_for_place")
    used: tuple[Reading, ...] = ()
    share = usual
    if choice is not None and choice.choice:
        looks, used = figure("looks_for_one_class"), (choice,)
        share = (looks * _as_model(choice.choice) + usual) / (looks + 1.0)
    outside = max(1.0 - (crown_radius_m / root_radius_m) ** 2, 0.0)
    paved, more = _paved_beyond(ground, crown_radius_m)
    if paved is not None and outside > 0:
        beyond = share.copy()
        beyond[COVERS.index("paved")] = 0.0
        rest = beyond.sum()
        beyond = beyond / rest if rest > 0 else np.eye(len(COVERS))[COVERS.index("bare")]
        beyond *= 1.0 - paved
        beyond[COVERS.index("paved")] = paved
        share, used = (1.0 - outside) * share + outside * beyond, (*used, *more)
    return share / share.sum(), looks, used


def _paved_beyond(ground: Ground, crown_radius_m: float) -> tuple[float | None, tuple[Reading, ...]]:
    """Share of paving beyond the dripline, where something tells it."""
    near, open_soil = ground.numbers("paved_share_near"), ground.numbers("open_soil_area")
    if near:
        return float(np.mean([r.value for r in near if r.value is not None])), near
    if open_soil:
        open_m2 = float(np.mean([r.value for r in open_soil if r.value is not None]))
        twice = float(ring_area_m2(2.0 * crown_radius_m, 0.0))
        return float(np.clip(1.0 - open_m2 / twice, 0.0, 1.0)), open_soil
    return None, ()


def _as_model(cover: str) -> FloatArray:
    row = table("explain/cover_classes").row(cover=cover)
    return np.array([float(row[name]) for name in COVERS])
