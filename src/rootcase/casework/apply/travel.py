"""How long drives take: as the practice told it, else by straight line."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from math import hypot

import numpy as np
import numpy.typing as npt

from rootcase.ground.position import local_m
from rootcase.records.apply.rounds import Travel
from rootcase.tables.load import table

M_PER_KM = 1000.0
MIN_PER_H = 60.0

Drives = Callable[[Sequence[tuple[float, float]]], npt.NDArray[np.float64]]


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


def straight_drives_min(places_deg: Sequence[tuple[float, float]],
                        travel: Travel | None = None) -> npt.NDArray[np.float64]:
    """Minutes between places by straight line, longer by what roads add.

    Parameters
    ----------
    places_deg : latitude and longitude of each. [degrees]
    travel : the practice's own road factor [1] and speed [km/h], where it told them.

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
    >>> straight_drives_min([(36.07, -79.79), (36.11, -79.79)], Travel(speed_km_h=20.0)).round(1).tolist()
    [[0.0, 17.3], [17.3, 0.0]]
    """
    speed, factor = (travel.speed_km_h, travel.road_factor) if travel else (None, None)
    km_h = (speed or travel_figure("speed")) / (factor or travel_figure("road_factor"))
    drives = np.zeros((len(places_deg), len(places_deg)))
    for start, here in enumerate(places_deg):
        for end, there in enumerate(places_deg[:start]):
            drives[start, end] = drives[end, start] = hypot(*local_m(*here, *there)) / M_PER_KM / km_h * MIN_PER_H
    return drives


def told_drives(travel: Travel, names: Mapping[tuple[float, float], str]) -> Drives:
    """Minutes between places as the practice told them.

    Parameters
    ----------
    travel : road factor [1], speed [km/h], and a table of drives [min] between named places.
    names : of places by latitude and longitude. [degrees]

    Returns
    -------
    Function of places in degrees that answers minutes [min] from row to column

    Raises
    ------
    None

    Notes
    -----
    A pair that the table does not have is driven by straight line.

    References
    ----------
    As `straight_drives_min`.

    Examples
    --------
    >>> travel = Travel(places=("yard", "elm"), minutes=((0.0, 12.0), (15.0, 0.0)))
    >>> told_drives(travel, {(36.0, -79.0): "yard", (36.1, -79.0): "elm"})([(36.0, -79.0), (36.1, -79.0)]).tolist()
    [[0.0, 12.0], [15.0, 0.0]]
    """
    rows = {name: at for at, name in enumerate(travel.places)}

    def drives(places_deg: Sequence[tuple[float, float]]) -> npt.NDArray[np.float64]:
        found = straight_drives_min(places_deg, travel)
        known = [(at, rows[names[place]]) for at, place in enumerate(places_deg) if names.get(place) in rows]
        for start, row in known:
            for end, column in known:
                found[start, end] = travel.minutes[row][column]
        return found

    return drives
