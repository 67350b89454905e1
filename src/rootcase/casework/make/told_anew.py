"""What was taken back of a batch is told anew by what was told behind it, one by one."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from rootcase.records.make.batch import StepTakenBack


def not_told_again(taken_back: Iterable[StepTakenBack], fitting: Collection[str]) -> tuple[StepTakenBack, ...]:
    """What was taken back, and has none of its own that was told in its place?

    Parameters
    ----------
    taken_back : in the order taken back.
    fitting : ids of what may stand in its place.

    Returns
    -------
    Those without, in the same order.

    Raises
    ------
    Nothing.

    Notes
    -----
    Only what was told behind it stands in its place, and one for one only. Each has the first that is left; so as many
    as can be have one.

    References
    ----------
    None: a rule of this house.

    Examples
    --------
    >>> not_told_again([], ())
    ()
    """
    left = set(fitting)
    without = []
    for each in taken_back:
        anew = next((told.id for told in each.since if told.id in left), None)
        if anew is None:
            without.append(each)
        else:
            left.remove(anew)
    return tuple(without)
