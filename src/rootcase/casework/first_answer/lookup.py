"""The lookup in a first-answer sheet; the phone's own is held to this one, digit by digit."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, inf, log

from rootcase.casework.draws import FloatArray
from rootcase.casework.explain.strength import NOT_SOIL
from rootcase.casework.first_answer.sheet import push_variance
from rootcase.records.explain import LIMITS
from rootcase.records.first_answer import (
    FirstAnswer,
    FirstLimit,
    FirstReadings,
    FirstSheet,
    FlareSeen,
    Kind,
    LeftOver,
)

POINTS = 100.0
Place = tuple[int, float]
"""A node, and how far it is from there to the next: 0 to 1."""


def first_answer(sheet: FirstSheet, readings: FirstReadings) -> FirstAnswer:
    """What the sheet says to five readings of a tree.

    Parameters
    ----------
    sheet : of its yardstick, or of its growth class.
    readings : the five; what was left stands at what is usual there. [mm]

    Returns
    -------
    FirstAnswer. Share as a fraction, limits and what is left over in points, chances 0 to 1.

    Raises
    ------
    Nothing.

    Notes
    -----
    Lines between nodes; beyond the last node its value holds.

    References
    ----------
    docs/first-answer.md: JUDGEMENT, its grid.

    Examples
    --------
    >>> import numpy as np
    >>> mixed(np.array([[0.0, 1.0], [2.0, 3.0]]), [(0, 0.5)]).tolist()
    [1.0, 2.0]
    """
    kind, ground = kind_in(sheet, readings.species), _place(sheet.axes.grounds, readings.ground)
    told, depth = _pushed(sheet, readings, kind, ground)
    told = _tolerant(sheet, told, kind, ground)
    seen = _seen(sheet, readings)
    chances = None if seen is None else _chances(sheet, seen, kind, depth, ground, readings.flare)
    limits = tuple(FirstLimit(name, float(mean), float(low), float(high),
                              None if chances is None else float(chances[at]))
                   for at, (name, (mean, low, high)) in enumerate(zip(LIMITS, told[1:], strict=True)))
    ahead = sheet.next[depth[0] + (depth[1] > 0.5), ground[0]]
    upcoming = tuple(sheet.next_kinds[int(at)] for at in ahead if at < len(sheet.next_kinds))
    if seen is None or chances is None:
        return FirstAnswer(None, None, None, limits, None, None, None, None, upcoming, sheet.made)
    mean, low, high = (exp(each) for each in seen[:3])
    flare = _flare(sheet, readings.flare)
    return FirstAnswer(
        mean, low, high, limits, _left(sheet, seen, kind, depth, ground, float(told[0, 0])), float(chances[6]),
        max(1.0 - float(chances[:6].sum()), 0.0), float(chances[6]) * flare.buried, upcoming, sheet.made)


def kind_in(sheet: FirstSheet, species: str) -> Kind:
    """What the sheet knows of a species.

    Parameters
    ----------
    sheet : any.
    species : botanical name, or a genus with "sp."; may be empty.

    Returns
    -------
    The kind, else its genus, else what stands for any other.

    Raises
    ------
    Nothing.

    Notes
    -----
    None.

    References
    ----------
    Table species.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> of = SimpleNamespace(kinds=(Kind("Acer", "slow", 0, 0, 1), Kind("", "medium", 0, 1, 0)))
    >>> kind_in(of, "Acer sp.").name, kind_in(of, "Pinus mugo").growth_class
    ('Acer', 'medium')
    """
    by_name = {kind.name: kind for kind in sheet.kinds}
    return by_name.get(species) or by_name.get(species.split(" ")[0]) or by_name[""]


def mixed(table: FloatArray, places: Sequence[Place]) -> FloatArray:
    """What stands in a table between its nodes.

    Parameters
    ----------
    table : any number of axes.
    places : one for each of its first axes.

    Returns
    -------
    The rest of the axes.

    Raises
    ------
    Nothing.

    Notes
    -----
    Linear along each axis in turn, so between two nodes no value leaves theirs.

    References
    ----------
    None; computed.

    Examples
    --------
    >>> import numpy as np
    >>> float(mixed(np.array([1.0, 3.0]), [(0, 0.25)]))
    1.5
    """
    for at, part in places:
        table = table[at] if part == 0.0 else table[at] + part * (table[at + 1] - table[at])
    return table


def _place(names: Sequence[str], name: str) -> Place:
    return (list(names).index(name) if name in names else 0), 0.0


def _between(nodes: Sequence[float], value: float) -> Place:
    if value <= nodes[0]:
        return 0, 0.0
    if value >= nodes[-1]:
        return len(nodes) - 1, 0.0
    at = sum(node <= value for node in nodes) - 1
    return at, (value - nodes[at]) / (nodes[at + 1] - nodes[at])


def _pushed(sheet: FirstSheet, readings: FirstReadings, kind: Kind, ground: Place) -> tuple[FloatArray, Place]:
    """Predicted share and limits by what the rod told, and where among the depths the chances stand."""
    axes, habit = sheet.axes, (kind.habit, 0.0)
    soil = [push for push in readings.probes if push.stop not in NOT_SOIL]
    if not soil:
        return mixed(sheet.unpushed, [habit, ground]), (len(axes.after_ln_mm), 0.0)
    ordered = sorted(inf if push.stop == "rod_end" else max(push.depth_mm, 1.0) for push in soil)
    upper, lower = ordered[len(ordered) // 2], ordered[(len(ordered) - 1) // 2]
    if upper == inf:
        rod = log(max(push.depth_mm for push in soil if push.stop == "rod_end"))
        return (mixed(sheet.rod, [habit, _between(axes.rod_ln_mm, rod), ground]),
                _between(axes.after_ln_mm, rod + sheet.beyond_rod))
    depth = (log(upper) + log(lower)) / 2.0
    variance = push_variance(sheet, len(soil), all_told=all(push.stop for push in soil))
    return (mixed(sheet.stopped, [habit, _between(axes.depth_ln_mm, depth), _between(axes.push_variance, variance),
                                  ground]), _between(axes.after_ln_mm, depth))


def _tolerant(sheet: FirstSheet, told: FloatArray, kind: Kind, ground: Place) -> FloatArray:
    """Nutrition and salt as a kind of this tolerance has them."""
    told = told.copy()
    for limit, factors, at in (("nutrition", sheet.lime, kind.lime), ("salt", sheet.salt, kind.salt)):
        mean, high = factors[at, ground[0]]
        told[1 + LIMITS.index(limit)] *= [mean, high, high]
    return told


def _seen(sheet: FirstSheet, readings: FirstReadings) -> list[float] | None:
    """ln of mean, low, high and median share, and its standard deviation; None where no shoot was read."""
    logs = [log(mm) for mm in readings.shoots_mm if mm > 0.0]
    if not logs:
        return None
    level, count = sum(logs) / len(logs), len(logs)
    variance = sum((each - level) ** 2 for each in logs) / max(count - 1, 1)
    elsewhere = bool(sheet.positions) and readings.position not in sheet.positions
    axes = sheet.axes
    found = mixed(sheet.observed, [(int(elsewhere), 0.0), _between(axes.shoot_ln_mm, level),
                                   _between(axes.shoots_reciprocal, 1.0 / count),
                                   _between(axes.shoot_variance, variance)])
    return [*(level + float(each) for each in found[:4]), float(found[4])]


def _flare(sheet: FirstSheet, code: str) -> FlareSeen:
    return next((look for look in sheet.flares if look.code == code), sheet.flares[0])


def _shares(sheet: FirstSheet, seen: Sequence[float], kind: Kind) -> list[Place]:
    return [(kind.habit, 0.0), _between(sheet.axes.seen_ln, seen[3]), _between(sheet.axes.seen_sd, seen[4])]


def _chances(sheet: FirstSheet, seen: Sequence[float], kind: Kind, depth: Place, ground: Place,
             flare: str) -> FloatArray:
    return mixed(sheet.chances, [*_shares(sheet, seen, kind), depth, ground,
                                 (0, _flare(sheet, flare).towards_open)])


def _left(sheet: FirstSheet, seen: Sequence[float], kind: Kind, depth: Place, ground: Place,
          predicted_points: float) -> LeftOver:
    below, above = mixed(sheet.left, [*_shares(sheet, seen, kind), depth, ground])
    observed = POINTS * exp(seen[0])
    mean, size = predicted_points - observed, predicted_points + observed
    return LeftOver(mean, mean - float(below) * size, mean + float(above) * size)
