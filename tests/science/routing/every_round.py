"""The cheapest plan by trying everything: each share of stops, each order, each fill and rest between them, its times
by difference constraints. Shares no line with the search; for days of a handful of stops."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import permutations, product
from math import inf

from rootcase.science.rounds.day import Crew, Day

Doing = tuple[str, int]


def least_drive(day: Day) -> tuple[float, float]:
    """(weight served, minutes driven) of the best plan."""
    own = [_alone(day, at) for at in range(len(day.crews))]
    best = (-1.0, inf)
    for share in product(range(len(own) + 1), repeat=len(day.stops)):
        parts = [frozenset(stop for stop, by in enumerate(share) if by == crew) for crew in range(len(own))]
        drive = sum(each[part] for each, part in zip(own, parts, strict=True))
        if drive == inf:
            continue
        served = sum(stop.weight for at, stop in enumerate(day.stops) if share[at] < len(own))
        if served > best[0] or (served == best[0] and drive < best[1]):
            best = (served, drive)
    return best


def _alone(day: Day, crew: int) -> dict[frozenset[int], float]:
    """The least drive of one crew for each set of stops."""
    who = day.crews[crew]
    found = {}
    for bits in range(1 << len(day.stops)):
        part = [stop for stop in range(len(day.stops)) if (bits >> stop) & 1]
        ways = (way for order in permutations(part) for way in _ways(day, crew, order))
        stays = 0.0 if who.start == who.home and who.on_board is None else None
        found[frozenset(part)] = stays if not part and stays is not None else min(
            (drive for way in ways if (drive := _drive(day, who, way)) < inf and _in_time(day, who, way)), default=inf)
    return found


def _ways(day: Day, crew: int, order: tuple[int, ...]) -> Iterator[list[Doing]]:
    """Each way to put fills before the stops of an order, and the rest somewhere."""
    if any(day.stops[stop].crews is not None and crew not in day.stops[stop].crews for stop in order):
        return
    fills = [-1, *(at for at, each in enumerate(day.sources) if each.crews is None or crew in each.crews)]
    for choice in product(fills, repeat=len(order)):
        way = [doing for fill, stop in zip(choice, order, strict=True)
               for doing in ((("fill", fill),) if fill >= 0 else ()) + (("stop", stop),)]
        if any(kind == "fill" and not _used(day, way[at + 1:], index) for at, (kind, index) in enumerate(way)):
            continue
        yield way
        if day.crews[crew].rest:
            yield from ([*way[:at], ("rest", 0), *way[at:]] for at in range(len(way) + 1))


def _used(day: Day, after: list[Doing], source: int) -> bool:
    """Whether a stop takes of a fill before the next one: nobody fills for nothing, were it on a shorter way."""
    until = next((at for at, (kind, _) in enumerate(after) if kind == "fill"), len(after))
    return any(day.stops[stop].product == day.sources[source].product for kind, stop in after[:until]
               if kind == "stop")


def _drive(day: Day, crew: Crew, way: list[Doing]) -> float:
    at, total = crew.start, 0.0
    for kind, index in way:
        if kind != "rest":
            to = day.stops[index].node if kind == "stop" else day.sources[index].node
            total, at = total + float(day.travel_min[at, to]), to
    return total + float(day.travel_min[at, crew.home])


def _in_time(day: Day, crew: Crew, way: list[Doing]) -> bool:
    """Whether there are times that keep to everything: no cycle of bounds may gain on itself."""
    windows = [day.stops[index].windows if kind == "stop" else ((0.0, inf),) for kind, index in way]
    return any(_bounds_hold(day, crew, way, choice) for choice in product(*windows))


def _bounds_hold(day: Day, crew: Crew, way: list[Doing], windows: tuple[tuple[float, float], ...]) -> bool:
    home = len(way)
    bounds = [(-1, 0, 0.0)] if way else []  # (a, b, d): start of b - start of a >= d; -1 is the day's zero
    board = crew.on_board
    aboard = (board.product, board.litres, board.use_by_min) if board else ("", 0.0, inf)
    at, filled, length, rested = crew.start, None, crew.leaves_min, False
    before = -1
    for now, (kind, index) in enumerate(way):
        to = at if kind == "rest" else day.stops[index].node if kind == "stop" else day.sources[index].node
        bounds += [(before, now, length + float(day.travel_min[at, to])), (-1, now, windows[now][0]),
                   (now, -1, -windows[now][1])]
        if kind == "fill":
            source = day.sources[index]
            length, filled = source.fill_min, (now, source)
            bounds.append((-1, now, source.ready_min))
            aboard = (source.product, crew.tank_l, source.use_by_min)
        elif kind == "rest":
            assert crew.rest is not None
            length, rested = crew.rest.length_min, True
            bounds += [(-1, now, crew.rest.earliest_min), (now, -1, -crew.rest.latest_min)]
        else:
            stop, length = day.stops[index], day.stops[index].service_min
            if stop.product:
                if stop.product != aboard[0] or aboard[1] < stop.demand_l:
                    return False
                aboard = (aboard[0], aboard[1] - stop.demand_l, aboard[2])
                bounds.append((now, -1, length - aboard[2]))
                if filled is not None:
                    bounds.append((now, filled[0], length - filled[1].fill_min - filled[1].keeps_min))
        at, before = to, now
    bounds += [(before, home, length + float(day.travel_min[at, crew.home])), (home, -1, -crew.back_by_min)]
    if crew.rest and not rested:
        bounds.append((home, -1, -crew.rest.latest_min))
    return _has_times(bounds, home + 1)


def _has_times(bounds: list[tuple[int, int, float]], size: int) -> bool:
    """Bellman and Ford on longest ways from the day's zero, which is the last entry."""
    least = [0.0] * (size + 1)
    for _ in range(size + 2):
        moved = False
        for start, end, gap in bounds:
            if gap > -inf and least[start] + gap > least[end] + 1e-9:
                least[end], moved = least[start] + gap, True
        if not moved:
            return True
    return False
