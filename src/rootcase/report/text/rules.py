"""What law and the practice's own rules ask of a plan, each with who says so and when that was looked up."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from rootcase.ground.dates import show_date
from rootcase.ground.quantity import System, show
from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord, Rule
from rootcase.records.prescribe import Plan
from rootcase.report.text.figures import listed, sentence
from rootcase.report.text.naming import COURSE_JOINT, remedy_name

STALE_DAYS = 365
"""A rule that was looked up longer ago is looked up again before the work. JUDGEMENT."""
_PAIRS = {"kg/m2": ("lb/1000ft2", "g/m2")}
IN_USE = "closed_days"


def rules_told(plan: Plan, record: PropertyRecord) -> list[str]:
    """Return a line for each rule on what is planned or barred; then what nobody has told; then when ground is in use.

    Nothing is said where nothing is planned and nothing is barred.
    """
    lines = [_rule(rule, record.property.system, plan.made_on) for rule in plan.rules]
    if lines and not record.property.law:
        lines.append(say("rules.whose"))
    return [*lines, *_unknown(plan), *_in_use(plan, record)]


def rules_in_brief(plan: Plan, record: PropertyRecord) -> str:
    """Return what is asked of the work itself, in short; empty where nothing is, or nothing is done."""
    done = {code for item in plan.items for code in item.remedy.split(COURSE_JOINT)}
    bound = [replace(rule, applies_to=tuple(code for code in rule.applies_to if code in done)) for rule in plan.rules]
    told = [rule_asks(rule, record.property.system) for rule in bound if rule.applies_to]
    return " ".join([*told, *_unknown(plan), *_in_use(plan, record)])


def _asked(rule: Rule, system: System) -> str:
    return sentence(say(f"rules.told.{rule.topic}", remedies=listed([remedy_name(code) for code in rule.applies_to]),
                        value=_value(rule, system), first=_day(rule.closed_from), last=_day(rule.closed_to)))


def _unknown(plan: Plan) -> list[str]:
    names = [remedy_name(code) for code in plan.rules_unknown]
    return [say("rules.unknown", remedies=listed(names))] if names else []


def rule_asks(rule: Rule, system: System) -> str:
    """Return what a rule asks of the work, and what was noted beside it."""
    return " ".join(filter(None, (_asked(rule, system), _note(rule))))


def rule_is_stale(rule: Rule, today: date) -> bool:
    """Whether a rule was looked up so long ago that it is looked up again before the work."""
    return (today - rule.checked_on).days > STALE_DAYS


def _rule(rule: Rule, system: System, today: date) -> str:
    by = say("rules.by", law=rule.law, source=rule.source, day=show_date(rule.checked_on))
    stale = say("rules.stale") if rule_is_stale(rule, today) else ""
    return " ".join(filter(None, (rule_asks(rule, system), by, stale)))


def _value(rule: Rule, system: System) -> str:
    """The rule's figure; of days and years in words."""
    if rule.value is None:
        return ""
    if rule.unit in ("day", "year"):
        return say(f"rules.count.{rule.unit}{'' if rule.value == 1.0 else 's'}", count=f"{rule.value:g}")
    return show(rule.value, rule.unit, system, _PAIRS.get(rule.unit))


def _note(rule: Rule) -> str:
    return sentence(rule.note.rstrip(".")) + "." if rule.note else ""


def _day(month_and_day: str) -> str:
    """A day of every year, such as 1 December."""
    if not month_and_day:
        return ""
    month, day = (int(part) for part in month_and_day.split("-"))
    return say("rules.day", day=day, month=say("dates.months").split()[month - 1])


def _in_use(plan: Plan, record: PropertyRecord) -> list[str]:
    """Where ground that is worked is in use on some days."""
    worked = {tree.place_id for tree in record.trees if tree.id in {item.tree_id for item in plan.items}}
    names = {place.id: place.name for place in record.places}
    return [say("rules.in_use", place=sentence(names[place_id]), words=choice)
            for place_id, kind, choice in plan.wishes if kind == IN_USE and place_id in worked]
