"""What most likely holds a tree back, in one of three words: likely, maybe, not known."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from rootcase.ground.words import say
from rootcase.records.explain import LIMITS, Explanation, Limit, LimitShare

WORTH_SAYING = 5.0
"""Points from which a limit stands in a finding; an interval that begins below them nearly reaches nothing. JUDGEMENT.
"""
LIKELY, MAYBE = 2 / 3, 1 / 3
"""A cause that leads in more than this share of the draws is called so. JUDGEMENT, one setting."""

Word = Literal["likely", "maybe", "not known"]


@dataclass(frozen=True, slots=True)
class Cause:
    """The cause that takes most, how often it does so, and the word for that."""

    name: Limit | Literal["other"]
    chance: float
    word: Word


def main_cause(explanation: Explanation) -> Cause:
    """Return the soil's largest limit or, where it takes more, a cause outside the soil.

    The chance of a limit is that it takes more than each other and, where growth was seen, than a cause outside the
    soil; a limit behind which no reading stands is never more than not known.
    """
    conditioned = explanation.conditioned
    if conditioned is None:
        leader = np.argmax(explanation.limit_draws, axis=0)
        chances = np.bincount(leader, weights=explanation.weights, minlength=len(LIMITS))
    else:
        chances = np.array(conditioned.chance_largest)
    other, index = 1.0 - float(chances.sum()), int(np.argmax(chances))
    if other > chances[index]:
        return Cause("other", other, word_of(other))
    limit, chance = explanation.limits[index], float(chances[index])
    return Cause(limit.limit, chance, word_of(chance) if limit.rests_on else "not known")


def cause_sentence(cause: Cause) -> str:
    """Return the finding about the cause, as it stands behind the finding about the growth."""
    if cause.word == "not known":
        return say("report.cause.not_known")
    return say(f"report.cause.{cause.word}", cause=say(f"report.cause.name.{cause.name}"))


def larger_on_the_mean(explanation: Explanation, cause: Cause) -> LimitShare | None:
    """Return the limit that takes more on the mean of the draws, as the picture has it, than the one that leads most
    often; None where that one takes most, or no limit leads."""
    first = next((step for step in explanation.limits if step.limit == cause.name), None)
    largest = max(explanation.limits, key=lambda step: step.points.mean)
    if cause.word == "not known" or first is None or round(largest.points.mean) <= round(first.points.mean):
        return None
    return largest


def larger_sentence(explanation: Explanation, cause: Cause) -> str:
    """Return which cause comes first most often and which takes more on the mean; empty where they are one."""
    larger = larger_on_the_mean(explanation, cause)
    if larger is None:
        return ""
    return say("report.cause.larger", first=say(f"report.cause.name.{cause.name}"),
               largest=say(f"report.cause.name.{larger.limit}"))


def surely_takes(step: LimitShare) -> bool:
    """Whether it may be said of a limit that it takes something: it was read, and its interval is clear of nothing."""
    return bool(step.rests_on) and step.points.low >= WORTH_SAYING


def word_of(chance: float) -> Word:
    """Return the word for a chance.

    >>> word_of(0.7), word_of(0.5), word_of(0.1)
    ('likely', 'maybe', 'not known')
    """
    return "likely" if chance > LIKELY else "maybe" if chance > MAYBE else "not known"
