"""How long each zone of the sprinklers runs, from cups that were set out under it."""

from __future__ import annotations

import numpy as np

from rootcase.casework.explain.ground import Ground
from rootcase.casework.prescribe.needs import Standing
from rootcase.records.observe import Reading
from rootcase.records.prescribe import ZoneRun
from rootcase.science.soil.texture import texture_class_without_silt
from rootcase.science.water.audit import (
    catch_depth_mm,
    intake_mm_h,
    lower_quarter_uniformity,
    precipitation_rate_mm_h,
    run_minutes,
    run_time_multiplier,
    runs_without_runoff,
    surface_storage_mm,
)

LEAST_CUPS = 4
"""Fewer tell nothing of a driest quarter. JUDGEMENT."""
NOT_BY_CUPS = "drip"
ZONE = "controller_zone"
PERCENT = 100.0


def zone_runs(standing: Standing, water_mm: float) -> tuple[ZoneRun, ...]:
    """How long each zone runs to put so much water on, in runs that do not run off.

    Parameters
    ----------
    standing : what was read at the tree and its ground.
    water_mm : what one watering is to put on. [mm], 0 to 300

    Returns
    -------
    One ZoneRun for each zone under which four cups and more caught water in a timed test, by the zone's name. [min]

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    What the ground takes in is a ring's reading, else its texture's row; slope as read, else level. Drip lines are
    not judged by cups.

    References
    ----------
    `runs_without_runoff`, `run_time_multiplier`, `lower_quarter_uniformity`.

    Examples
    --------
    >>> zone_runs(Standing(Ground("lawn", {}), None, {}), 10.7)
    ()
    """
    ground, found = standing.ground, []
    for zone in sorted({r.attributes[ZONE] for r in ground.numbers("catch_minutes") if ZONE in r.attributes}):
        depths, minutes = _caught_mm(ground, zone), _of_zone(ground, "catch_minutes", zone)
        heads = [r.choice for r in ground.take("zone_heads") if r.attributes.get(ZONE) == zone]
        if len(depths) >= LEAST_CUPS and max(depths) > 0.0 and minutes[-1].value and NOT_BY_CUPS not in heads:
            found.append(_run(standing, zone, (heads or [""])[-1] or "", depths, minutes[-1].value, water_mm))
    return tuple(found)


def _run(standing: Standing, zone: str, heads: str, depths: list[float], minutes: float, water_mm: float) -> ZoneRun:
    rate, even = precipitation_rate_mm_h(depths, minutes), lower_quarter_uniformity(depths)
    sand, clay = standing.middle("sand"), standing.middle("clay")
    soil = str(texture_class_without_silt(sand, clay))
    ring = standing.middle("infiltration_ring_mm_h")
    intake = intake_mm_h(soil) if np.isnan(ring) else ring
    slopes = standing.ground.numbers("slope")
    steepest_pct = max((PERCENT * (r.value or 0.0) for r in slopes), default=0.0)
    whole = float(run_minutes(water_mm, rate, run_time_multiplier(even)))
    runs = runs_without_runoff(whole, rate, intake, surface_storage_mm(soil, steepest_pct))
    return ZoneRun(zone, heads, rate, even, len(depths), whole, runs.cycles, runs.soak_minutes,
                   intake_read=not np.isnan(ring))


def _caught_mm(ground: Ground, zone: str) -> list[float]:
    """What each cup of a zone caught, as a depth."""
    depths = [r.value or 0.0 for r in _of_zone(ground, "catch_depth", zone)]
    mouths = ground.numbers("catch_cup_diameter")
    if mouths:
        mouth = max(mouths, key=lambda r: (r.day, r.id)).value or 0.0
        depths += [float(catch_depth_mm(r.value or 0.0, mouth)) for r in _of_zone(ground, "catch_volume", zone)]
    return depths


def _of_zone(ground: Ground, kind: str, zone: str) -> list[Reading]:
    """Readings of one zone in order of day, the newest test's only."""
    found = [r for r in ground.numbers(kind) if r.attributes.get(ZONE) == zone]
    newest = max((r.day for r in found), default=None)
    return [r for r in found if r.day == newest]
