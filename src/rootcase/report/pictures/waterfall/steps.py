"""The steps of the waterfall in order, each with its words and where it starts and ends."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from rootcase.ground.words import say
from rootcase.records.compare import TreeComparison
from rootcase.records.estimate import Estimate
from rootcase.records.explain import Explanation, LimitShare
from rootcase.records.observe import PropertyRecord
from rootcase.report.pictures.signs import both, points, points_interval
from rootcase.report.text.figures import sentence
from rootcase.report.text.naming import limit_name

Kind = Literal["yardstick", "loss", "gain", "same", "predicted", "remainder", "measured", "part"]


@dataclass(frozen=True, slots=True)
class Step:
    """One column or row: it leads from one level to the next, in points of the yardstick."""

    kind: Kind
    code: str
    name: str
    value: str
    interval: str
    start: float
    end: float
    estimate: Estimate | None = None
    shift: float = 0.0
    sign: float = 1.0
    """A span stands at shift + sign x its values: a loss is drawn down from the level it starts at."""
    parts: tuple[Step, ...] = ()

    @property
    def colour(self) -> str:
        """Colour of the value: what is taken, what is given, and neither where it rounds to nothing."""
        if self.value == "0":
            return "ink"
        return {"loss": "madder", "gain": "forest", "yardstick": "forest"}.get(self.kind, "ink")


def steps_of(record: PropertyRecord, comparison: TreeComparison, explanation: Explanation) -> tuple[Step, ...]:
    """From the yardstick's 100 over six limits by size to what soil alone predicts, and on to the tree as measured."""
    steps = [_yardstick(record, comparison)]
    level = 100.0
    for limit in in_order(explanation.limits):
        step = _limit(limit, level, explanation)
        steps.append(step)
        level = step.end
    predicted = in_points(explanation.predicted_share)
    steps.append(Step("predicted", "predicted", say("waterfall.predicted"), _percent(predicted.mean),
                      _percent_interval(predicted), 0.0, predicted.mean, predicted))
    return (*steps, *_measured(explanation, predicted.mean))


def in_order(limits: tuple[LimitShare, ...]) -> list[LimitShare]:
    """Losses by size, then those that are the same as there, then those that give."""
    return sorted(limits, key=lambda limit: (limit.points.mean < 0, -limit.points.mean, limit.same_as_yardstick))


def in_points(share: Estimate) -> Estimate:
    return Estimate(100 * share.mean, 100 * share.median, 100 * share.low, 100 * share.high, 100 * share.inner_low,
                    100 * share.inner_high)


def _yardstick(record: PropertyRecord, comparison: TreeComparison) -> Step:
    group = next((y for y in record.yardsticks if y.id == comparison.yardstick_id), None)
    name = say("waterfall.yardstick", name=group.label) if group else say("waterfall.growth_class")
    typical = comparison.yardstick_typical_mm
    interval = ""
    if typical:
        system = record.property.system
        ends = [both(v, "mm", system, "in", "cm")[0] for v in (typical.low, typical.high)]
        interval = say("waterfall.typical", mean=both(typical.mean, "mm", system, "in", "cm")[0],
                       low=ends[0].split("\N{NO-BREAK SPACE}")[0], high=ends[1].split("\N{NO-BREAK SPACE}")[0])
    return Step("yardstick", "yardstick", name, _percent(100), interval, 0.0, 100.0)


def _limit(limit: LimitShare, level: float, explanation: Explanation) -> Step:
    if limit.same_as_yardstick:
        name = sentence(limit_name(limit.limit))
        return Step("same", limit.limit, name, "0", say("waterfall.same"), level, level)
    loss = limit.points
    kind: Kind = "loss" if loss.mean >= 0 else "gain"
    value = points(-loss.mean)
    name = say(f"waterfall.gives.{limit.limit}") if value.startswith("+") else sentence(limit_name(limit.limit))
    parts = _water_parts(explanation, level) if limit.limit == "water" else ()
    return Step(kind, limit.limit, name, value, _interval(loss), level,
                level - loss.mean, loss, level, -1.0, parts)


def _interval(lost: Estimate) -> str:
    """Both ends as changes; an interval that rounds to nothing says how little it is."""
    ends = points_interval(-lost.high, -lost.low)
    return say("waterfall.under_one") if ends == "0" else ends


def _water_parts(explanation: Explanation, level: float) -> tuple[Step, ...]:
    parts = []
    for part in explanation.water_parts:
        lost = part.points
        nothing = lost.low == lost.high == 0.0
        interval = say("waterfall.none") if nothing else _interval(lost)
        parts.append(Step("part", part.part, say(f"waterfall.part.{part.part}"), points(-lost.mean), interval, level,
                          level - lost.mean, None if nothing else lost, level, -1.0))
        level -= lost.mean
    return tuple(parts)


def _measured(explanation: Explanation, predicted: float) -> tuple[Step, Step]:
    remainder, observed = explanation.unexplained_points, explanation.observed_share
    unknown = say("picture.not_known")
    if remainder is None or observed is None:
        return (Step("remainder", "remainder", say("waterfall.remainder"), unknown, "", predicted, predicted),
                Step("measured", "measured", say("waterfall.measured"), unknown, say("waterfall.no_shoots"), 0.0, 0.0))
    share = in_points(observed)
    return (Step("remainder", "remainder", say("waterfall.remainder"), points(-remainder.mean),
                 _interval(remainder), predicted, predicted - remainder.mean, remainder,
                 predicted, -1.0),
            Step("measured", "measured", say("waterfall.measured"), _percent(share.mean), _percent_interval(share), 0.0,
                 share.mean, share))


def _percent(value: float) -> str:
    return say("waterfall.percent", share=f"{value:,.0f}")


def _percent_interval(share: Estimate) -> str:
    return say("quantity.interval", low=f"{share.low:,.0f}", high=f"{share.high:,.0f}")


def frame_of(steps: tuple[Step, ...]) -> tuple[float, float, float]:
    """Bottom, top and gridline step of the axis, so that every level and every span's upper end is inside."""
    flat = list(steps) + [part for step in steps for part in step.parts]
    levels = [level for step in flat for level in (step.start, step.end)]
    ends = [step.shift + step.sign * (e.low if step.sign < 0 else e.high) for step in flat if (e := step.estimate)]
    high, low = max([100.0, *levels, *ends]), min([0.0, *levels])
    grid = next(g for g in (25, 50, 100, 250, 500, 1000, 2500, 5000, 10**5) if (high - low) / g <= 8)
    if max([100.0, *levels]) <= 100 and high < 104:
        return grid * math.floor(low / grid), 100.0, grid
    return grid * math.floor(low / grid), high, grid
