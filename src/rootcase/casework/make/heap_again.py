"""A logger's readings that come a second time, as another probe's."""

from __future__ import annotations

from collections.abc import Sequence

from rootcase.records.make.heap import Heap, LoggedHeat

FEWEST_ALIKE, ALIKE_SHARE = 3, 0.9
"""Readings of the same time and figure from which on two series are one logger's. JUDGEMENT."""


def told_as_another_probe(heap: Heap, brought: Sequence[LoggedHeat]) -> LoggedHeat | None:
    """Do a heap's logs already hold, as another probe's, what a file brings?

    Parameters
    ----------
    heap : as it stands.
    brought : the columns of one file, each with the probe it is said to be of; degC.

    Returns
    -------
    LoggedHeat that stands and is told again; None where there is none.

    Raises
    ------
    Nothing.

    Notes
    -----
    The same file (by SHA-256) under other probes; or nine in ten readings of the shorter series, and three at least,
    of the same second and the same hundredth of a degree. Two probes in one heap do not read so alike. A column that
    stands already under its own probe is no second telling.

    References
    ----------
    None: JUDGEMENT, so that one logger does not stand for the two probes that a heat rule needs.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from datetime import UTC, datetime
    >>> first = LoggedHeat(id="a", probe=1, file="log.csv", mark="0", by="rs", start=datetime(2015, 5, 1, tzinfo=UTC),
    ...                    after_s=(0, 3600, 7200), temperature_c=(60.0, 61.0, 60.5))
    >>> heap = Heap(id="h", name="4", shape="static", rule="cfr_503", complete_at=datetime(2015, 5, 1, tzinfo=UTC),
    ...             time_zone="America/New_York", by="rs", logged=(first,))
    >>> told_as_another_probe(heap, [replace(first, id="b", probe=2, mark="1")]).probe
    1
    """
    standing, said = {each.id for each in heap.logged}, {each.probe for each in brought}
    for old in heap.logged:
        if old.mark in {each.mark for each in brought} and old.probe not in said:
            return old
        for new in brought:
            if new.id not in standing and new.probe != old.probe and _alike(new, old):
                return old
    return None


def _alike(one: LoggedHeat, other: LoggedHeat) -> bool:
    first, second = _readings(one), _readings(other)
    same = len(first & second)
    return same >= FEWEST_ALIKE and same >= ALIKE_SHARE * min(len(first), len(second))


def _readings(log: LoggedHeat) -> set[tuple[int, float]]:
    start_s = round(log.start.timestamp())
    return {(start_s + after, round(warm, 2)) for after, warm in zip(log.after_s, log.temperature_c, strict=False)}
