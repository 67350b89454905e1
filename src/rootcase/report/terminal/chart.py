"""The waterfall in characters: what is left, what each limit takes from it, what the soil leaves unexplained."""

from __future__ import annotations

from textwrap import wrap

from rootcase.ground.words import say
from rootcase.records.explain import Explanation, LimitShare
from rootcase.report.text.figures import listed, loss, percent, sentence
from rootcase.report.text.naming import limit_name

_LEFT, _TAKEN, _GIVEN, _PREDICTED, _OPEN, _TREE = "·", "▒", "+", "░", "?", "█"
_NAME_WIDTH, _NUMBER_WIDTH, _INTERVAL_WIDTH = 28, 6, 14
_SHORTEST_BAR = 8

Row = tuple[str, str, str, str]
"""Name, bar, number, interval."""


def waterfall(explanation: Explanation, width: int) -> list[str]:
    """Return the rows of the waterfall, the largest loss first, every bar on one scale from zero.

    Where name and bar do not fit beside each other, each bar stands under its name.
    """
    steps = sorted((step for step in explanation.limits if not step.same_as_yardstick),
                   key=lambda step: -step.points.mean)
    scale = _Scale(explanation, steps, width)
    lines = scale.lines((say("terminal.healthy_kind"), scale.bar(_TREE, 0, 100), "100 %", ""))
    level = 100.0
    for step in steps:
        after = level - step.points.mean
        kept, moved = min(level, after), _TAKEN if after <= level else _GIVEN
        bar = scale.bar(_LEFT, 0, kept) + scale.bar(moved, kept, max(level, after))
        lines += scale.lines((sentence(limit_name(step.limit)), bar, *loss(step.points)))
        if step.limit == "water":
            lines += wrap(_water_parts(explanation), width, initial_indent="  ", subsequent_indent="  ")
        level = after
    if same := [limit_name(step.limit) for step in explanation.limits if step.same_as_yardstick]:
        lines += wrap(say("terminal.same", limits=listed(same)), width)
    return lines + [line for row in _closing(explanation, scale, level) for line in scale.lines(row)]


class _Scale:
    """Points to characters: the longest bar fills the room that numbers and, on a wide page, names leave."""

    def __init__(self, explanation: Explanation, steps: list[LimitShare], width: int) -> None:
        beside = width - _NAME_WIDTH - _NUMBER_WIDTH - _INTERVAL_WIDTH - 3
        self._stacked = beside < _SHORTEST_BAR
        self.width = beside + _NAME_WIDTH + 1 if self._stacked else beside
        levels, level = [100.0, 100 * explanation.predicted_share.mean], 100.0
        for step in steps:
            level -= step.points.mean
            levels.append(level)
        if explanation.observed_share:
            levels.append(100 * explanation.observed_share.mean)
        self._most = max(levels)

    def bar(self, sign: str, start: float, end: float) -> str:
        """Characters from one level to another; bars laid end to end meet without a gap or an overlap."""
        first, last = (round(self.width * max(level, 0.0) / self._most) for level in (start, end))
        return sign * (last - first)

    def open(self, one: float, other: float) -> str:
        """A bar that floats between two levels."""
        low, high = sorted((one, other))
        return " " * len(self.bar(" ", 0, low)) + (self.bar(_OPEN, low, high) or _OPEN)

    def lines(self, row: Row) -> list[str]:
        name, bar, number, interval = row
        told = f"{bar:<{self.width}} {number:>{_NUMBER_WIDTH}} {interval:>{_INTERVAL_WIDTH}}"
        return [name, told] if self._stacked else [f"{name:<{_NAME_WIDTH}} {told}"]


def _closing(explanation: Explanation, scale: _Scale, level: float) -> list[Row]:
    """What the soil alone predicts and, where growth was read, the rest and the tree as measured."""
    predicted = scale.bar(_PREDICTED, 0, level)
    rows: list[Row] = [(say("terminal.predicted"), predicted, *percent(explanation.predicted_share))]
    observed, rest = explanation.observed_share, explanation.unexplained_points
    if observed and rest:
        rows.append((say("terminal.unexplained"), scale.open(level, level - rest.mean), *loss(rest)))
        rows.append((say("terminal.this_tree"), scale.bar(_TREE, 0, 100 * observed.mean), *percent(observed)))
    return rows


def _water_parts(explanation: Explanation) -> str:
    """The water step once more, in its three parts."""
    parts = [f"{say(f'terminal.water.{part.part}')} {loss(part.points)[0]}" for part in explanation.water_parts]
    return say("terminal.water.of_it", parts=", ".join(parts))
