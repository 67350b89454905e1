"""The cheapest round of one crew: through stops in a given order, or through every set of stops at once."""

from __future__ import annotations

import numpy as np
from numba import njit

from rootcase.science.routing.packed import NOTHING, FloatArray, IntArray, Packed

compiled = njit(cache=True, nogil=True, error_model="numpy")

HAIR_MIN = 1e-7
START, STOP, FILL, REST = 0, 1, 2, 3
COST, END, SPENT, LATEST, USE_BY, KEEPS, LITRES = range(7)
"""Columns of a label. END is the earliest minute at which its last step can be over. What is aboard was filled by
LATEST at the latest, or windows are missed, and SPENT minutes at least lie between that fill and the last step's end:
filled at f, the step is over at max(END, f + SPENT). So a fill may wait for the sake of its age and cost no time."""
NODE, PRODUCT, RESTED, USED, PARENT, KIND, WHICH, NEXT = range(8)
"""Whole numbers of a label. USED: a stop took of what was filled last, or nothing was filled. NEXT leads through the
labels that served the same stops."""


@compiled
def _dominated(figures: FloatArray, numbers: IntArray, head: int, new: FloatArray, marks: IntArray) -> bool:
    """Whether a kept label of the same list, place, product and rest is at least as good in everything."""
    at = head
    while at >= 0:
        if (numbers[at, NODE] == marks[NODE] and numbers[at, PRODUCT] == marks[PRODUCT]
                and numbers[at, RESTED] >= marks[RESTED] and numbers[at, USED] >= marks[USED]
                and figures[at, COST] <= new[COST] + HAIR_MIN and figures[at, END] <= new[END] + HAIR_MIN
                and figures[at, SPENT] <= new[SPENT] + HAIR_MIN and figures[at, LATEST] >= new[LATEST] - HAIR_MIN
                and figures[at, USE_BY] >= new[USE_BY] and figures[at, KEEPS] >= new[KEEPS]
                and figures[at, LITRES] >= new[LITRES] - HAIR_MIN):
            return True
        at = numbers[at, NEXT]
    return False


@compiled
def _wanted(day: Packed, stops: IntArray, served: int, in_order: bool, product: int) -> bool:
    """Whether a stop that is still to come takes the product; in order: whether the next that takes any does."""
    for at in range(served if in_order else 0, len(stops)):
        if not in_order and (served >> at) & 1:
            continue
        of = day.stop_product[stops[at]]
        if of == product:
            return True
        if in_order and of != NOTHING:
            return False
    return False


@compiled
def _onward(day: Packed, crew: int, stop: int, window: int, figures: FloatArray, numbers: IntArray, at: int,
            new: FloatArray, marks: IntArray) -> bool:
    """Label of a stop after label `at`, into `new` and `marks`; False where it cannot be."""
    product = day.stop_product[stop]
    if product != NOTHING and (numbers[at, PRODUCT] != product
                               or figures[at, LITRES] < day.demand[stop] - HAIR_MIN):
        return False
    early, late = day.windows[stop, window, 0], day.windows[stop, window, 1]
    drive = day.travel[numbers[at, NODE], day.stop_node[stop]]
    start = max(early, figures[at, END] + drive)
    if start > late + HAIR_MIN:
        return False
    new[:] = figures[at]
    new[COST] += drive
    new[END] = start + day.service[stop]
    new[LATEST] = min(figures[at, LATEST], late - drive - figures[at, SPENT])
    new[SPENT] += drive + day.service[stop]
    if product != NOTHING:
        new[LATEST] = min(new[LATEST], new[USE_BY] - new[SPENT])
        if (new[END] > new[USE_BY] + HAIR_MIN or new[SPENT] > new[KEEPS] + HAIR_MIN
                or new[END] - new[KEEPS] > new[LATEST] + HAIR_MIN):
            return False
        new[LITRES] -= day.demand[stop]
    if new[END] + day.to_home[crew, day.stop_node[stop]] > day.crew[crew, 2] + HAIR_MIN:
        return False
    marks[NODE], marks[PRODUCT], marks[RESTED] = day.stop_node[stop], numbers[at, PRODUCT], numbers[at, RESTED]
    marks[USED] = 1 if product != NOTHING else numbers[at, USED]
    marks[PARENT], marks[KIND], marks[WHICH] = at, STOP, stop * day.windows.shape[1] + window
    return True


@compiled
def _filled(day: Packed, crew: int, source: int, figures: FloatArray, numbers: IntArray, at: int, new: FloatArray,
            marks: IntArray) -> bool:
    drive = day.travel[numbers[at, NODE], day.source_node[source]]
    end = max(figures[at, END] + drive, day.source[source, 1]) + day.source[source, 0]
    if end > min(day.source[source, 2], day.crew[crew, 2] - day.to_home[crew, day.source_node[source]]) + HAIR_MIN:
        return False
    new[COST] = figures[at, COST] + drive
    new[END], new[SPENT], new[LATEST] = end, 0.0, np.inf
    new[USE_BY], new[KEEPS], new[LITRES] = day.source[source, 2], day.source[source, 3], day.crew[crew, 0]
    marks[NODE], marks[PRODUCT] = day.source_node[source], day.source_product[source]
    marks[RESTED], marks[USED] = numbers[at, RESTED], 0
    marks[PARENT], marks[KIND], marks[WHICH] = at, FILL, source
    return True


@compiled
def _rested(day: Packed, crew: int, figures: FloatArray, numbers: IntArray, at: int, new: FloatArray,
            marks: IntArray) -> bool:
    early, late, length = day.crew[crew, 3], day.crew[crew, 4], day.crew[crew, 5]
    if length < 0.0 or numbers[at, RESTED] == 1 or figures[at, END] > late + HAIR_MIN:
        return False
    new[:] = figures[at]
    new[END] = max(early, figures[at, END]) + length
    new[LATEST] = min(figures[at, LATEST], late - figures[at, SPENT])
    new[SPENT] += length
    marks[:] = numbers[at]
    marks[RESTED], marks[PARENT], marks[KIND], marks[WHICH] = 1, at, REST, 0
    return True


@compiled
def _keep(figures: FloatArray, numbers: IntArray, heads: IntArray, count: int, bucket: int, new: FloatArray,
          marks: IntArray) -> int:
    """The new count; the same where a kept label is as good, -1 where there is no room."""
    if count < 0 or _dominated(figures, numbers, heads[bucket], new, marks):
        return count
    if count == len(figures):
        return -1
    figures[count], numbers[count] = new, marks
    numbers[count, NEXT] = heads[bucket]
    heads[bucket] = count
    return count + 1


@compiled
def extend(day: Packed, crew: int, stops: IntArray, in_order: bool, figures: FloatArray, numbers: IntArray,
           heads: IntArray) -> int:
    """All that a crew can do, as labels that no other label beats.

    Parameters
    ----------
    day : the day as arrays. [min, L]
    crew : place in its list of crews.
    stops : those it may serve.
    in_order : whether they are served one after the other as they stand; else every set of them in every order.
    figures, numbers : room for the labels; filled.
    heads : room for one number more than there are stops, or for each set of them; filled with the first label of each
        list: by how many are served, or by which, as bits.

    Returns
    -------
    How many labels there are, dimensionless; -1 where they have no room

    Raises
    ------
    None

    Notes
    -----
    A label goes on to a stop in one of its windows, to a source of what a stop to come takes, or rests. It is dropped
    where another of the same stops, place and product has driven, spent and aged no more and holds no less. Stops are
    added only, so the lists are gone through in their own order.

    References
    ----------
    Desrochers & Soumis 1988, A generalized permanent labelling algorithm for the shortest path problem with time
    windows, INFOR 26:191; Feillet et al. 2004, An exact algorithm for the elementary shortest path problem with
    resource constraints, Networks 44:216 (both memory); the two-sided time of a fill: own work (computed).

    Examples
    --------
    >>> from rootcase.science.rounds.day import Crew, Day, Stop
    >>> from rootcase.science.routing.packed import packed
    >>> day = packed(Day(np.array([[0.0, 9.0], [4.0, 0.0]]), (Stop(node=1),), (),
    ...                  (Crew(start=0, home=0, tank_l=0.0, back_by_min=60.0),)))
    >>> extend(day, 0, np.array([0]), True, np.zeros((9, 7)), np.zeros((9, 8), int), np.zeros(2, int))
    2
    """
    heads[:] = -1
    new, marks = np.zeros(7), np.zeros(8, dtype=np.int64)
    new[END], new[LITRES], new[USE_BY] = day.crew[crew, 1], day.board[crew, 0], day.board[crew, 1]
    new[LATEST], new[KEEPS] = np.inf, np.inf
    marks[NODE], marks[PRODUCT], marks[PARENT] = day.crew_node[crew, 0], day.board_product[crew], -1
    marks[USED] = 1
    count = _keep(figures, numbers, heads, 0, 0, new, marks)
    todo = np.empty(len(figures), dtype=np.int64)
    for served in range(len(heads)):
        waiting = 0
        at = heads[served]
        while at >= 0:
            todo[waiting] = at
            waiting += 1
            at = numbers[at, NEXT]
        done = 0
        while done < waiting:
            at = todo[done]
            done += 1
            before = count
            if _rested(day, crew, figures, numbers, at, new, marks):
                count = _keep(figures, numbers, heads, count, served, new, marks)
            if numbers[at, USED]:  # else the fill before was for nothing
                for source in range(len(day.source_node)):
                    if (day.can_fill[crew, source]
                            and _wanted(day, stops, served, in_order, day.source_product[source])
                            and _filled(day, crew, source, figures, numbers, at, new, marks)):
                        count = _keep(figures, numbers, heads, count, served, new, marks)
            if count < 0:
                return -1
            for each in range(before, count):
                todo[waiting] = each
                waiting += 1
            for local in range(len(stops)):
                if in_order:
                    if local != served:
                        continue
                    then = served + 1
                else:
                    if (served >> local) & 1:
                        continue
                    then = served | (1 << local)
                for window in range(day.windows.shape[1]):
                    if (day.can_do[crew, stops[local]]
                            and _onward(day, crew, stops[local], window, figures, numbers, at, new, marks)):
                        count = _keep(figures, numbers, heads, count, then, new, marks)
                if count < 0:
                    return -1
    return count


@compiled
def best_home(day: Packed, crew: int, figures: FloatArray, numbers: IntArray, head: int) -> tuple[float, int]:
    """The label of a list from which the way home is shortest.

    Parameters
    ----------
    day : the day as arrays. [min, L]
    crew : place in its list of crews.
    figures, numbers : labels as `extend` left them.
    head : first label of the list.

    Returns
    -------
    ([min] driven with the way home, row of the label); (inf, -1) where none is home in time, rested if it has to

    Raises
    ------
    None

    Notes
    -----
    Whoever is home before their rest has to begin rests there. What was filled last was used. Of two ways as long the
    one that is home earlier.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> from rootcase.science.rounds.day import Crew, Day, Stop
    >>> from rootcase.science.routing.packed import packed
    >>> day = packed(Day(np.array([[0.0, 9.0], [4.0, 0.0]]), (Stop(node=1),), (),
    ...                  (Crew(start=0, home=0, tank_l=0.0, back_by_min=60.0),)))
    >>> figures, numbers, heads = np.zeros((9, 7)), np.zeros((9, 8), int), np.zeros(2, int)
    >>> _ = extend(day, 0, np.array([0]), True, figures, numbers, heads)
    >>> best_home(day, 0, figures, numbers, heads[1])
    (13.0, 1)
    """
    least, best, soonest = np.inf, -1, np.inf
    at = head
    while at >= 0:
        drive = day.travel[numbers[at, NODE], day.crew_node[crew, 1]]
        cost = figures[at, COST] + drive
        back = figures[at, END] + drive
        rests = day.crew[crew, 5] < 0.0 or numbers[at, RESTED] == 1 or back <= day.crew[crew, 4] + HAIR_MIN
        better = cost < least - HAIR_MIN or (cost < least + HAIR_MIN and back < soonest)
        if numbers[at, USED] and rests and back <= day.crew[crew, 2] + HAIR_MIN and better:
            least, best, soonest = min(least, cost), at, back
        at = numbers[at, NEXT]
    return least, best
