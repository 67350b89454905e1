"""Rounds for many stops by a solver for vehicle routing, which knows no age of a load: a start for our own search."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from rootcase.science.rounds.day import Day
from rootcase.science.routing.packed import IntArray, packed

FINE = 10
"""Parts of a minute and of a litre, for a solver that counts in whole numbers."""
FAR = 10_000_000
"""A drive that nobody makes, in those parts: who cannot do a stop never gets there."""
PRIZE = 1_000_000
HORIZON = 100_000_000


def orders_of_large_day(day: Day, seed: int, left: Callable[[], float]) -> tuple[tuple[int, ...], ...]:
    """An order of stops for each crew, found without regard to the age of a load and to rests.

    Parameters
    ----------
    day : of any size.
    seed : of the solver.
    left : how much of the search is still to come, 1 to 0; asked before each turn, and at 0 it is over.

    Returns
    -------
    For each crew its stops in order. What of it cannot be driven is for `searched_plan` to mend

    Raises
    ------
    None

    Notes
    -----
    Minutes and litres are counted in tenths. One tank holds any product. A stop's windows become the span from the
    earliest to the latest; of a batch's age it is known only that its last use is over by then; a rest shortens the
    day.

    References
    ----------
    Wouda, Lan & Kool 2024, PyVRP: a high-performance VRP solver package, INFORMS J. Comput. 36:943 (seen).

    Examples
    --------
    >>> from rootcase.science.rounds.day import Crew, Stop
    >>> there = np.array([[0.0, 10.0, 11.0], [10.0, 0.0, 2.0], [11.0, 2.0, 0.0]])
    >>> day = Day(there, (Stop(node=1), Stop(node=2)), (), (Crew(start=0, home=0, tank_l=0.0, back_by_min=60.0),))
    >>> turns = iter((1.0, 0.5, 0.0))
    >>> sorted(orders_of_large_day(day, 1, lambda: next(turns))[0])
    [0, 1]
    """
    if not day.stops or not day.crews:
        return ((),) * len(day.crews)
    import pyvrp  # brings a library of charts along, which nothing else here needs

    result = pyvrp.solve(_data(day, pyvrp), lambda _: left() <= 0.0, seed=seed, collect_stats=False)
    orders: list[tuple[int, ...]] = [()] * len(day.crews)
    for route in result.best.routes():
        orders[route.vehicle_type()] = tuple(each.idx for each in route if each.is_client())
    return tuple(orders)


def _data(day: Day, pyvrp: Any) -> Any:
    """Every stop and source has a location of its own, so that a long drive can keep a crew from one of them."""
    arrays = packed(day)
    sources = range(len(day.sources))
    ends = sorted({node for crew in day.crews for node in (crew.start, crew.home)})
    nodes = [*(stop.node for stop in day.stops), *(source.node for source in day.sources), *ends]
    drives = np.rint(np.minimum(arrays.travel[np.ix_(nodes, nodes)] * FINE, FAR)).astype(np.int64)
    first = len(day.stops)
    depots = [pyvrp.Depot(first + at, tw_early=_fine(day.sources[at].ready_min), tw_late=HORIZON,
                          service_duration=_fine(day.sources[at].fill_min)) for at in sources]
    depots += [pyvrp.Depot(first + len(sources) + at) for at in range(len(ends))]
    patterns: dict[bytes, int] = {}
    matrices: list[IntArray] = []
    types = []
    for at, crew in enumerate(day.crews):
        pattern = arrays.can_do[at].tobytes()
        if pattern not in patterns:
            patterns[pattern] = len(matrices)
            matrices.append(_barred(drives, np.flatnonzero(~arrays.can_do[at])))
        at_yard = [each for each in sources if arrays.can_fill[at, each] and day.sources[each].node == crew.start]
        fills = [each for each in sources if arrays.can_fill[at, each]]
        start, end = (len(sources) + ends.index(node) for node in (crew.start, crew.home))
        types.append(pyvrp.VehicleType(
            1, [_fine(crew.tank_l)], at_yard[0] if at_yard and not crew.on_board else start, end,
            tw_early=_fine(crew.leaves_min),
            tw_late=_fine(crew.back_by_min - (crew.rest.length_min if crew.rest else 0.0)), profile=patterns[pattern],
            reload_depots=fills))
    clients = [_client(day, at, pyvrp) for at in range(len(day.stops))]
    return pyvrp.ProblemData([pyvrp.Location(0, 0)] * len(nodes), clients, depots, types, matrices, matrices)


def _client(day: Day, at: int, pyvrp: Any) -> Any:
    stop = day.stops[at]
    over = max((source.use_by_min for source in day.sources if source.product == stop.product), default=np.inf)
    late = min(max(late for _, late in stop.windows), over - stop.service_min if stop.product else np.inf)
    early = min(early for early, _ in stop.windows)
    return pyvrp.Client(at, [_fine(stop.demand_l) if stop.product else 0], service_duration=_fine(stop.service_min),
                        tw_early=_fine(early), tw_late=_fine(max(early, late)), required=False,
                        prize=int(PRIZE * stop.weight))


def _barred(drives: IntArray, stops: IntArray) -> IntArray:
    kept = drives.copy()
    kept[stops, :] = kept[:, stops] = FAR
    np.fill_diagonal(kept, 0)
    return kept


def _fine(value: float) -> int:
    return int(min(round(value * FINE) if np.isfinite(value) else HORIZON, HORIZON))
