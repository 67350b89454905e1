"""A heap's log judged tick by tick, by the words of docs/compost.md: slow, and no line shared with the program."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise

HOUR, DAY = 3600, 86400


@dataclass
class Told:
    """A log as a person would lay it out: by probe, times in whole ticks."""

    readings: dict[int, list[tuple[int, float]]]
    turns: list[int]
    checks: dict[int, list[int]]
    gap: int
    every_part: bool = False
    air: float | None = None
    own_gaps: dict[int, int] = field(default_factory=dict)


def believed(told: Told, number: int) -> list[tuple[int, float, str]]:
    """(time, warmth, "" or what is wrong) of one probe."""
    rows = sorted(told.readings[number])
    wrong = [""] * len(rows)
    for at, (time, warm) in enumerate(rows):
        in_air = warm < 35 if told.air is None else abs(warm - told.air) <= 5
        falls = at > 0 and rows[at - 1][1] - warm >= 15 and time - rows[at - 1][0] <= 2 * HOUR
        goes_on = at > 0 and wrong[at - 1] == "pulled"
        if in_air and (falls or goes_on):
            wrong[at] = "pulled"
    for first in range(len(rows)):
        if first and rows[first - 1][1] == rows[first][1]:
            continue
        last = first
        while last + 1 < len(rows) and rows[last + 1][1] == rows[first][1]:
            last += 1
        if last - first + 1 >= 6 and rows[last][0] - rows[first][0] >= 6 * HOUR:
            for other in told.readings:
                seen = [warm for time, warm in told.readings[other] if rows[first][0] <= time <= rows[last][0]]
                if other != number and seen and max(seen) - min(seen) >= 3:
                    for at in range(first, last + 1):
                        wrong[at] = wrong[at] or "stuck"
    for at, (time, _) in enumerate(rows):
        if not wrong[at] and not any(0 <= time - check <= 30 * DAY for check in told.checks.get(number, [])):
            wrong[at] = "unchecked"
    return [(time, warm, fault) for (time, warm), fault in zip(rows, wrong, strict=True)]


def says(rows: list[tuple[int, float, str]], low: float, high: float, gap: int, tick: int) -> dict[int, str]:
    """What one probe says of each tick between its own readings."""
    said: dict[int, str] = {}
    for (start, warm, fault), (end, next_warm, next_fault) in pairwise(rows):
        faults = {fault, next_fault}
        hot = low <= warm <= high and low <= next_warm <= high
        if end - start > gap or "pulled" in faults:
            word = "nothing"
        elif faults & {"unchecked", "stuck"}:
            word = "nothing" if hot else "doubt"
        else:
            word = "hot" if hot else "out"
        for time in range(start, end, tick):
            said[time] = word
    return said


def slow_judge(told: Told, low: float, high: float, days: float, unbroken: bool, turns: int, every_part: bool,
               tick: int) -> tuple[str, float, float, int, float, float]:
    """Verdict, days in all, days without a break, turns, and both counts of days at most."""
    kept = {number: believed(told, number) for number in told.readings}
    times = [time for rows in kept.values() for time, _, fault in rows if fault != "pulled"]
    words = [says(rows, low, high, told.own_gaps.get(number, told.gap), tick) for number, rows in kept.items()]
    line = []
    for time in range(min(times), max(times), tick) if times else ():
        said = [word.get(time, "nothing") for word in words]
        if "out" in said:
            line.append((time, "out"))
        elif "doubt" not in said and said.count("hot") >= 2:
            line.append((time, "hot"))
        else:
            line.append((time, "unknown"))

    def measured(counted: set[str]) -> tuple[float, float, int]:
        ticks = [time for time, word in line if word in counted]
        best = run = 0
        for _, word in line:
            run = run + 1 if word in counted else 0
            best = max(best, run)
        inside = [turn for turn in told.turns if ticks and ticks[0] <= turn <= ticks[-1] + tick]
        return len(ticks) * tick / DAY, best * tick / DAY, len(inside)

    def enough(found: tuple[float, float, int]) -> bool:
        return (found[1] if unbroken else found[0]) >= days - 1e-9 and found[2] >= turns

    shown, possible = measured({"hot"}), measured({"hot", "unknown"})
    if enough(shown) and (told.every_part or not every_part):
        return "met", *shown, *possible[:2]
    return "not_shown" if enough(shown) or enough(possible) else "not_met", *shown, *possible[:2]
