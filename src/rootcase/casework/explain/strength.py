"""How hard the ground is: from pushes of a rod and of a cone to resistance by depth, with their errors."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import inf
from statistics import median_low
from typing import Any

import numpy as np

from rootcase.casework.draws import FloatArray
from rootcase.casework.explain.errors import ReadingErrors, assumed, figure, read_sd, spread
from rootcase.casework.explain.ground import CONE, M_PER_MM, Ground
from rootcase.records.observe import Reading
from rootcase.science.tree.parameters import Parameters
from rootcase.tables.load import table

SHALLOWEST_M, DEEPEST_M = 0.01, 3.0
SURFACE_M = 0.15
"""A cone that went no deeper tells the surface's resistance and no more. JUDGEMENT."""
SOFTEST_STOP_MPA = 0.1
"""Least resistance that can have stopped a rod, however dry the soil was. JUDGEMENT."""
STOPPED = "stopped"
NOT_SOIL = ("stone", "root", "gave_up")
"""What stopped the rod was not the soil, or the soil was too dry to say."""


@dataclass(frozen=True, slots=True)
class Strength:
    """Fields of the model's Site that tell resistance, and where they come from."""

    fields: dict[str, Any]
    readings: tuple[Reading, ...]
    assumed: tuple[str, ...]
    known_to_m: float


def strength(ground: Ground, parameters: Parameters, errors: ReadingErrors, beyond: FloatArray,
             wetness_by_share: FloatArray, share_in_step: FloatArray) -> Strength:
    """Resistance by depth of this ground, brought to field capacity.

    Parameters
    ----------
    ground : what was read.
    parameters : n draws; the rod's resistance and what lies below it stand in where a cone was stopped.
    errors : standard normal errors of the readings, n draws.
    beyond : (n,) standard normal draws for a rod that was never stopped.
    wetness_by_share : (2, n) water content over that at field capacity at no and at all available water. [-]
    share_in_step : (n,) where inside a step of the moisture feel the truth lies. [-], 0 to 1

    Returns
    -------
    Strength : surface resistance, resistance that stopped the rod, cone readings [MPa], refusal depth [m].

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    A push a stone, a root or dry soil stopped is left out of the median; a rod that went all the way in counts as
    deeper than any stop, and where the median is such a push the depth is drawn above the rod. A cone reading counts
    only where its visit names the cone, and beside a moisture feel of the same pit, day and depth; a depth not
    reached takes the resistance that stops a push. A cone stands before the rod where it went deeper; else it tells
    the surface's resistance and the rod the rest. What was pushed is brought to field capacity here, P
    (theta/theta_FC)^b, and what is assumed is
    there already, so that one never scales the other.

    References
    ----------
    Rules: JUDGEMENT. Moisture steps: table explain/moisture_steps (seen for loams).

    Examples
    --------
    >>> from rootcase.science.tree.parameters import central_parameters
    >>> one = np.zeros(1)
    >>> at = ReadingErrors(**{n: one for n in
    ...                       ("bulk_density", "organic_matter", "resistance", "refusal_depth", "ece", "ph")})
    >>> found = strength(Ground("pitch", {}), central_parameters(), at, one, np.ones((2, 1)), one)
    >>> found.fields["refusal_depth_m"].tolist(), found.assumed
    ([0.2], ('probe_depth', 'penetration_profile'))
    """
    rod, cone = _pushes(ground), _cone_readings(ground)
    wet = _wetness(ground, [*cone, *(push for push, _ in rod)], wetness_by_share, share_in_step)
    drying = wet**parameters.wetness_exponent
    depth, used = _refusal_depth(ground, rod, errors, beyond)
    fields: dict[str, Any] = {"refusal_depth_m": depth, "reference_resistance_mpa": np.nan}
    if used:
        fields["reference_resistance_mpa"] = np.maximum(parameters.rod_stop_resistance_mpa * drying, SOFTEST_STOP_MPA)
    known = max((push.value or 0.0 for push, _ in rod), default=0.0) * M_PER_MM
    if not cone:
        fields["surface_resistance_mpa"] = spread(assumed(ground.place_kind, "surface_resistance_mpa"), "resistance",
                                                  None, errors.resistance)
        return Strength(fields, used, (*(() if used else ("probe_depth",)), "penetration_profile"), known)
    depths, as_read = _profile(cone, parameters, errors)
    resistances = tuple(mpa * drying for mpa in as_read)
    fields["surface_resistance_mpa"] = resistances[0]
    if depths[-1] > max(SURFACE_M, float(np.median(depth)) if used else 0.0):
        fields |= {"cone_depth_m": depths, "cone_resistance_mpa": resistances}
    return Strength(fields, (*cone, *used), () if used else ("probe_depth",), max(known, depths[-1]))


def _pushes(ground: Ground) -> list[tuple[Reading, str]]:
    """Pushes of the rod that tell about the soil, each with what stopped it; "" where nobody said."""
    found = []
    for push in ground.numbers("probe_depth"):
        stop = ground.beside(push, "probe_stop")
        told = stop.choice if stop is not None and stop.choice else ""
        if told not in NOT_SOIL:
            found.append((push, "rod_end" if push.sign == ">" else told))
    return found


def _refusal_depth(ground: Ground, pushes: list[tuple[Reading, str]], errors: ReadingErrors,
                   beyond: FloatArray) -> tuple[FloatArray, tuple[Reading, ...]]:
    if not pushes:
        typical = assumed(ground.place_kind, "refusal_depth_m")
        return _soil_depth(spread(typical, "refusal_depth", None, errors.refusal_depth)), ()
    used = tuple(push for push, _ in pushes)
    stopped = [inf if stop == "rod_end" else push.value or 0.0 for push, stop in pushes]
    middle = _middle(stopped)
    if middle == inf:
        rod_m = max(push.value or 0.0 for push, stop in pushes if stop == "rod_end") * M_PER_MM
        return _soil_depth(rod_m * np.exp(figure("beyond_rod_log_sd") * np.abs(beyond))), used
    sd = read_sd("probe_depth", len(pushes), "refusal_depth")
    if any(stop == "" for _, stop in pushes):
        sd = max(sd, figure("stop_not_told_log_sd"))
    return _soil_depth(spread(middle * M_PER_MM, "refusal_depth", sd, errors.refusal_depth)), used


def _soil_depth(depth_m: FloatArray) -> FloatArray:
    held: FloatArray = np.clip(depth_m, SHALLOWEST_M, DEEPEST_M)
    return held


def _middle(values: Iterable[float]) -> float:
    """Median on the log scale; infinite where at least half is."""
    ordered = sorted(values)
    upper, lower = ordered[len(ordered) // 2], ordered[(len(ordered) - 1) // 2]
    return upper if upper == inf else float(np.sqrt(lower * upper))


def _cone_readings(ground: Ground) -> list[Reading]:
    """Cone readings of a cone that is named, beside which the moisture was felt: same pit, same day, same depth."""
    feels, named = ground.take("soil_moisture_feel"), {r.visit_id for r in ground.take(CONE)}
    steps = {str(row["choice"]) for row in table("explain/moisture_steps").rows}

    def felt(push: Reading) -> bool:
        return any((f.of, f.day) == (push.of, push.day) and f.choice in steps and _same_depth(f, push) for f in feels)

    return [r for r in ground.take("penetration_profile")
            if (r.value is not None or r.choice == STOPPED) and r.depth_from_m is not None
            and r.visit_id in named and felt(r)]


def _same_depth(feel: Reading, push: Reading) -> bool:
    """Whether the lump came from the depth of the push; a lump without a depth speaks for its own row."""
    if feel.depth_from_m is None or push.depth_from_m is None:
        return feel.series == push.series
    to = feel.depth_to_m if feel.depth_to_m is not None else feel.depth_from_m
    return feel.depth_from_m - 0.05 <= push.depth_from_m <= to + 0.05


def _profile(cone: list[Reading], parameters: Parameters,
             errors: ReadingErrors) -> tuple[tuple[float, ...], tuple[FloatArray, ...]]:
    by_depth: dict[float, list[float]] = {}
    for push in cone:
        value = inf if push.value is None else push.value
        by_depth.setdefault(round(push.depth_from_m or 0.0, 3), []).append(value)
    pushes = median_low([len(values) for values in by_depth.values()])
    error = np.exp(read_sd("penetration_profile", pushes, "resistance") * errors.resistance)
    stopped = parameters.rod_stop_resistance_mpa * parameters.below_refusal_ratio
    depths = tuple(sorted(by_depth))
    middles = (_middle(by_depth[depth]) for depth in depths)
    return depths, tuple(np.minimum(stopped if middle == inf else middle * error, 20.0) for middle in middles)


def _wetness(ground: Ground, pushes: list[Reading], by_share: FloatArray, in_step: FloatArray) -> FloatArray:
    """Water content over that at field capacity when the pushes were made; 1 where nobody felt the soil."""
    steps = {str(row["choice"]): (float(row["available_low"]), float(row["available_high"]))
             for row in table("explain/moisture_steps").rows}
    spots = {(push.of, push.day) for push in pushes}
    felt = sorted(steps[f.choice] for f in ground.take("soil_moisture_feel")
                  if f.choice in steps and (f.of, f.day) in spots)
    if not felt:
        return np.ones_like(in_step)
    low, high = felt[len(felt) // 2]
    share = low + (high - low) * in_step
    dry, full = by_share
    wetness: FloatArray = dry + (full - dry) * share
    return wetness
