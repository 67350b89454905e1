"""Was a heap hot enough for long enough? The coldest of at least two probes says, and no gap is filled."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, NamedTuple

import numpy as np

from rootcase.science.compost.heat_log import DAY_S, BoolArray, Doubt, HeatLog, IntArray, Probe, probes
from rootcase.science.compost.heat_rules import LEAST_LETHAL_C, HeatRule, holding_days
from rootcase.science.lanes import Lanes

LEAST_PROBES = 2
DUST_C = 1e-6
"""What turning a temperature from one unit to another leaves."""
DUST_S = 1e-3
ABSENT, DOUBTFUL, OUTSIDE, HOT = range(4)

Verdict = Literal["met", "not_met", "not_shown"]
Reason = Literal["hot", "cold", "too_hot", "gap", "one_probe", "stuck", "pulled", "unchecked", "days", "turns",
                 "every_part", "no_readings"]


class Deciding(NamedTuple):
    """The time that decides the verdict, and why."""

    from_s: float
    to_s: float
    why: Reason


class Stretch(NamedTuple):
    """Time of one state."""

    from_s: float
    to_s: float
    state: Literal["hot", "outside", "not_known"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """What a log shows of a rule."""

    verdict: Verdict
    total_days: float
    """All counted time, summed."""
    unbroken_days: float
    """The longest counted time without a break."""
    most_total_days: float
    """If all that is not known had been hot."""
    most_unbroken_days: float
    turns: int
    """Between the first and the last counted moment."""
    deciding: Deciding
    reheat_s: tuple[float, ...]
    """From each turn to the next counted moment, in order of time; not a number where none came."""
    stretches: tuple[Stretch, ...]
    """All the time of the log, neighbors of one state joined."""
    doubts: tuple[Doubt, ...]
    """Readings that did not count."""


class _Line(NamedTuple):
    """Stretches of time, one after the other."""

    start_s: Lanes
    end_s: Lanes
    state: IntArray
    """OUTSIDE, HOT, or DOUBTFUL where it is not known."""
    coldest_c: Lanes
    """Least of the ends that vote; not a number where none does."""
    voting: IntArray
    """Probes that were hot at both ends."""


def judge(log: HeatLog, rule: HeatRule) -> Judged:
    """Does a log show that a heat rule was kept?

    Parameters
    ----------
    log : of a heap
    rule : for this kind of heap

    Returns
    -------
    Judged : met, not_met or not_shown; both counts of days; the time that decides and why.

    Raises
    ------
    None : the log was checked as it was made.

    Notes
    -----
    Between two readings of one probe time counts where both are inside the rule's band and not further apart than the
    log's longest gap; a gap is not filled. At each moment one probe outside the band is enough against it, and two
    inside it are needed for it. A probe in the air tells nothing, nor of the time across. One that is stuck or was not
    checked is not believed when hot, and when cold makes the moment one that is not known. `not_shown` is said only
    where the rule would be kept if all that is not known had been hot. Turns count between the first and the last
    counted moment. Whether summed days must follow each other is left open by the texts that sum them: both counts are
    given.

    References
    ----------
    Rules: table compost/heat_rules. Intervals, gaps, number of probes: JUDGEMENT, on the cautious side of the texts.

    Examples
    --------
    >>> from rootcase.science.compost.heat_log import GAP_BY_HAND_S
    >>> from rootcase.science.compost.heat_rules import heat_rule
    >>> days = np.tile(np.arange(17) * DAY_S, 2)
    >>> log = HeatLog(time_s=days, probe=np.repeat([1, 2], 17), temperature_c=np.full(34, 60.0),
    ...               turn_s=np.arange(2, 15, 3) * DAY_S, checked_s=np.zeros(2), checked_probe=np.array([1, 2]),
    ...               max_gap_s=GAP_BY_HAND_S)
    >>> found = judge(log, heat_rule("nop", "windrow"))
    >>> found.verdict, found.total_days, found.turns
    ('met', 16.0, 5)
    """
    believed, doubts = probes(log)
    line = _line(believed, rule.lowest_c, rule.highest_c)
    turns = np.sort(log.turn_s)
    hot, open_ = line.state == HOT, line.state != OUTSIDE
    kept, could = _kept(line, hot, turns, rule), _kept(line, open_, turns, rule)
    verdict: Verdict = "not_met"
    if kept and (log.every_part_heated or not rule.every_part):
        verdict = "met"
    elif kept or could:
        verdict = "not_shown"
    return Judged(verdict=verdict, total_days=_total(line, hot), unbroken_days=_longest(line, hot)[0],
                  most_total_days=_total(line, open_), most_unbroken_days=_longest(line, open_)[0],
                  turns=_turns(line, hot, turns), reheat_s=_reheats(line, hot, turns), doubts=doubts,
                  stretches=_stretches(line),
                  deciding=_deciding(verdict, kept, line, rule, turns, believed, doubts))


def lethality(log: HeatLog) -> float:
    """How many times over the counted heat would have done by the yardstick for sludge.

    Parameters
    ----------
    log : of a heap

    Returns
    -------
    float : sum of the times at 50 degC or more over the holding time at the coldest end of each. [-]

    Raises
    ------
    OutOfRange : a counted reading is above 100 degC.

    Notes
    -----
    A figure beside the verdict, never a verdict: the yardstick is of sludge. Time counts as for a rule from 50 degC up.

    References
    ----------
    40 CFR 503.32(a)(3), alternative 1: `holding_days`.

    Examples
    --------
    >>> days = np.tile(np.arange(4) * DAY_S, 2)
    >>> log = HeatLog(time_s=days, probe=np.repeat([1, 2], 4), temperature_c=np.full(8, 55.0), turn_s=np.array([]),
    ...               checked_s=np.zeros(2), checked_probe=np.array([1, 2]), max_gap_s=26 * 3600.0)
    >>> round(lethality(log), 2)
    1.14
    """
    line = _line(probes(log)[0], LEAST_LETHAL_C, np.inf)
    hot = line.state == HOT
    days = (line.end_s - line.start_s)[hot] / DAY_S
    return float((days / holding_days(np.maximum(line.coldest_c[hot], LEAST_LETHAL_C))).sum())


def _line(believed: tuple[Probe, ...], lowest_c: float, highest_c: float) -> _Line:
    """What all probes together say of each stretch between any two readings."""
    edges = np.unique(np.concatenate([probe.time_s for probe in believed] or [np.empty(0)]))
    start, end = edges[:-1], edges[1:]
    shape = (len(believed), start.size)
    votes, coldest = np.full(shape, ABSENT), np.full(shape, np.nan)
    for row, probe in enumerate(believed):
        if probe.time_s.size < 2:
            continue
        inside = (probe.temperature_c >= lowest_c - DUST_C) & (probe.temperature_c <= highest_c + DUST_C)
        pair = np.where(inside[1:] & inside[:-1], HOT, OUTSIDE)
        unsure = probe.unsure[1:] | probe.unsure[:-1]
        pair = np.where(unsure, np.where(pair == HOT, ABSENT, DOUBTFUL), pair)
        pair = np.where(probe.after_pulled[1:] | (np.diff(probe.time_s) > probe.max_gap_s + DUST_S), ABSENT, pair)
        at = np.searchsorted(probe.time_s, start, side="right") - 1
        within = (at >= 0) & (at < pair.size)
        votes[row, within] = pair[at[within]]
        coldest[row, within] = np.minimum(probe.temperature_c[1:], probe.temperature_c[:-1])[at[within]]
    voting = (votes == HOT).sum(axis=0)
    against, unsure = (votes == OUTSIDE).any(axis=0), (votes == DOUBTFUL).any(axis=0)
    state = np.where(against, OUTSIDE, np.where(~unsure & (voting >= LEAST_PROBES), HOT, DOUBTFUL))
    least = np.min(np.where(np.isin(votes, (HOT, OUTSIDE)), coldest, np.inf), axis=0, initial=np.inf)
    return _Line(start, end, state, least, voting)


def _stretches(line: _Line) -> tuple[Stretch, ...]:
    names: Mapping[int, Literal["hot", "outside", "not_known"]] = {HOT: "hot", OUTSIDE: "outside"}
    firsts = np.flatnonzero(np.append(True, np.diff(line.state) != 0)) if line.state.size else np.empty(0, dtype=int)
    lasts = np.append(firsts[1:], line.state.size) - 1
    return tuple(Stretch(float(line.start_s[first]), float(line.end_s[last]),
                         names.get(int(line.state[first]), "not_known"))
                 for first, last in zip(firsts, lasts, strict=False))


def _total(line: _Line, counted: BoolArray) -> float:
    return float((line.end_s - line.start_s)[counted].sum()) / DAY_S


def _longest(line: _Line, counted: BoolArray) -> tuple[float, float, float]:
    """Days, start and end of the longest run; the first of those that are as long."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], counted, [False]]).astype(np.int8))).reshape(-1, 2)
    if not edges.size:
        return 0.0, np.nan, np.nan
    start, end = line.start_s[edges[:, 0]], line.end_s[edges[:, 1] - 1]
    best = int(np.argmax(end - start))
    return float(end[best] - start[best]) / DAY_S, float(start[best]), float(end[best])


def _span(line: _Line, counted: BoolArray) -> tuple[float, float]:
    """First and last counted moment."""
    if not counted.any():
        return np.nan, np.nan
    return float(line.start_s[counted][0]), float(line.end_s[counted][-1])


def _turns(line: _Line, counted: BoolArray, turns: Lanes) -> int:
    first, last = _span(line, counted)
    return int(((turns >= first) & (turns <= last)).sum())


def _kept(line: _Line, counted: BoolArray, turns: Lanes, rule: HeatRule) -> bool:
    days = _longest(line, counted)[0] if rule.unbroken else _total(line, counted)
    return days >= rule.days - DUST_S / DAY_S and _turns(line, counted, turns) >= rule.turns


def _reheats(line: _Line, hot: BoolArray, turns: Lanes) -> tuple[float, ...]:
    """The first counted moment at or after each turn."""
    found = []
    for turn in turns.tolist():
        later = hot & (line.end_s > turn)
        found.append(max(0.0, float(line.start_s[later][0]) - turn) if later.any() else np.nan)
    return tuple(found)


def _deciding(verdict: Verdict, kept: bool, line: _Line, rule: HeatRule, turns: Lanes, believed: tuple[Probe, ...],
              doubts: tuple[Doubt, ...]) -> Deciding:
    hot, open_ = line.state == HOT, line.state != OUTSIDE
    if not line.state.size:
        return Deciding(np.nan, np.nan, "no_readings")
    if verdict == "met":
        return Deciding(*(_longest(line, hot)[1:] if rule.unbroken else _span(line, hot)), "hot")
    if kept:
        return Deciding(*_span(line, hot), "every_part")
    if verdict == "not_shown":
        return _not_known(line, rule, believed, doubts)
    days = _longest(line, open_)[0] if rule.unbroken else _total(line, open_)
    if days >= rule.days - DUST_S / DAY_S:
        return Deciding(*_span(line, open_), "turns")
    return _breaks(line, open_, rule)


def _not_known(line: _Line, rule: HeatRule, believed: tuple[Probe, ...], doubts: tuple[Doubt, ...]) -> Deciding:
    """The longest stretch that is not known, of the run that could keep the rule."""
    unknown = line.state == DOUBTFUL
    if rule.unbroken:
        _, first, last = _longest(line, line.state != OUTSIDE)
        unknown = unknown & (line.start_s >= first) & (line.end_s <= last)
    _, start, end = _longest(line, unknown)
    covers: list[Reason] = [doubt.why for doubt in doubts if doubt.from_s <= end and doubt.to_s >= start]
    if covers:
        return Deciding(start, end, max(covers, key=covers.count))
    alone = len(believed) < LEAST_PROBES or bool((line.voting[unknown & (line.start_s >= start)
                                                              & (line.end_s <= end)] == 1).all())
    return Deciding(start, end, "one_probe" if alone else "gap")


def _breaks(line: _Line, open_: BoolArray, rule: HeatRule) -> Deciding:
    """What broke the best there was: the time outside the band next to it, else that it was too short."""
    first, last = _longest(line, open_)[1:] if rule.unbroken else _span(line, open_)
    if not open_.any():
        first, last = float(line.start_s[0]), float(line.end_s[-1])
        return Deciding(first, last, _outside(line, ~open_, rule))
    broken = ~open_ & ((line.start_s >= last) if rule.unbroken else (line.start_s >= first) & (line.end_s <= last))
    if not broken.any():
        return Deciding(first, last, "days")
    if rule.unbroken:
        following = np.flatnonzero(open_ & (line.start_s >= last))
        broken = broken & (np.arange(broken.size) < (following[0] if following.size else broken.size))
    start, end = _longest(line, broken)[1:]
    return Deciding(start, end, _outside(line, broken & (line.start_s >= start) & (line.end_s <= end), rule))


def _outside(line: _Line, stretch: BoolArray, rule: HeatRule) -> Reason:
    return "cold" if (line.coldest_c[stretch] < rule.lowest_c - DUST_C).any() else "too_hot"
