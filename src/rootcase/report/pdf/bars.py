"""Bars of a table on one scale: where each begins and ends, as fractions of the column's width."""

from __future__ import annotations

from typing import Any

from rootcase.ground.words import say
from rootcase.records.estimate import Estimate
from rootcase.records.explain import Explanation
from rootcase.records.prescribe import RemedyOutcome
from rootcase.report.text.figures import in_hundredths, loss, percent, sentence
from rootcase.report.text.gains import gain_of
from rootcase.report.text.naming import limit_name
from rootcase.report.text.statements import of_tree

Row = dict[str, Any]


class Scale:
    """Points to fractions of the width; zero and the yardstick's 100 are always on it."""

    def __init__(self, levels: list[float]) -> None:
        self._low, self._high = min(0.0, *levels), max(100.0, *levels)

    def __call__(self, points: float) -> float:
        return round((points - self._low) / (self._high - self._low), 4)

    def bar(self, form: str, start: float, end: float) -> Row:
        """A bar between two levels; the form says how it is drawn."""
        low, high = sorted((start, end))
        return {"form": form, "from": self(low), "to": self(high)}

    def span(self, middle: float, points: Estimate, sign: int = 1) -> Row:
        """The interval of a step that ends at `middle` in the mean; a loss runs against the scale."""
        shift = middle - sign * points.mean
        ends = sorted(shift + sign * value for value in (points.low, points.inner_low, points.inner_high, points.high))
        names = ("low", "inner_low", "inner_high", "high")
        return {"mean": self(middle), **{name: self(end) for name, end in zip(names, ends, strict=True)}}


def waterfall(explanation: Explanation) -> list[Row]:
    """Return the rows from the yardstick down to the tree as measured, the largest loss first, gains last."""
    steps = sorted(explanation.limits, key=lambda step: (step.same_as_yardstick, -step.points.mean))
    scale, level = _waterfall_scale(explanation), 100.0
    rows = [_row("yardstick", say("report.fall.yardstick"), "100 %", "", "", [scale.bar("yardstick", 0, 100)], None)]
    for step in steps:
        name, mark = sentence(limit_name(step.limit)), of_tree(explanation.tree_id, f"limit.{step.limit}")
        if step.same_as_yardstick or _unseen(step.points):
            interval = say("report.fall.same") if step.same_as_yardstick else loss(step.points)[1]
            rows.append(_row("same", name, "0", interval, mark, [], None))
            level -= step.points.mean
            continue
        after = level - step.points.mean
        moved = "taken" if after <= level else "given"
        bars = [scale.bar("left", 0, min(level, after)), scale.bar(moved, after, level)]
        rows.append(_row("limit", name, *loss(step.points), mark, bars, scale.span(after, step.points, -1)))
        if step.limit == "water":
            rows.append(_water(explanation))
        level = after
    return rows + _closing(explanation, scale, level)


def remedies(outcomes: list[RemedyOutcome], tree_id: str, now: float, currency_text: list[str]) -> list[Row]:
    """Return a row for each remedy: the tree as it is, what the remedy adds, the interval beside it."""
    ends = [now + end for outcome in outcomes if (gain := outcome.gain_points) for end in (gain.low, gain.high)]
    scale, rows = Scale([now, *ends]), []
    for outcome, cost in zip(outcomes, currency_text, strict=True):
        gain, bars = outcome.gain_points, [scale.bar("tree", 0, now)]
        span = None
        if gain is None:
            bars.append(scale.bar("open", now, now + 12))
        elif outcome.remedy != "nothing":
            bars.append(scale.bar("added", now, now + gain.mean))
            span = scale.span(now + gain.mean, gain)
        figure, interval = gain_of(outcome) if gain else ("", say("report.not_known"))
        about = of_tree(tree_id, "future" if outcome.remedy == "nothing" else f"remedy.{outcome.remedy}")
        rows.append(_row("remedy", outcome.remedy, figure, interval, about, bars, span) | {"cost": cost})
    return rows


def _waterfall_scale(explanation: Explanation) -> Scale:
    levels, level = [100 * explanation.predicted_share.high, 100 * explanation.predicted_share.low], 100.0
    for step in sorted(explanation.limits, key=lambda step: -step.points.mean):
        levels += [level - step.points.high, level - step.points.low]
        level -= step.points.mean
    if explanation.unexplained_points and explanation.observed_share:
        levels += [level - explanation.unexplained_points.high, level - explanation.unexplained_points.low,
                   100 * explanation.observed_share.high]
    return Scale(levels)


def _closing(explanation: Explanation, scale: Scale, level: float) -> list[Row]:
    """What the soil alone predicts and, where growth was read, the rest and the tree as measured."""
    tree, predicted = explanation.tree_id, explanation.predicted_share
    rows = [_row("predicted", say("report.fall.predicted"), *percent(predicted), of_tree(tree, "predicted"),
                 [scale.bar("predicted", 0, level)], scale.span(level, in_hundredths(predicted)))]
    rest, observed = explanation.unexplained_points, explanation.observed_share
    if rest and observed:
        end = level - rest.mean
        rows.append(_row("unexplained", say("report.fall.unexplained"), *loss(rest), of_tree(tree, "unexplained"),
                         [scale.bar("open", level, end)], scale.span(end, rest, -1)))
        rows.append(_row("tree", say("report.fall.this_tree"), *percent(observed), of_tree(tree, "share"),
                         [scale.bar("tree", 0, 100 * observed.mean)], scale.span(end, in_hundredths(observed))))
    return rows


def _water(explanation: Explanation) -> Row:
    """The water step once more, in words: turf, sealing and the rest are not further steps."""
    parts = ", ".join(f"{say(f'terminal.water.{part.part}')} {loss(part.points)[0]} ({loss(part.points)[1]})"
                      for part in explanation.water_parts)
    return _row("inner", say("report.fall.of_it", parts=parts), "", "", "", [], None)


def _unseen(points: Estimate) -> bool:
    """Too small to print or to draw, in the mean and at both ends."""
    return all(round(value) == 0 for value in (points.mean, points.low, points.high))


def _row(form: str, name: str, figure: str, interval: str, about: str, bars: list[Row], span: Row | None) -> Row:
    return {"form": form, "name": name, "figure": figure, "interval": interval, "about": about, "bars": bars,
            "span": span}
