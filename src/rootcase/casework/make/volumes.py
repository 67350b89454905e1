"""How much a batch made, and whether more was loaded."""

from __future__ import annotations

from rootcase.records.make.batch import Batch, Step

_VOLUMES: tuple[Step, ...] = ("end", "water")
"""Which says first how much there is."""


def made_l(batch: Batch) -> float | None:
    """How much extract did a batch make?

    Parameters
    ----------
    batch : as it stands.

    Returns
    -------
    [L]; the liquid at the end, or the water where that was not told; None where neither was.

    Raises
    ------
    Nothing.

    Notes
    -----
    What compost holds back of the water is not reckoned.

    References
    ----------
    None: arrangement only.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> made_l(Batch(id="b", number=1, heap_id="h", started_at=datetime(2016, 5, 3, tzinfo=UTC), by="rs", steps=(),
    ...              judgement=None, loads=())) is None
    True
    """
    told = (batch.newest(step) for step in _VOLUMES)
    return next((volume for each in told if each and (volume := each.figure("volume_l")) is not None), None)


def beyond_made_l(batch: Batch) -> float | None:
    """How much more was loaded than a batch made?

    Parameters
    ----------
    batch : as it stands.

    Returns
    -------
    [L]; None where the loads are no more than the liquid at the end, or than the water where that was not told.

    Raises
    ------
    Nothing.

    Notes
    -----
    A warning: a load may be thinned with water in its tank.

    References
    ----------
    None: a sum.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> beyond_made_l(Batch(id="b", number=1, heap_id="h", started_at=datetime(2016, 5, 3, tzinfo=UTC), by="rs",
    ...                     steps=(), judgement=None, loads=())) is None
    True
    """
    made = made_l(batch)
    beyond = sum(load.volume_l for load in batch.loads) - (made or 0.0)
    return beyond if made is not None and beyond > 0.0 else None
