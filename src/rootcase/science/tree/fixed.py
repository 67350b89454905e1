"""The constants of the model that are not drawn, and its four layers, from the tables."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rootcase.ground.errors import Missing
from rootcase.tables.load import table

Array = NDArray[np.float64]
"""One number for each lane, or for each layer (first axis) and lane."""

Lane = float | Array
"""A number for all draws, or one for each."""


@cache
def _constants() -> dict[str, float]:
    return {str(row["constant"]): float(row["value"]) for row in table("tree/fixed").rows}


def fixed(name: str) -> float:
    """What value the model holds fixed under a name.

    Parameters
    ----------
    name : column `constant` of the table tree/fixed

    Returns
    -------
    the constant. [unit of its row]

    Raises
    ------
    Missing : the table has no such constant.

    Notes
    -----
    Held fixed because their share of the variance of the predicted share was at most 1.1 % at each of 16 sites.

    References
    ----------
    Row by row in the table tree/fixed.

    Examples
    --------
    >>> fixed("air_depth_m")
    0.17
    """
    try:
        return _constants()[name]
    except KeyError:
        raise Missing("the model has no constant of this name", where="tree/fixed.csv", value=name,
                      right="add a row") from None


class DayConstants(NamedTuple):
    """The constants of the day, under their names in the table tree/fixed."""

    interception_mm: float
    leafless_water_share: float
    ready_share: float
    ready_share_per_mm: float
    ready_reference_mm: float
    ready_least: float
    ready_most: float
    expansion_none: float
    expansion_span: float
    turf_shade_cut: float
    turf_wetness: float
    evaporation_most: float
    evaporation_shade_cut: float
    evaporation_wetness: float


@cache
def day_constants() -> DayConstants:
    """Which constants does the day use?

    Parameters
    ----------
    None.

    Returns
    -------
    DayConstants. [units of the table]

    Raises
    ------
    Missing : the table lacks one.

    Notes
    -----
    Handed to the compiled engine as an argument, so that a changed table never meets code compiled before.

    References
    ----------
    Table tree/fixed.

    Examples
    --------
    >>> day_constants().interception_mm
    1.4
    """
    return DayConstants(*(fixed(name) for name in DayConstants._fields))


@cache
def _layer_column(column: str) -> Array:
    values = np.array([float(row[column]) for row in table("tree/layers").rows])[:, None]
    values.flags.writeable = False
    return values


class Layers:
    """The four layers as columns (4, 1), so that they meet lanes in the second axis."""

    @property
    def top_m(self) -> Array:
        return _layer_column("top_m")

    @property
    def bottom_m(self) -> Array:
        return _layer_column("bottom_m")

    @property
    def thickness_m(self) -> Array:
        return self.bottom_m - self.top_m

    @property
    def middle_m(self) -> Array:
        return (self.bottom_m + self.top_m) / 2.0

    @property
    def organic_matter_share(self) -> Array:
        return _layer_column("organic_matter_share")

    def share_below(self, depth_m: Lane) -> Array:
        """Share of each layer that lies below a depth (4, lanes); 0 where the depth is infinite."""
        cut = np.clip(self.bottom_m - np.asarray(depth_m, dtype=np.float64), 0.0, self.thickness_m)
        return np.asarray(cut / self.thickness_m)


LAYERS = Layers()
