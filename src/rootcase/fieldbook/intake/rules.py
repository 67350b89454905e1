"""The page of rules: what law and the practice itself ask, as somebody who looked it up wrote it down."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import replace

from rootcase.fieldbook.events import Event, RuleTold
from rootcase.fieldbook.intake.desk import Line, whole
from rootcase.fieldbook.intake.faults import Refused
from rootcase.fieldbook.intake.grid import Cell, folded
from rootcase.fieldbook.intake.named import named_id
from rootcase.fieldbook.intake.values import read_day
from rootcase.fieldbook.view import heads
from rootcase.ground.dates import read_date
from rootcase.ground.errors import UnreadableValue
from rootcase.ground.typed import read
from rootcase.ground.units import convert, convertible, unit_name
from rootcase.ground.words import say
from rootcase.records.observe import Rule
from rootcase.tables.load import Row, table

_LEAP_YEAR = 2000
"""Stands in where a day is of every year; it has a 29 February."""
_BARE = ("day", "year")
"""Units that need not be typed, as the topic names them."""


def topics() -> tuple[str, ...]:
    """What a rule can be about."""
    return tuple(row["topic"] for row in table("prescribe/rule_topics").rows)


def take_rules(lines: list[Line]) -> dict[str, RuleTold]:
    """Rules by slot; they belong to the practice, and a property says whose hold there."""
    taken: dict[str, RuleTold] = {}
    seen: Counter[tuple[object, ...]] = Counter()
    known = {folded(topic): topic for topic in topics()}
    for line in whole(lines):
        with line.guarding():
            topic = folded(line.text("topic"))
            if topic not in known:
                raise Refused(say("intake.no_choice", kind="topic"), value=f'"{line.text("topic")}"',
                              right=say("intake.one_of", choices=", ".join(known.values())))
            body = _rule(line, table("prescribe/rule_topics").row(topic=known[topic]))
            key = (folded(body.law), body.topic, *body.applies_to)
            seen[key] += 1
            slot = named_id(line.desk.practice_id, "rule", *key, seen[key])
            taken[slot] = replace(body, slot=slot)
    return taken


def rules(events: Iterable[Event]) -> tuple[Rule, ...]:
    """The rules that stand, by law and topic."""
    told = [head.event.body for head in heads(events).values()]
    found = [Rule(body.topic, body.law, body.value, body.unit, body.closed_from, body.closed_to, body.applies_to,
                  body.source, body.checked_on, body.note)
             for body in told if isinstance(body, RuleTold) and body.holds]
    return tuple(sorted(found, key=lambda rule: (rule.law.casefold(), rule.topic, rule.applies_to, rule.closed_from)))


def _rule(line: Line, about: Row) -> RuleTold:
    """One row; whose rule, where it is written and when that was looked up have to be told."""
    for column in ("law", "source", "checked_on"):
        if not line.text(column):
            raise Refused(say("rules.needed", column=column.replace("_", " ")), right=say(f"rules.right.{column}"))
    checked = read_day(line.cell("checked_on"))
    if checked > line.desk.today:
        raise Refused(say("rules.checked_ahead"), value=line.text("checked_on"))
    holds = folded(line.text("value")) != say("rules.no_longer")
    value = _value(line, str(about["unit"])) if holds else None
    dates = [_month_and_day(line.cell(name)) if holds and about["dated"] else ""
             for name in ("closed_from", "closed_to")]
    return RuleTold(slot="", topic=str(about["topic"]), law=line.text("law"), value=value,
                    unit=str(about["unit"]) if value is not None else "", closed_from=dates[0], closed_to=dates[1],
                    applies_to=_remedies(line.text("applies_to"), str(about["usual"])), source=line.text("source"),
                    checked_on=checked, note=line.text("note"), holds=holds)


def _value(line: Line, unit: str) -> float | None:
    """The figure of a rule in its topic's own unit; None where the topic has none."""
    cell = line.cell("value")
    if not unit:
        if cell.text:
            raise Refused(say("rules.no_value"), value=f'"{cell.text}"', right=say("rules.right.note"))
        return None
    right = say(f"rules.figure.{unit.replace('/', '_')}")
    found = read(cell.text) if cell.text else None
    if found is None or found.value is None or found.sign != "=" or found.value < 0:
        raise Refused(say("rules.needs_value"), value=f'"{cell.text}"', right=right)
    typed = found.unit or (unit_name(line.text("unit")) if line.text("unit") else unit if unit in _BARE else "")
    if not typed or not convertible(typed, unit) or (unit == "1" and convert(found.value, typed, unit) > 1.0):
        raise Refused(say("rules.needs_unit"), value=f'"{cell.text} {line.text("unit")}"'.replace(' "', '"'),
                      right=right)
    return round(convert(found.value, typed, unit), 9)


def _month_and_day(cell: Cell) -> str:
    """A day of every year, such as 1 Dec or 12-01; a whole date gives up its year."""
    text = cell.text
    form = f"{_LEAP_YEAR}-{text}" if re.fullmatch(r"\d\d-\d\d", text) else text
    for attempt in (form, f"{form} {_LEAP_YEAR}"):
        try:
            return f"{read_date(attempt):%m-%d}"
        except UnreadableValue:
            continue
    raise Refused(say("rules.needs_dates"), value=f'"{text}"', right=say("rules.right.dates"))


def _remedies(text: str, usual: str) -> tuple[str, ...]:
    """Codes of remedies by code or name; those the topic usually reaches where none is named."""
    codes = [str(row["remedy"]) for row in table("prescribe/remedies").rows]
    words = {folded(word): code for code in codes for word in (code, say(f"remedy.{code}"))}
    named = [word.strip() for word in re.split(r"[;,|+]", text or usual) if word.strip()]
    for word in named:
        if folded(word) not in words:
            raise Refused(say("rules.no_remedy"), value=f'"{word}"', right=say("intake.one_of", choices=", ".join(
                codes[1:])))
    return tuple(dict.fromkeys(words[folded(word)] for word in named))
