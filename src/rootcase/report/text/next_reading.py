"""Which reading is worth taking next: for what takes the growth, and before the money is spent."""

from __future__ import annotations

from rootcase.ground.words import say
from rootcase.records.explain import Explanation, NextReading
from rootcase.records.prescribe import PlanReading
from rootcase.report.text.cases import TreeCase
from rootcase.report.text.figures import money
from rootcase.report.text.naming import looked_for, remedy_name
from rootcase.report.text.shares import nearest, part
from rootcase.report.text.signs import look_first

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
    if look := look_first(explanation):
        first = _after_signs(look, best[0]) if best else say("report.next.signs_only", look=look)
    else:
        first = _worth(best[0]) if best else say("report.next.none")
    return f"{first} {_stays(explanation.doubt_no_reading_removes)}".strip()


def before_spending(case: TreeCase, currency: str) -> str:
    """Return what to read at a tree before its money is spent, how often that changes the plan, its worth and cost.

    Empty where nothing was weighed: growth was not read, too few draws are left, or something could fail.
    """
    plan = case.prescription
    if plan is None or plan.enough_read is None:
        return ""
    if not plan.next_for_plan:
        return say("next.enough")
    best = plan.next_for_plan[0]
    cost = next((outcome.cost for outcome in plan.remedies if outcome.remedy == plan.chosen), None)
    what = {"tree": case.tree.label, "what": looked_for([best.kind]), "how": how_told(best)}
    read = say("next.spend", cost=money(cost, currency), **what) if cost else say("next.decide", **what)
    return f"{read} {_change(best)} {_worth_of(best, currency)}"


def _change(reading: PlanReading) -> str:
    tenths = round(10 * reading.chance_of_change)
    become = remedy_name(reading.would_become)
    return say("next.change", tenths=tenths, remedy=become) if tenths else say("next.seldom", remedy=become)


def _worth_of(reading: PlanReading, currency: str) -> str:
    worth, cost = money(reading.worth, currency), money(max(reading.cost, 1.0), currency)
    if reading.laboratory_fee:
        return say("next.worth_with_fee", worth=worth, cost=cost, fee=money(reading.laboratory_fee, currency))
    return say("next.worth", worth=worth, cost=cost)


def _worth(reading: NextReading) -> str:
    return say(f"report.next.{'again' if reading.taken_before else 'first'}", what=looked_for([reading.kind]),
               how=how_told(reading), part=part(reading.share_removed))


def _after_signs(look: str, reading: NextReading) -> str:
    return say("report.next.after_signs", look=look, what=looked_for([reading.kind]), how=how_told(reading),
               part=part(reading.share_removed))


def how_told(reading: NextReading | PlanReading) -> str:
    """Return with what a reading is taken, for how long and when, and what comes before."""
    how = [reading.tools, _minutes(reading.minutes), say(f"report.next.season.{reading.season}")]
    if reading.days_to_answer is not None:
        how.append(say("report.next.days", days=reading.days_to_answer))
    if reading.ground_opened:
        how.append(say("report.next.lines"))
    return "; ".join(how)


def _minutes(minutes: float) -> str:
    whole = max(round(minutes), 1)
    return say("report.next.minute") if whole == 1 else say("report.next.minutes", minutes=whole)


def _stays(share: float) -> str:
    if nearest(share) == 0:
        return ""
    return say("report.next.nearly_all") if nearest(share) >= 1 else say("report.next.stays", part=part(share))
