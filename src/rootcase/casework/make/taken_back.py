"""What was told of a batch by mistake: what spoke against it is told anew before anything is judged fit."""

from __future__ import annotations

from rootcase.casework.make.laboratory import not_repeated, over_the_limit
from rootcase.casework.make.limits import cannot_be, of_the_liquid, under_the_floor
from rootcase.casework.make.told_anew import not_told_again
from rootcase.ground.words import say
from rootcase.records.make.batch import Batch, BatchRules, ToldStep


def speaks_against(batch: Batch, told: ToldStep, rules: BatchRules) -> str:
    """Why is nothing more loaded of a batch, by what was told of one step?

    Parameters
    ----------
    batch : as it stands.
    told : of any step.
    rules : the practice's oxygen floor and the yard's height.

    Returns
    -------
    The figure and its limit in one line; empty where the step does not say so.

    Raises
    ------
    OutOfRange : a figure leaves its range.

    Notes
    -----
    Laboratory results over their limit, and oxygen of the liquid below the floor.

    References
    ----------
    `over_the_limit`, `under_the_floor`.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> at = datetime(2016, 5, 3, tzinfo=UTC)
    >>> speaks_against(Batch(id="b", number=1, heap_id="h", started_at=at, by="rs", steps=(), judgement=None, loads=()),
    ...                ToldStep(id="1", step="start", at=at, by="rs", words={}), BatchRules(oxygen_floor_mg_l=6.0))
    ''
    """
    if told.step == "lab":
        return over_the_limit(told)
    return under_the_floor(batch, told, rules) if told.step == "oxygen" else ""


def not_told_anew(batch: Batch, rules: BatchRules) -> tuple[str, ...]:
    """What spoke against a batch, was taken back, and was not told anew since?

    Parameters
    ----------
    batch : as it stands.
    rules : the practice's oxygen floor and the yard's height.

    Returns
    -------
    A line each, with what would be right.

    Raises
    ------
    OutOfRange : a figure leaves its range.

    Notes
    -----
    Taking bad news back is no way to a fit batch: the right figure has to be told in its place. A laboratory repeats
    each organism that was over; oxygen is of the liquid and can be. As many are told anew as were taken back.

    References
    ----------
    None: a rule of this house.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> not_told_anew(Batch(id="b", number=1, heap_id="h", started_at=datetime(2016, 5, 3, tzinfo=UTC), by="rs",
    ...                     steps=(), judgement=None, loads=()), BatchRules(oxygen_floor_mg_l=6.0))
    ()
    """
    believed = {told.id for told in of_the_liquid(batch) if not cannot_be(told, rules)}
    low = [each for each in batch.taken_back if each.told.step == "oxygen" and speaks_against(batch, each.told, rules)]
    missing = (*not_repeated(batch), *(each.told for each in not_told_again(low, believed)))
    return tuple(say("batch.why.taken_back", said=speaks_against(batch, told, rules)) for told in missing)
