"""A heap's log: what each probe read and when, and which of its readings can be believed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

import numpy as np
import numpy.typing as npt

from rootcase.ground.errors import ImpossibleValue, require_range
from rootcase.science.lanes import Lanes

IntArray = npt.NDArray[np.int64]
BoolArray = npt.NDArray[np.bool_]
Why = Literal["stuck", "pulled", "unchecked"]

HOUR_S, DAY_S = 3600.0, 86400.0
GAP_BY_HAND_S, GAP_OF_A_LOGGER_S = 26 * HOUR_S, 2 * HOUR_S
"""Longest time between two readings that still tell of what lies between them. JUDGEMENT."""
CHECK_HOLDS_S = 30 * DAY_S
"""For how long a probe held into ice water is believed. JUDGEMENT."""
STUCK_S, STUCK_READINGS, OTHERS_MOVED_C = 6 * HOUR_S, 6, 3.0
"""From when on one figure, again and again while another probe moved, is a fault. JUDGEMENT."""
PULLED_FALL_C, PULLED_WITHIN_S, NEAR_AIR_C, AIR_AT_MOST_C = 15.0, 2 * HOUR_S, 5.0, 35.0
"""A fall to the air's warmth at once is a probe out of the heap; where the air is not known, below 35. JUDGEMENT."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatLog:
    """Readings in any order. Times are seconds of one clock that never jumps (UTC): a local time with its hour that
    comes twice or not at all must be turned into it before, by the place's time zone and, in the hour that comes twice,
    by which of the two it was."""

    time_s: Lanes
    probe: IntArray
    temperature_c: Lanes
    turn_s: Lanes
    checked_s: Lanes
    """When a probe was held into ice water and read right."""
    checked_probe: IntArray
    max_gap_s: float
    own_gap_s: Mapping[int, float] = field(default_factory=dict)
    """Longest gap of probes that have another one: those of a logger in a heap that is also read by hand."""
    every_part_heated: bool = False
    """Somebody wrote that the heap was mixed or managed so that all of it came to the heat."""
    air_c: Lanes | None = None
    """Of each reading; not a number where it was not read."""

    def __post_init__(self) -> None:
        for name, pair in (("readings", (self.time_s, self.probe, self.temperature_c)),
                           ("checks", (self.checked_s, self.checked_probe))):
            if len({len(each) for each in pair}) > 1:
                raise ImpossibleValue(f"{name} of a heap are not told in full", right="one time, probe and figure each",
                                      value=", ".join(str(len(each)) for each in pair))
        require_range("temperature_c", self.temperature_c, -60.0, 120.0, "degC")
        require_range("time_s", self.time_s, -1e11, 1e11, "s")
        require_range("turn_s", self.turn_s, -1e11, 1e11, "s")
        for gap_s in (self.max_gap_s, *self.own_gap_s.values()):
            require_range("max_gap_s", gap_s, 60.0, 7 * DAY_S, "s")


class Doubt(NamedTuple):
    """Readings of one probe that do not count."""

    probe: int
    from_s: float
    to_s: float
    why: Why


@dataclass(frozen=True, slots=True)
class Probe:
    """One probe's readings in order of time."""

    number: int
    time_s: Lanes
    temperature_c: Lanes
    air_c: Lanes
    unsure: BoolArray
    """Stuck, or not checked."""
    max_gap_s: float
    after_pulled: BoolArray
    """Whether readings in the air lie between this one and the one before."""


def probes(log: HeatLog) -> tuple[tuple[Probe, ...], tuple[Doubt, ...]]:
    """The readings that can be believed, probe by probe, and those that cannot.

    Parameters
    ----------
    log : of a heap

    Returns
    -------
    each probe without its readings in the air, stuck and unchecked ones marked; and the doubts in order of probe and
    time.

    Raises
    ------
    None : the log was checked as it was made.

    Notes
    -----
    Of two readings of one probe at one time the colder stands. A check holds 30 days onward, never backward.

    References
    ----------
    JUDGEMENT: what a fault looks like, see the constants of this module.

    Examples
    --------
    >>> hours = np.arange(12) * HOUR_S
    >>> log = HeatLog(time_s=np.tile(hours, 2), probe=np.repeat([1, 2], 12), turn_s=np.array([]),
    ...               temperature_c=np.append(np.full(12, 60.0), 55 + np.arange(12)), checked_s=np.zeros(2),
    ...               checked_probe=np.array([1, 2]), max_gap_s=GAP_OF_A_LOGGER_S)
    >>> [bool(probe.unsure.all()) for probe in probes(log)[0]], [doubt.why for doubt in probes(log)[1]]
    ([True, False], ['stuck'])
    """
    every = [_sorted(log, int(number)) for number in np.unique(log.probe)]
    kept, doubts = [], list[Doubt]()
    for probe in every:
        pulled = _pulled(probe)
        stuck = _stuck(probe, [other for other in every if other.number != probe.number]) & ~pulled
        faults: tuple[tuple[BoolArray, Why], ...] = (
            (stuck, "stuck"), (pulled, "pulled"), (probe.unsure & ~stuck & ~pulled, "unchecked"))
        for mask, why in faults:
            doubts += [Doubt(probe.number, float(probe.time_s[a]), float(probe.time_s[b]), why) for a, b in _runs(mask)]
        left = np.flatnonzero(~pulled)
        kept.append(Probe(probe.number, probe.time_s[left], probe.temperature_c[left], probe.air_c[left],
                          (probe.unsure | stuck)[left], probe.max_gap_s,
                          np.append(True, np.diff(left) > 1)[:left.size]))
    return tuple(kept), tuple(sorted(doubts, key=lambda doubt: (doubt.probe, doubt.from_s)))


def _sorted(log: HeatLog, number: int) -> Probe:
    own = np.flatnonzero(log.probe == number)
    order = own[np.lexsort((log.temperature_c[own], log.time_s[own]))]
    times = log.time_s[order]
    order = order[np.append(True, np.diff(times) > 0)]
    times = log.time_s[order]
    checks = np.sort(log.checked_s[log.checked_probe == number])
    last = np.searchsorted(checks, times, side="right") - 1
    age = np.where(last >= 0, times - np.append(checks, np.nan)[last], np.inf)
    air = np.full(times.size, np.nan) if log.air_c is None else log.air_c[order]
    never = np.zeros(times.size, dtype=np.bool_)
    return Probe(number, times, log.temperature_c[order], air, age > CHECK_HOLDS_S,
                 log.own_gap_s.get(number, log.max_gap_s), never)


def _stuck(probe: Probe, others: list[Probe]) -> BoolArray:
    """Readings that repeat one figure for hours while another probe moved."""
    found = np.zeros(probe.time_s.size, dtype=np.bool_)
    start = 0
    for end in np.append(np.flatnonzero(np.diff(probe.temperature_c) != 0), probe.time_s.size - 1):
        first, last = probe.time_s[start], probe.time_s[end]
        if end - start + 1 >= STUCK_READINGS and last - first >= STUCK_S:
            found[start:end + 1] = any(_moved(other, first, last) for other in others)
        start = end + 1
    return found


def _moved(probe: Probe, first: float, last: float) -> bool:
    meanwhile = probe.temperature_c[(probe.time_s >= first) & (probe.time_s <= last)]
    return bool(meanwhile.size and np.ptp(meanwhile) >= OTHERS_MOVED_C)


def _pulled(probe: Probe) -> BoolArray:
    """From a fall to the air's warmth at once until it is warmer than the air again."""
    in_air = np.where(np.isnan(probe.air_c), probe.temperature_c < AIR_AT_MOST_C,
                      np.abs(probe.temperature_c - probe.air_c) <= NEAR_AIR_C)
    fell = np.append(False, (np.diff(probe.temperature_c) <= -PULLED_FALL_C)
                     & (np.diff(probe.time_s) <= PULLED_WITHIN_S))
    found = np.zeros(in_air.size, dtype=np.bool_)
    for at in np.flatnonzero(in_air):
        found[at] = fell[at] or (at > 0 and found[at - 1])
    return found


def _runs(mask: BoolArray) -> Iterator[tuple[int, int]]:
    """First and last place of each unbroken run."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], mask, [False]]).astype(np.int8)))
    for first, after in edges.reshape(-1, 2).tolist():
        yield first, after - 1
