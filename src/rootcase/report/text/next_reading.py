"""Which reading is worth taking next, and how much of the doubt no reading takes away."""

from __future__ import annotations

from rootcase.ground.words import say
from rootcase.records.explain import Explanation, NextReading
from rootcase.report.text.cases import TreeCase
from rootcase.report.text.naming import looked_for
from rootcase.report.text.shares import nearest, part

WORTH_TELLING = 0.02
"""Least share of the doubt for which a reading is proposed. JUDGEMENT."""


def proposed(explanation: Explanation) -> list[NextReading]:
    """Return the readings that would take away enough to be proposed, the best for its minutes first."""
    return [reading for reading in explanation.next_readings if reading.share_removed >= WORTH_TELLING]


def next_reading(case: TreeCase) -> str:
    """Return what to read next, with what, for how long and to what use, and what stays in doubt all the same.

    Empty where nothing can be told: nothing was explained, or too few draws are left.
    """
    explanation = case.explanation
    if explanation is None or explanation.doubt_no_reading_removes is None:
        return ""
    best = proposed(explanation)
    first = _worth(best[0]) if best else say("report.next.none")
    return f"{first} {_stays(explanation.doubt_no_reading_removes)}".strip()


def _worth(reading: NextReading) -> str:
    how = [reading.tools, _minutes(reading.minutes), say(f"report.next.season.{reading.season}")]
    if reading.days_to_answer is not None:
        how.append(say("report.next.days", days=reading.days_to_answer))
    if reading.ground_opened:
        how.append(say("report.next.lines"))
    return say(f"report.next.{'again' if reading.taken_before else 'first'}", what=looked_for([reading.kind]),
               how="; ".join(how), part=part(reading.share_removed))


def _minutes(minutes: float) -> str:
    whole = max(round(minutes), 1)
    return say("report.next.minute") if whole == 1 else say("report.next.minutes", minutes=whole)


def _stays(share: float) -> str:
    if nearest(share) == 0:
        return ""
    return say("report.next.nearly_all") if nearest(share) >= 1 else say("report.next.stays", part=part(share))
