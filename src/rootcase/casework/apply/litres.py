"""Where the litres of a batch went: made is what was applied, what is left and what was lost, to the litre."""

from __future__ import annotations

from collections.abc import Iterable

from rootcase.records.apply.done import Account, LitreKind

WHOLE_L = 0.5
"""Below it every litre is told: a meter is read to the litre."""


def account(batch_id: str, made_l: float, applied_l: Iterable[float],
            told: Iterable[tuple[LitreKind, float]]) -> Account:
    """Where did the litres of one batch go?

    Parameters
    ----------
    batch_id : of the batch.
    made_l : at the end of extraction, as it was measured. [L]
    applied_l : of each record of work that names one of its loads. [L]
    told : what went elsewhere, by kind; `made` corrects `made_l`. [L]

    Returns
    -------
    Account: whole where `unaccounted_l` is 0; above it litres are missing, below it more went out than was made. [L]

    Raises
    ------
    None

    Notes
    -----
    Rinse water is told so that it is on record where it went. It is water that came after, so it stands outside the
    sum. What is less than half a litre apart is whole.

    References
    ----------
    Arithmetic; that half a litre is whole is JUDGEMENT.

    Examples
    --------
    >>> account("b", 1100.0, [700.0, 203.0], [("left", 110.0), ("rinse", 60.0)]).unaccounted_l
    87.0
    >>> account("b", 1100.0, [700.0, 203.0], [("left", 110.0), ("lost", 87.3)]).unaccounted_l
    0.0
    """
    sums = {"made": made_l, "left": 0.0, "lost": 0.0, "rinse": 0.0}
    for kind, litres in told:
        sums[kind] = litres if kind == "made" else sums[kind] + litres
    made, applied = sums["made"], sum(applied_l)
    missing = made - applied - sums["left"] - sums["lost"]
    return Account(batch_id=batch_id, made_l=made, applied_l=applied, left_l=sums["left"], lost_l=sums["lost"],
                   rinse_l=sums["rinse"], unaccounted_l=0.0 if abs(missing) < WHOLE_L else missing)
