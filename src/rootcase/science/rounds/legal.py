"""Whether a plan can be driven: told by walking through it, knowing nothing of how it was found."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import inf

from rootcase.science.rounds.day import Crew, Day, Plan, Source, Step

HAIR_MIN = 1e-6
HAIR_L = 1e-6

Tell = Callable[[str, float, float], None]


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that a plan breaks."""

    why: str
    """`too_soon`, `length`, `late`, `age`, `empty`, `product`, `crew`, `before_ready`, `home`, `rest`, `twice` or
    `batch`."""
    crew: int
    step: int
    """Place in the crew's round; its length for what the whole round breaks."""
    is_: float
    allowed: float


@dataclass(slots=True)
class _Tank:
    product: str = ""
    litres: float = 0.0
    use_by_min: float = inf


def faults_of_plan(day: Day, plan: Plan) -> tuple[Fault, ...]:
    """What a plan breaks, step by step.

    Parameters
    ----------
    day : what there is to keep to.
    plan : a round for each crew, every step with its start and end. [min]

    Returns
    -------
    Fault for each thing broken, in driving order; empty for a plan that can be driven. [min, or L for `empty` and
    `batch`]

    Raises
    ------
    None

    Notes
    -----
    Each step starts no sooner than the one before it ends plus the drive, and lasts as long as it must. The work of a
    stop starts inside one of its windows, by a crew that can do it, with enough of its product on board, and ends
    before that product is over its age: of the batch, and from the fill where the source says so. A fill starts when
    the source is ready and replaces what is left. A crew that is not home by the end of its rest's window rests once.
    No stop is served twice. No source gives more than it holds: what is used of a fill counts, since who fills knows
    the round. 1e-6 min and L are rounding.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> import numpy as np
    >>> from rootcase.science.rounds.day import Stop
    >>> there = np.array([[0.0, 40.0], [40.0, 0.0]])
    >>> day = Day(there, (Stop(node=1, product="extract", demand_l=200.0, service_min=30.0),),
    ...           (Source(node=0, product="extract", fill_min=10.0, use_by_min=60.0),),
    ...           (Crew(start=0, home=0, tank_l=600.0, back_by_min=480.0),))
    >>> steps = (Step("fill", 0, 0.0, 10.0), Step("stop", 0, 50.0, 80.0))
    >>> [(fault.why, fault.is_, fault.allowed) for fault in faults_of_plan(day, Plan((steps,)))]
    [('age', 80.0, 60.0)]
    """
    found: list[Fault] = []
    seen: set[int] = set()
    drawn = [0.0] * len(day.sources)
    for crew, steps in enumerate(plan.rounds):
        _walk(day, crew, steps, seen, drawn, found)
    for index, source in enumerate(day.sources):
        if drawn[index] > source.holds_l + HAIR_L:
            found.append(Fault("batch", -1, index, drawn[index], source.holds_l))
    return tuple(found)


def _walk(day: Day, index: int, steps: tuple[Step, ...], seen: set[int], drawn: list[float],
          found: list[Fault]) -> None:
    crew = day.crews[index]
    tank = _Tank()
    if crew.on_board:
        tank = _Tank(crew.on_board.product, crew.on_board.litres, crew.on_board.use_by_min)
    at, now, rested, source = crew.start, crew.leaves_min, False, -1
    for place, step in enumerate(steps):
        def tell(why: str, is_: float, allowed: float, place: int = place) -> None:
            found.append(Fault(why, index, place, is_, allowed))

        to = at
        if step.kind == "stop":
            to = day.stops[step.index].node
        elif step.kind == "fill":
            to = day.sources[step.index].node
        soonest = now + float(day.travel_min[at, to])
        if step.start_min < soonest - HAIR_MIN:
            tell("too_soon", step.start_min, soonest)
        takes = _takes_min(day, crew, step)
        if abs(step.end_min - step.start_min - takes) > HAIR_MIN:
            tell("length", step.end_min - step.start_min, takes)
        if step.kind == "fill":
            source = step.index
            tank = _filled(day.sources[source], crew, step, tell)
            if not _may(day.sources[source].crews, index):
                tell("crew", float(index), -1.0)
        elif step.kind == "stop":
            _serve(day, index, step, tank, seen, tell)
            if source >= 0 and day.stops[step.index].product:
                drawn[source] += day.stops[step.index].demand_l
        else:
            rested = True
            _rest(crew, step, tell)
        at, now = to, step.end_min
    if not steps:
        return
    back = now + float(day.travel_min[at, crew.home])
    if back > crew.back_by_min + HAIR_MIN:
        found.append(Fault("home", index, len(steps), back, crew.back_by_min))
    if crew.rest and not rested and back > crew.rest.latest_min + HAIR_MIN:
        found.append(Fault("rest", index, len(steps), back, crew.rest.latest_min))


def _may(crews: frozenset[int] | None, crew: int) -> bool:
    return crews is None or crew in crews


def _takes_min(day: Day, crew: Crew, step: Step) -> float:
    if step.kind == "fill":
        return day.sources[step.index].fill_min
    if step.kind == "stop":
        return day.stops[step.index].service_min
    return crew.rest.length_min if crew.rest else 0.0


def _filled(source: Source, crew: Crew, step: Step, tell: Tell) -> _Tank:
    if step.start_min < source.ready_min - HAIR_MIN:
        tell("before_ready", step.start_min, source.ready_min)
    return _Tank(source.product, crew.tank_l, min(source.use_by_min, step.end_min + source.keeps_min))


def _serve(day: Day, crew: int, step: Step, tank: _Tank, seen: set[int], tell: Tell) -> None:
    stop = day.stops[step.index]
    if step.index in seen:
        tell("twice", 2.0, 1.0)
    seen.add(step.index)
    if not _may(stop.crews, crew):
        tell("crew", float(crew), -1.0)
    if not any(early - HAIR_MIN <= step.start_min <= late + HAIR_MIN for early, late in stop.windows):
        tell("late", step.start_min, max(late for _, late in stop.windows))
    if not stop.product:
        return
    if stop.product != tank.product:
        tell("product", 0.0, stop.demand_l)
        return
    if tank.litres < stop.demand_l - HAIR_L:
        tell("empty", tank.litres, stop.demand_l)
    if step.end_min > tank.use_by_min + HAIR_MIN:
        tell("age", step.end_min, tank.use_by_min)
    tank.litres -= stop.demand_l


def _rest(crew: Crew, step: Step, tell: Tell) -> None:
    if crew.rest is None:
        return
    if not crew.rest.earliest_min - HAIR_MIN <= step.start_min <= crew.rest.latest_min + HAIR_MIN:
        tell("rest", step.start_min, crew.rest.latest_min)
