"""Where crews are in the middle of a day, and the rest of it put to what is done."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace

from rootcase.records.apply.jobs import EXTRACT, WATER
from rootcase.records.apply.rounds import GivenRound, GivenStep, PlannedBatch, Whereabouts


def whereabouts_of(given: GivenRound, logged: Collection[int], now_min: float, leaves_min: float,
                   batches: Mapping[str, PlannedBatch]) -> Whereabouts:
    """Where a crew is and what it has aboard.

    Parameters
    ----------
    given : its round. [min after midnight, L]
    logged : places of its stops that are logged, from 0.
    now_min : the hour. [min after midnight]
    leaves_min : when it leaves the yard. [min after midnight]
    batches : those that may still be put on, by id. [min after midnight, L]

    Returns
    -------
    Whereabouts. [min after midnight, L]

    Raises
    ------
    None

    Notes
    -----
    What is not logged counts as not done; fills and rests whose time has passed count as taken. Extract of a batch that
    may not be put on any more is not counted as aboard.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> from datetime import date
    >>> stop = GivenStep(kind="stop", starts_min=500.0, ends_min=520.0, property_id="p", job_ids=("j",))
    >>> given = GivenRound(id="r", day=date(2026, 4, 6), crew_id="c", steps=(stop,))
    >>> there = whereabouts_of(given, {0}, 540.0, 420.0, {})
    >>> there.property_id, there.at_min
    ('p', 540.0)
    """
    passed = steps_passed(given, logged, now_min)
    fill = max((at for at, step in enumerate(passed) if step.kind == "fill"), default=None)
    batch, product, litres = None, "", 0.0
    if fill is not None:
        used = sum(step.litres for step in passed[fill:] if step.kind == "stop")
        batch, litres = batches.get(passed[fill].batch_id), max(0.0, passed[fill].litres - used)
        product = (EXTRACT if batch else "") if passed[fill].batch_id else WATER
    last = next((step for step in reversed(passed) if step.kind != "rest"), None)
    return Whereabouts(crew_id=given.crew_id, at_min=max(now_min, leaves_min),
                       property_id=(last.property_id or last.fill_point_id) if last else "",
                       product=product if litres else "", litres=litres if product else 0.0,
                       batch=batch if litres else None, rested=any(step.kind == "rest" for step in passed))


def steps_passed(given: GivenRound, logged: Collection[int], now_min: float) -> tuple[GivenStep, ...]:
    """What of a round is behind its crew.

    Parameters
    ----------
    given : the round. [min after midnight]
    logged : places of its stops that are logged, from 0.
    now_min : the hour. [min after midnight]

    Returns
    -------
    Steps in their order: stops that are logged, fills and rests whose time has passed. [min after midnight]

    Raises
    ------
    None

    Notes
    -----
    A fill before a stop that is logged was taken, whatever the hour.

    References
    ----------
    None

    Examples
    --------
    >>> from datetime import date
    >>> rest = GivenStep(kind="rest", starts_min=660.0, ends_min=690.0)
    >>> steps_passed(GivenRound(id="r", day=date(2026, 4, 6), crew_id="c", steps=(rest,)), (), 680.0)
    ()
    """
    far = max(logged, default=-1)
    return tuple(step for at, step in enumerate(given.steps)
                 if (at in logged if step.kind == "stop" else at < far or step.ends_min <= now_min))


def rest_of(given: GivenRound, passed: tuple[GivenStep, ...], new: GivenRound | None) -> GivenRound:
    """A round that goes on otherwise.

    Parameters
    ----------
    given : as it stood.
    passed : what of it is behind the crew. [min after midnight]
    new : what comes; None: nothing more.

    Returns
    -------
    GivenRound, not given yet. [min after midnight]

    Raises
    ------
    None

    Notes
    -----
    None

    References
    ----------
    None

    Examples
    --------
    >>> from datetime import date
    >>> rest_of(GivenRound(id="r", day=date(2026, 4, 6), crew_id="c", steps=(), given_by="rs"), (), None).given_by
    ''
    """
    return replace(given, steps=(*passed, *(new.steps if new else ())), given_by="", moved_by_hand=False)
