"""Which texture the ground has: from a laboratory's shares, or from what hands felt."""

from __future__ import annotations

import numpy as np

from rootcase.casework.draws import FloatArray
from rootcase.casework.explain.errors import sd_of_mean
from rootcase.casework.explain.ground import Ground
from rootcase.records.observe import Reading
from rootcase.science.soil.texture import central_fractions
from rootcase.tables.load import table
from rootcase.tables.readings import kinds

LARGEST_CLAY, LEAST_SHARE = 0.59, 0.01
"""Just inside the source of the water formulas, which ends at 60 % clay (see `soil_water`); least of each part."""
COMMON = ("sandy_loam", "loam", "silt_loam", "sandy_clay_loam", "clay_loam", "silty_clay_loam", "clay")
"""Where nobody felt the soil each of these is as likely. JUDGEMENT."""


def texture(ground: Ground, rng: np.random.Generator, draws: int) -> tuple[FloatArray, FloatArray, tuple[Reading, ...]]:
    """Sand and clay of this ground, drawn over what a hand or a laboratory may mistake.

    Parameters
    ----------
    ground : what was read.
    rng : the generator.
    draws : how many, above 0.

    Returns
    -------
    (sand, clay, readings): (draws,) each. [kg kg-1]; the readings, none where none was made.

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    A laboratory's shares stand before the hand; clay beyond the water formulas is held at their limit. A class felt is
    right with one less the catalogue's share of second observers who would choose otherwise, else one of its neighbours
    in the chart; several hands multiply. The model has one texture for all four layers.

    References
    ----------
    Error of feel: table observe/readings, JUDGEMENT. Neighbours: table explain/feel_neighbours. Shares of a class:
    Saxton and Rawls 2006, Table 3 (seen in a copy).

    Examples
    --------
    >>> sand, clay, readings = texture(Ground("lawn", {}), np.random.default_rng(1), 500)
    >>> len(set(sand.tolist())), readings
    (7, ())
    """
    sands, clays = ground.numbers("sand"), ground.numbers("clay")
    if sands and clays:
        clay = _laboratory(clays, rng, draws)
        clay = np.clip(clay, LEAST_SHARE, LARGEST_CLAY)
        sand = np.clip(_laboratory(sands, rng, draws), 0.0, 1.0 - clay - LEAST_SHARE)
        return sand, clay, (*sands, *clays)
    felt = [r for r in ground.take("texture_feel") if r.choice]
    chances = _chances([str(r.choice) for r in felt])
    centres = np.array([central_fractions(name) for name in chances])
    picked = centres[rng.choice(len(centres), draws, p=np.array(list(chances.values())))]
    return picked[:, 0], picked[:, 1], tuple(felt)


def _laboratory(readings: tuple[Reading, ...], rng: np.random.Generator, draws: int) -> FloatArray:
    sd = sd_of_mean(readings[0].kind, len(readings))
    mean = float(np.mean([r.value for r in readings if r.value is not None]))
    drawn: FloatArray = mean + sd * rng.standard_normal(draws)
    return drawn


def _chances(felt: list[str]) -> dict[str, float]:
    """Chance of each class given the classes felt."""
    if not felt:
        return dict.fromkeys(COMMON, 1.0 / len(COMMON))
    otherwise = kinds()["texture_feel"].error_size or 0.0
    neighbours: dict[str, list[str]] = {}
    for row in table("explain/feel_neighbours").rows:
        neighbours.setdefault(str(row["texture"]), []).append(str(row["neighbour"]))

    def chance_of_feeling(name: str, true: str) -> float:
        if name == true:
            return 1.0 - otherwise
        return otherwise / len(neighbours[true]) if name in neighbours[true] else otherwise * 1e-3

    chances = {true: float(np.prod([chance_of_feeling(name, true) for name in felt])) for true in neighbours}
    total = sum(chances.values())
    return {true: chance / total for true, chance in chances.items()}
