"""What in a heap's log was probably told twice, or in the other degrees."""

from __future__ import annotations

import re
from collections import defaultdict
from datetime import datetime, timedelta

from rootcase.ground.units import convert
from rootcase.records.make.heap import Degrees, Heap, HeatReading, HeatSlip

ONE_TURNING = timedelta(minutes=10)
"""Turns told closer together are one: nobody turns a heap twice in that time, and a key is pressed twice. JUDGEMENT."""
_SOON, _FAR_C, _NEAR_C = timedelta(days=3), 20.0, 12.0
"""When a number may have been of the other degrees. JUDGEMENT."""
UNLIKELY_C = (-10.0, 90.0)
"""What a probe in a heap hardly reads lies outside. JUDGEMENT."""
_OTHERS: tuple[tuple[Degrees, Degrees], ...] = (("degC", "degF"), ("degF", "degC"))


def turned_at(heap: Heap) -> tuple[datetime, ...]:
    """When was a heap turned?

    Parameters
    ----------
    heap : as it stands.

    Returns
    -------
    tuple of datetime, UTC, in order of time: of turns told within ten minutes of one another the first.

    Raises
    ------
    Nothing.

    Notes
    -----
    Each is held against the last one that counted, so that turns told every few minutes do not all become one.

    References
    ----------
    None: ten minutes are JUDGEMENT.

    Examples
    --------
    >>> from datetime import UTC
    >>> from rootcase.records.make.heap import Turn
    >>> at = datetime(2015, 5, 6, 12, tzinfo=UTC)
    >>> turns = tuple(Turn(id=str(minute), at=at + timedelta(minutes=minute), by="rs") for minute in (0, 2, 90))
    >>> heap = Heap(id="h", name="4", shape="windrow", rule="cfr_503", complete_at=at, time_zone="UTC", by="rs",
    ...             turns=turns)
    >>> [f"{each:%H:%M}" for each in turned_at(heap)]
    ['12:00', '13:30']
    """
    counted: list[datetime] = []
    for at in sorted(each.at for each in heap.turns):
        if not counted or at - counted[-1] >= ONE_TURNING:
            counted.append(at)
    return tuple(counted)


def unlikely(heap: Heap) -> tuple[str, ...]:
    """Which readings by hand does a heap hardly give?

    Parameters
    ----------
    heap : as it stands; temperatures in degC.

    Returns
    -------
    tuple of str, ids of readings below -10 or above 90 degC.

    Raises
    ------
    Nothing.

    Notes
    -----
    They are kept and count as they were told.

    References
    ----------
    None: both bounds are JUDGEMENT.

    Examples
    --------
    >>> from datetime import UTC
    >>> at = datetime(2015, 5, 6, 12, tzinfo=UTC)
    >>> readings = tuple(HeatReading(id=str(warm), at=at, probe=1, temperature_c=warm, by="rs")
    ...                  for warm in (-40.0, 60.0))
    >>> heap = Heap(id="h", name="4", shape="windrow", rule="cfr_503", complete_at=at, time_zone="UTC", by="rs",
    ...             readings=readings)
    >>> unlikely(heap)
    ('-40.0',)
    """
    return tuple(each.id for each in heap.readings if not UNLIKELY_C[0] <= each.temperature_c <= UNLIKELY_C[1])


def slips(heap: Heap) -> tuple[HeatSlip, ...]:
    """Which numbers were probably of the other degrees?

    Parameters
    ----------
    heap : as it stands; temperatures in degC.

    Returns
    -------
    tuple of HeatSlip, in order of time: the reading, the degrees it may have been in, and what its probe read before
        [degC].

    Raises
    ------
    Nothing.

    Notes
    -----
    Where no unit was typed, the probe was read in the three days before, and only in the other degrees the number lies
    by that: more than 20 degC away as told, less than 12 in the others. The reading counts as it was told.

    References
    ----------
    None: the three bounds are JUDGEMENT.

    Examples
    --------
    >>> from datetime import UTC
    >>> def read(day, typed, celsius):
    ...     return HeatReading(id=typed, at=datetime(2015, 5, day, tzinfo=UTC), probe=1, temperature_c=celsius, by="rs",
    ...                        typed=typed)
    >>> heap = Heap(id="h", name="4", shape="static", rule="cfr_503", complete_at=datetime(2015, 5, 1, tzinfo=UTC),
    ...             time_zone="UTC", by="rs", readings=(read(4, "140", 60.0), read(5, "61", 16.1)))
    >>> [(each.reading_id, each.other, each.last_c) for each in slips(heap)]
    [('61', 'degC', 60.0)]
    """
    before: dict[int, list[HeatReading]] = defaultdict(list)
    found = []
    for read in sorted(heap.readings, key=lambda each: (each.at, each.id)):
        last = next((each for each in reversed(before[read.probe]) if each.at < read.at), None)
        before[read.probe].append(read)
        if last is None or read.at - last.at > _SOON or re.search("[cf]", read.typed, re.IGNORECASE):
            continue
        other = next((unit for unit, told in _OTHERS
                      if abs(convert(read.temperature_c, unit, told) - last.temperature_c) < _NEAR_C), None)
        if other and abs(read.temperature_c - last.temperature_c) > _FAR_C:
            found.append(HeatSlip(reading_id=read.id, other=other, last_c=last.temperature_c))
    return tuple(found)
