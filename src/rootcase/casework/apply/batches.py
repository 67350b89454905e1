"""Which extract there is to plan with: batches that were made, else those that are planned."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from rootcase.records.apply.rounds import PlannedBatch


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
