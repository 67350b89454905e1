"""Whether a tank gives the same liquid from its first gallon to its last."""

from __future__ import annotations

from typing import Literal

from rootcase.casework.make.steps import FIRST_AND_LAST
from rootcase.records.make.batch import Batch, TankEvenness
from rootcase.science.tank.mixing import stays_mixed

_MEASURED: tuple[Literal["count", "solids"], ...] = ("count", "solids")


def tanks_evenness(batch: Batch) -> tuple[TankEvenness, ...]:
    """Did the tanks of a batch give the same from the first gallon to the last?

    Parameters
    ----------
    batch : as it stands.

    Returns
    -------
    One for each pair that was told, by count [1/mL] or solids [mg/L], in the order told.

    Raises
    ------
    OutOfRange : a figure leaves its range.

    Notes
    -----
    It refuses nothing: the liquid is out by then. Conductivity is not asked: salts do not settle.

    References
    ----------
    `stays_mixed`; table tank/tolerances, first_to_last_gallon: JUDGEMENT.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> from rootcase.records.make.batch import Figure, ToldStep
    >>> at = datetime(2016, 5, 3, 9, 5, tzinfo=UTC)
    >>> told = ToldStep(id="1", step="gallons", at=at, by="rs", words={"tank": "truck 1"},
    ...                 figures=(Figure("first_per_ml", 4e7), Figure("last_per_ml", 3e7)))
    >>> batch = Batch(id="b", number=1, heap_id="h", started_at=at, by="rs", steps=(told,), judgement=None, loads=())
    >>> [(each.tank, each.measured, each.stays_mixed) for each in tanks_evenness(batch)]
    [('truck 1', 'count', False)]
    """
    found = []
    for told in batch.told("gallons"):
        for measured, (first, last) in zip(_MEASURED, FIRST_AND_LAST, strict=True):
            before, after = told.figure(first), told.figure(last)
            if before is not None and after is not None:
                found.append(TankEvenness(told_id=told.id, tank=told.words.get("tank", ""), measured=measured,
                                          first=before, last=after, stays_mixed=bool(stays_mixed(before, after))))
    return tuple(found)
