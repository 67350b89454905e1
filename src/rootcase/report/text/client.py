"""What a client asks of a tree: why does it grow so? The waterfall in words, without figures."""

from __future__ import annotations

from rootcase.ground.words import say
from rootcase.records.explain import LimitShare
from rootcase.records.observe import PropertyRecord
from rootcase.report.text import one_tree
from rootcase.report.text.cases import TreeCase
from rootcase.report.text.causes import surely_takes
from rootcase.report.text.figures import listed, sentence
from rootcase.report.text.naming import limit_name
from rootcase.report.text.shares import between, part
from rootcase.report.text.takes import limit_takes

_TOLD_FROM_POINTS = 2.5
"""JUDGEMENT: half of a twentieth, the smallest part that has a name."""


def why(case: TreeCase, record: PropertyRecord) -> list[str]:
    """Return what holds a tree back, the largest first, what is left over, and what nobody found out."""
    explanation = case.explanation
    if explanation is None:
        return [one_tree.sureness(case)]
    steps = sorted(explanation.limits, key=lambda step: -step.points.mean)
    taking = [step for step in steps if step.points.mean >= _TOLD_FROM_POINTS]
    giving = [step for step in steps if step.points.mean <= -_TOLD_FROM_POINTS]
    rest = [step for step in steps if step not in (*taking, *giving)]
    little = sentence(say("client.little", limits=listed([limit_name(step.limit) for step in rest]))) if rest else ""
    outside = one_tree.unexplained(case)
    return [line for line in (
        one_tree.sureness(case), *map(_takes, taking), *(say("client.gives", limit=sentence(limit_name(step.limit)))
                                                         for step in giving), little,
        one_tree.rooting(explanation, case.tree.label, record).text, outside.text if outside else "",
        one_tree.change_of_mind(case), one_tree.not_found_out(case, record)) if line]


def _takes(step: LimitShare) -> str:
    if not surely_takes(step):
        return limit_takes(step)
    points = step.points
    return say("client.takes", limit=sentence(limit_name(step.limit)), part=part(points.mean / 100),
               interval=between(points.low / 100, points.high / 100))
