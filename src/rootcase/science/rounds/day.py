"""A day of rounds: the stops, where a tank can be filled, who drives; and a plan for it, minute by minute."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import Literal

import numpy as np
import numpy.typing as npt

from rootcase.ground.errors import OutOfRange, require_range

FloatArray = npt.NDArray[np.float64]
MOST_MIN = 100_000.0
"""Some ten weeks, for instances that count in tenths of minutes."""
MOST_L = 1_000_000.0
HAIR_L = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """Something to do at one place."""

    node: int
    """Row of the travel table."""
    service_min: float = 0.0
    product: str = ""
    """What it takes from the tank, such as `extract` or `water`; empty: nothing."""
    demand_l: float = 0.0
    windows: tuple[tuple[float, float], ...] = ((0.0, inf),)
    """Earliest and latest minute at which the work may start; one of them holds."""
    crews: frozenset[int] | None = None
    """Who can do it, by place in the day's list; None: everybody."""
    weight: float = 1.0
    """How much it is missed when it is left out, beside the others."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Where a tank is filled with one product: a batch in the yard, a hydrant."""

    node: int
    product: str
    fill_min: float = 0.0
    ready_min: float = 0.0
    """Before it no fill begins: the end of extraction."""
    use_by_min: float = inf
    """By then the work at every stop of it is over, whenever it was filled: every load inherits its batch's age."""
    keeps_min: float = inf
    """From the end of the fill to the end of the work at a stop, for what ages from then on."""
    holds_l: float = inf
    """What there is of it in the day."""
    crews: frozenset[int] | None = None
    """Who can fill there, by place in the day's list; None: everybody."""


@dataclass(frozen=True, slots=True)
class Break:
    """A rest that begins in its window, wherever the crew is then; no use of it when they are home before it ends."""

    earliest_min: float
    latest_min: float
    length_min: float


@dataclass(frozen=True, slots=True)
class OnBoard:
    """What a tank holds when the day, or the rest of it, begins."""

    product: str
    litres: float
    use_by_min: float = inf


@dataclass(frozen=True, slots=True, kw_only=True)
class Crew:
    """A truck with its people and one tank."""

    start: int
    """Row of the travel table where they are when the day, or the rest of it, begins."""
    home: int
    tank_l: float
    leaves_min: float = 0.0
    back_by_min: float
    rest: Break | None = None
    on_board: OnBoard | None = None


@dataclass(frozen=True, slots=True)
class Day:
    """All that a plan has to keep to."""

    travel_min: FloatArray
    """From row to column."""
    stops: tuple[Stop, ...]
    sources: tuple[Source, ...]
    crews: tuple[Crew, ...]

    def __post_init__(self) -> None:
        size = len(self.travel_min)
        if self.travel_min.shape != (size, size):
            raise OutOfRange("the travel table is not square", value=" x ".join(map(str, self.travel_min.shape)),
                             right="it needs a row and a column for each place")
        require_range("travel_min", self.travel_min, 0.0, MOST_MIN, "min")
        nodes = [*(stop.node for stop in self.stops), *(source.node for source in self.sources),
                 *(node for crew in self.crews for node in (crew.start, crew.home))]
        if any(not 0 <= node < size for node in nodes):
            raise OutOfRange("a place is not in the travel table", value=f"{max(nodes)}",
                             right=f"places run from 0 to {size - 1}")
        for stop in self.stops:
            require_range("service_min", stop.service_min, 0.0, MOST_MIN, "min")
            require_range("demand_l", stop.demand_l, 0.0, MOST_L, "L")
        for crew in self.crews:
            require_range("tank_l", crew.tank_l, 0.0, MOST_L, "L")
            require_range("back_by_min", crew.back_by_min, crew.leaves_min, MOST_MIN, "min")


@dataclass(frozen=True, slots=True)
class Step:
    """One thing a crew does, and when; the drive to it comes before."""

    kind: Literal["fill", "stop", "rest"]
    index: int
    """Place in the day's sources or stops; 0 for a rest."""
    start_min: float
    end_min: float


@dataclass(frozen=True, slots=True)
class Plan:
    """What each crew does in turn; empty for who stays in the yard."""

    rounds: tuple[tuple[Step, ...], ...]

    @property
    def served(self) -> frozenset[int]:
        return frozenset(step.index for steps in self.rounds for step in steps if step.kind == "stop")


def travel_of_round(day: Day, crew: int, steps: tuple[Step, ...]) -> float:
    """How long a crew drives.

    Parameters
    ----------
    day : the day.
    crew : place in its list of crews.
    steps : what the crew does in turn.

    Returns
    -------
    [min], from where it starts to its home; 0 where nothing is done and it starts at home

    Raises
    ------
    None

    Notes
    -----
    A rest is taken where the crew is.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> there = np.array([[0.0, 12.0], [15.0, 0.0]])
    >>> day = Day(there, (Stop(node=1),), (), (Crew(start=0, home=0, tank_l=0.0, back_by_min=480.0),))
    >>> travel_of_round(day, 0, (Step("stop", 0, 12.0, 12.0),))
    27.0
    """
    at = day.crews[crew].start
    total = 0.0
    for step in steps:
        to = node_of(day, step, at)
        total += float(day.travel_min[at, to])
        at = to
    return total + float(day.travel_min[at, day.crews[crew].home])


def node_of(day: Day, step: Step, at: int) -> int:
    """Where a step happens.

    Parameters
    ----------
    day : the day.
    step : one step of a round.
    at : row of the travel table where the crew is before it.

    Returns
    -------
    Row of the travel table

    Raises
    ------
    None

    Notes
    -----
    A rest moves nobody.

    References
    ----------
    None

    Examples
    --------
    >>> day = Day(np.zeros((3, 3)), (Stop(node=2),), (), ())
    >>> node_of(day, Step("stop", 0, 0.0, 5.0), 1), node_of(day, Step("rest", 0, 0.0, 30.0), 1)
    (2, 1)
    """
    if step.kind == "rest":
        return at
    return day.stops[step.index].node if step.kind == "stop" else day.sources[step.index].node


def travel_of_plan(day: Day, plan: Plan) -> float:
    """How long all crews drive together.

    Parameters
    ----------
    day : the day.
    plan : a round for each of its crews.

    Returns
    -------
    [min]

    Raises
    ------
    None

    Notes
    -----
    None

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> there = np.array([[0.0, 12.0], [15.0, 0.0]])
    >>> day = Day(there, (Stop(node=1),), (), (Crew(start=0, home=0, tank_l=0.0, back_by_min=480.0),))
    >>> travel_of_plan(day, Plan(((Step("stop", 0, 12.0, 12.0),),)))
    27.0
    """
    return sum(travel_of_round(day, crew, steps) for crew, steps in enumerate(plan.rounds))


def holds_enough(day: Day, plan: Plan) -> bool:
    """Whether each source holds what a plan takes of it.

    Parameters
    ----------
    day : the day. [L]
    plan : a round for each of its crews.

    Returns
    -------
    True where none gives more than it holds

    Raises
    ------
    None

    Notes
    -----
    Of a fill counts what the stops after it use. `faults_of_plan` counts for itself, so that it stays a check.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> crew = Crew(start=0, home=0, tank_l=99.0, back_by_min=60.0)
    >>> day = Day(np.zeros((1, 1)), (Stop(node=0, product="water", demand_l=50.0),),
    ...           (Source(node=0, product="water", holds_l=40.0),), (crew,))
    >>> holds_enough(day, Plan(((Step("fill", 0, 0.0, 0.0), Step("stop", 0, 0.0, 0.0)),)))
    False
    """
    drawn_l = np.zeros(len(day.sources))
    for steps in plan.rounds:
        source = -1
        for step in steps:
            if step.kind == "fill":
                source = step.index
            elif step.kind == "stop" and source >= 0 and day.stops[step.index].product:
                drawn_l[source] += day.stops[step.index].demand_l
    return all(used <= source.holds_l + HAIR_L for used, source in zip(drawn_l, day.sources, strict=True))
