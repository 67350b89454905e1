"""How long drives take where nobody measured them."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot

import numpy as np
import numpy.typing as npt

from rootcase.ground.position import local_m
from rootcase.tables.load import table

M_PER_KM = 1000.0
MIN_PER_H = 60.0


def travel_figure(figure: str) -> float:
    """A figure of the table of travel.

    Parameters
    ----------
    figure : road_factor, speed, stop_minutes or crew_people.

    Returns
    -------
    In the unit of its row

    Raises
    ------
    Missing : there is no such row.

    Notes
    -----
    None

    References
    ----------
    Table apply/travel, row by row: JUDGEMENT.

    Examples
    --------
    >>> travel_figure("road_factor")
    1.3
    """
    return float(table("apply/travel").row(figure=figure)["value"])


def straight_drives_min(places_deg: Sequence[tuple[float, float]]) -> npt.NDArray[np.float64]:
    """Minutes between places by straight line, longer by what roads add.

    Parameters
    ----------
    places_deg : latitude and longitude of each. [degrees]

    Returns
    -------
    [min], from row to column; the same both ways

    Raises
    ------
    OutOfRange : a place is not on the earth.

    Notes
    -----
    distance x road factor / speed. A table of drives takes its place where there is one.

    References
    ----------
    Table apply/travel: JUDGEMENT; distance by `local_m` (computed).

    Examples
    --------
    >>> straight_drives_min([(36.07, -79.79), (36.11, -79.79)]).round(1).tolist()
    [[0.0, 8.7], [8.7, 0.0]]
    """
    km_h = travel_figure("speed") / travel_figure("road_factor")
    drives = np.zeros((len(places_deg), len(places_deg)))
    for start, here in enumerate(places_deg):
        for end, there in enumerate(places_deg[:start]):
            drives[start, end] = drives[end, start] = hypot(*local_m(*here, *there)) / M_PER_KM / km_h * MIN_PER_H
    return drives
