"""Jobs become stops: what is done at one place with one tank is one stop, and what no tank holds is several."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import ceil

from rootcase.casework.apply.travel import travel_figure
from rootcase.records.apply.rounds import Waiting

SHARE_HAIR = 1e-9
NO_VISITS: Mapping[str, int] = {}


@dataclass(frozen=True, slots=True)
class PlacedStop:
    """Jobs that are done together."""

    jobs: tuple[Waiting, ...]
    property_id: str
    product: str
    litres: float
    minutes: float
    """At the place. [min]"""
    days: frozenset[date]
    licence: bool
    share: float = 1.0
    """Of its jobs' amount and time, where no tank holds the whole."""


def stops_of(waiting: Iterable[Waiting], tank_l: float, visits: Mapping[str, int] = NO_VISITS
             ) -> tuple[PlacedStop, ...]:
    """Which jobs are done together, and how long that takes.

    Parameters
    ----------
    waiting : jobs with their days. [L, min]
    tank_l : the largest tank there is. [L]
    visits : of jobs of rounds that stand, at which of their stops each is; dimensionless.

    Returns
    -------
    Stops in the order of their first jobs

    Raises
    ------
    None

    Notes
    -----
    Jobs of one property and place that take the same from the tank and may be done on the same days are one stop, as
    long as a tank holds their sum; jobs of two visits are two stops. A job that no tank holds is parted evenly.
    Arriving and packing up is once a stop.

    References
    ----------
    Table apply/travel: JUDGEMENT.

    Examples
    --------
    >>> stops_of([], 600.0)
    ()
    """
    groups: dict[tuple[object, ...], list[Waiting]] = {}
    for each in waiting:
        job = each.job
        groups.setdefault((job.property_id, job.place_id, job.product, each.days, each.licence,
                           visits.get(job.id)), []).append(each)
    return tuple(stop for jobs in groups.values() for stop in _parted(jobs, tank_l))


def parts_of(litres: float, jobs_litres: Iterable[float]) -> int:
    """Over how many stops the jobs of a stop are parted.

    Parameters
    ----------
    litres : that leave the tank at the stop. [L]
    jobs_litres : of each of its jobs, by the plan. [L]

    Returns
    -------
    Parts, this stop being one; 1 where all of it is done here.

    Raises
    ------
    None

    Notes
    -----
    Where a part of the jobs is done already, more leaves the tank by the round than the others ask for: 1.

    References
    ----------
    None

    Examples
    --------
    >>> parts_of(500.0, [1000.0]), parts_of(200.0, [100.0, 100.0]), parts_of(200.0, [100.0]), parts_of(0.0, [])
    (2, 1, 1, 1)
    """
    return max(1, round(sum(jobs_litres) / litres)) if litres > 0.0 else 1


def _parted(jobs: Sequence[Waiting], tank_l: float) -> list[PlacedStop]:
    found: list[PlacedStop] = []
    together: list[Waiting] = []
    for each in jobs:
        if each.job.litres > tank_l > 0.0:
            parts = ceil(each.job.litres / tank_l - SHARE_HAIR)
            found += [_stop([each], 1.0 / parts)] * parts
        elif together and sum(one.job.litres for one in (*together, each)) > tank_l + SHARE_HAIR:
            found.append(_stop(together, 1.0))
            together = [each]
        else:
            together.append(each)
    return [*found, _stop(together, 1.0)] if together else found


def _stop(jobs: Sequence[Waiting], share: float) -> PlacedStop:
    job = jobs[0].job
    minutes = sum(each.job.pace.minutes for each in jobs) * share + travel_figure("stop_minutes")
    return PlacedStop(tuple(jobs), job.property_id, job.product, sum(each.job.litres for each in jobs) * share, minutes,
                      jobs[0].days, jobs[0].licence, share)
