"""A day as arrays, for compiled loops."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from rootcase.science.rounds.day import Day

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]
BoolArray = npt.NDArray[np.bool_]
NOTHING = -1
"""The product of an empty tank, and of a stop that takes none."""


class Packed(NamedTuple):
    """Rows are stops, sources, crews in the day's order; minutes and litres."""

    travel: FloatArray
    stop_node: IntArray
    service: FloatArray
    stop_product: IntArray
    demand: FloatArray
    windows: FloatArray
    """stop, window, (earliest, latest); a row that is none has its latest before its earliest."""
    weight: FloatArray
    can_do: BoolArray
    """crew, stop"""
    source_node: IntArray
    source_product: IntArray
    source: FloatArray
    """source, (fill, ready, use by, keeps)"""
    can_fill: BoolArray
    """crew, source"""
    crew_node: IntArray
    """crew, (start, home)"""
    crew: FloatArray
    """crew, (tank, leaves, back by, earliest, latest, length of the rest); the length is below 0 where there is none"""
    board_product: IntArray
    board: FloatArray
    """crew, (litres, use by)"""
    to_home: FloatArray
    """crew, place: the least drive home by way of anywhere"""


def packed(day: Day) -> Packed:
    """The day as arrays.

    Parameters
    ----------
    day : any day.

    Returns
    -------
    Packed : the same, minutes and litres.

    Raises
    ------
    None

    Notes
    -----
    Products become numbers in the order of their names. The least drive home is by Floyd and Warshall, since a table
    of real drives need not hold the triangle's rule; two places may be one.

    References
    ----------
    Floyd 1962, Algorithm 97: shortest path, Communications of the ACM 5:345 (memory).

    Examples
    --------
    >>> from rootcase.science.rounds.day import Crew, Stop
    >>> day = Day(np.array([[0.0, 9.0], [4.0, 0.0]]), (Stop(node=1),), (),
    ...           (Crew(start=0, home=0, tank_l=0.0, back_by_min=60.0),))
    >>> packed(day).to_home.tolist()
    [[0.0, 4.0]]
    """
    stops, sources, crews = day.stops, day.sources, day.crews
    names = sorted({stop.product for stop in stops} | {source.product for source in sources}
                   | {crew.on_board.product for crew in crews if crew.on_board} - {""})
    number = {name: at for at, name in enumerate(name for name in names if name)} | {"": NOTHING}
    rests = [(crew.rest.earliest_min, crew.rest.latest_min, crew.rest.length_min) if crew.rest else (0.0, 0.0, -1.0)
             for crew in crews]
    least = np.array(day.travel_min, dtype=float)
    for way in range(len(least)):
        least = np.minimum(least, least[:, way, None] + least[None, way, :])
    return Packed(
        np.ascontiguousarray(day.travel_min, dtype=float), _ints(stop.node for stop in stops),
        _floats(stop.service_min for stop in stops), _ints(number[stop.product] for stop in stops),
        _floats(stop.demand_l for stop in stops), _windows(day), _floats(stop.weight for stop in stops),
        np.array([[stop.crews is None or at in stop.crews for stop in stops] for at in range(len(crews))],
                 dtype=bool).reshape(len(crews), len(stops)),
        _ints(source.node for source in sources), _ints(number[source.product] for source in sources),
        np.array([(each.fill_min, each.ready_min, each.use_by_min, each.keeps_min) for each in sources],
                 dtype=float).reshape(-1, 4),
        np.array([[source.crews is None or at in source.crews for source in sources] for at in range(len(crews))],
                 dtype=bool).reshape(len(crews), len(sources)),
        np.array([(crew.start, crew.home) for crew in crews], dtype=np.int64).reshape(-1, 2),
        np.array([(crew.tank_l, crew.leaves_min, crew.back_by_min, *rest)
                  for crew, rest in zip(crews, rests, strict=True)], dtype=float).reshape(-1, 6),
        _ints(number[crew.on_board.product] if crew.on_board else NOTHING for crew in crews),
        np.array([(crew.on_board.litres, crew.on_board.use_by_min) if crew.on_board else (0.0, 0.0) for crew in crews],
                 dtype=float).reshape(-1, 2),
        np.array([least[:, crew.home] for crew in crews]).round(9).reshape(len(crews), -1))


def _ints(values: Iterable[int]) -> IntArray:
    return np.array(list(values), dtype=np.int64)


def _floats(values: Iterable[float]) -> FloatArray:
    return np.array(list(values), dtype=np.float64)


def _windows(day: Day) -> FloatArray:
    most = max((len(stop.windows) for stop in day.stops), default=1)
    windows = np.full((len(day.stops), most, 2), (1.0, 0.0))
    for at, stop in enumerate(day.stops):
        windows[at, :len(stop.windows)] = stop.windows
    return windows
