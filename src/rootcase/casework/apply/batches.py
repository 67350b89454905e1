"""Which extract there is to plan with: batches that were made, else those that are planned."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from rootcase.records.apply.rounds import Broken, GivenRound, PlannedBatch

OF_EXTRACT = ("age", "no_source")
"""What a round breaks by another batch than the one that it says; of no use once that one is gone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JudgedBatch:
    """A batch of which it is known whether it may be loaded."""

    id: str
    day: date
    ended_min: float
    """End of extraction, after midnight."""
    fit: bool
    use_by_min: float = 0.0
    """Of a fit one, after midnight."""
    litres: float | None = None
    """What is left of it; None: nobody told how much was made."""
    loaded_l: float = 0.0
    """In loads of it already."""


@dataclass(frozen=True, slots=True)
class Extract:
    """What there is to plan with."""

    batches: tuple[PlannedBatch, ...]
    made_of: dict[str, str]
    """Id of the batch that was made, by that of the planned one whose place it takes; empty: it was refused."""
    late: tuple[PlannedBatch, ...] = ()
    """Planned, over their hour and not judged."""


def extract_to_plan(planned: Sequence[PlannedBatch], judged: Iterable[JudgedBatch], today: date, now_min: float,
                    ) -> Extract:
    """Batches that were made by their own age, else those that are planned.

    Parameters
    ----------
    planned : as they were told. [min after midnight, L]
    judged : fit or refused. [min after midnight, L]
    today : the day by the yard's clock.
    now_min : the hour. [min after midnight]

    Returns
    -------
    Extract : batches to plan with, which took whose place, and those that are late. [min after midnight, L]

    Raises
    ------
    None

    Notes
    -----
    A batch that was judged takes the place of the planned one of its day whose hour is nearest; a refused one leaves
    nothing in it. One whose hour has passed and that nobody judged is late: nothing is planned with it until its hour
    is told anew.

    References
    ----------
    None

    Examples
    --------
    >>> early = PlannedBatch(id="p", day=date(2026, 4, 6), ready_min=450.0, use_by_min=510.0, litres=800.0,
    ...                      fill_point_id="yard")
    >>> refused = JudgedBatch(id="b", day=early.day, ended_min=460.0, fit=False)
    >>> extract_to_plan([early], [refused], early.day, 480.0).batches
    ()
    """
    found: list[PlannedBatch] = []
    made_of: dict[str, str] = {}
    for each in sorted(judged, key=lambda one: (one.day, one.ended_min)):
        open_ones = [one for one in planned if one.day == each.day and one.id not in made_of]
        nearest = min(open_ones, key=lambda one: abs(one.ready_min - each.ended_min), default=None)
        if nearest:
            made_of[nearest.id] = each.id if each.fit else ""
        yard = nearest or next(iter(planned), None)
        if each.fit and yard:
            litres = each.litres if each.litres is not None else nearest.litres if nearest else 0.0
            found.append(PlannedBatch(id=each.id, day=each.day, ready_min=each.ended_min, use_by_min=each.use_by_min,
                                      litres=litres, fill_point_id=yard.fill_point_id, made=True,
                                      loaded_l=each.loaded_l))
    waiting = [one for one in planned if one.id not in made_of]
    late = tuple(one for one in waiting if (one.day, one.ready_min) < (today, now_min))
    return Extract((*found, *(one for one in waiting if one not in late)), made_of, late)


def batches_gone(rounds: Iterable[GivenRound], extract: Extract) -> tuple[Broken, ...]:
    """Which rounds that stand fill of a batch that is not there any more?

    Parameters
    ----------
    rounds : as they stand.
    extract : the batches to plan with, which took whose place, and those that are late. [min after midnight, L]

    Returns
    -------
    Broken, one a round, at the first stop that gets extract after such a fill.

    Raises
    ------
    Nothing.

    Notes
    -----
    A batch is gone that was taken out of the plan, or was made and refused; one that was made stands for the planned
    one, and a late one is told of as late.

    References
    ----------
    None

    Examples
    --------
    >>> batches_gone((), Extract((), {}))
    ()
    """
    there = {each.id for each in (*extract.batches, *extract.late)}
    there |= {planned for planned, made in extract.made_of.items() if made}
    found = []
    for each in rounds:
        fills = [at for at, step in enumerate(each.steps) if step.kind == "fill" and step.batch_id not in ("", *there)]
        if fills:
            jobs = next((step.job_ids for step in each.steps[fills[0]:] if step.load_age_minutes is not None), ())
            found.append(Broken(why="batch_gone", day=each.day, crew_id=each.crew_id, job_ids=jobs, is_=0.0,
                                allowed=0.0))
    return tuple(found)
