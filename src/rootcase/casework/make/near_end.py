"""Whether oxygen was read near the end of extraction, or after it."""

from __future__ import annotations

from datetime import timedelta

from rootcase.casework.make.limits import of_the_liquid
from rootcase.records.make.batch import Batch
from rootcase.tables.load import table


def read_near_the_end(batch: Batch) -> bool:
    """Was oxygen of the liquid read near the end of extraction, or after it?

    Parameters
    ----------
    batch : as it stands.

    Returns
    -------
    True also while nobody told the end, or nobody read oxygen: other lines say so.

    Raises
    ------
    Missing : the table lacks the rule.

    Notes
    -----
    What was read long before says nothing of the liquid that is loaded: it goes on using oxygen.

    References
    ----------
    Table tank/oxygen_near_end: JUDGEMENT.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> read_near_the_end(Batch(id="b", number=1, heap_id="h", started_at=datetime(2016, 5, 3, tzinfo=UTC), by="rs",
    ...                         steps=(), judgement=None, loads=()))
    True
    """
    end, read = batch.newest("end"), of_the_liquid(batch)
    return end is None or not read or max(told.at for told in read) >= end.at - timedelta(hours=near_h())


def near_h() -> float:
    """How long before the end of extraction may the newest reading of oxygen lie?

    Parameters
    ----------
    None.

    Returns
    -------
    [h]

    Raises
    ------
    Missing : the table lacks the rule.

    Notes
    -----
    As long as a batch may be used afterwards.

    References
    ----------
    Table tank/oxygen_near_end: JUDGEMENT.

    Examples
    --------
    >>> near_h()
    1.0
    """
    return float(table("tank/oxygen_near_end").row(rule="extract")["within_h"])
