"""What is due, in words: when, where, what to do, and why."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from rootcase.ground.dates import count_days, show_date
from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord
from rootcase.records.offer import DueItem
from rootcase.report.text.figures import known, sentence
from rootcase.report.text.naming import names, remedy_name
from rootcase.report.text.signed import mark_shown
from rootcase.report.text.signs import looked_at

_MARK = 64
"""Signs of a mark; ids of readings have fewer."""
_ID_END = 5

DueLine = tuple[str, str, str]
"""When, where, and what with its why."""


def due_lines(items: Sequence[DueItem], records: Mapping[str, PropertyRecord], today: date) -> list[DueLine]:
    """Return a line for each item, in the order given."""
    return [(_when(item, today), _where(item, records), f"{_what(item, records)} {_why(item)}".strip())
            for item in items]


def _when(item: DueItem, today: date) -> str:
    if item.kind == "wanted":
        return say("offer.due.next_visit")
    late = (today - item.day).days
    if late > 0:
        return say("offer.due.overdue", day=show_date(item.day), days=count_days(late))
    return say("offer.due.today") if late == 0 else show_date(item.day)


def _where(item: DueItem, records: Mapping[str, PropertyRecord]) -> str:
    return records[item.property_id].property.name if item.property_id else say("offer.due.practice")


def _what(item: DueItem, records: Mapping[str, PropertyRecord]) -> str:
    labels = {tree.id: tree.label for record in records.values() for tree in record.trees}
    trees = names([labels.get(tree, tree) for tree in item.tree_ids])
    if item.kind == "notice":
        return say("offer.due.notice", remedy=remedy_name(item.what), day=show_date(date.fromisoformat(item.why)))
    if item.kind == "work":
        return say("offer.due.work", remedy=sentence(remedy_name(item.what)), trees=trees,
                   last=show_date(date.fromisoformat(item.why)))
    if item.kind == "laboratory":
        return say("offer.due.laboratory", what=item.what, day=show_date(date.fromisoformat(item.why)))
    if item.kind == "first_look":
        return say("offer.due.first_look", what=looked_at(item.what), trees=trees)
    if item.kind == "wanted":
        return say("offer.due.wanted", what=looked_at(item.what), trees=trees)
    if item.kind == "visit":
        return say(f"offer.due.visit_{item.what}")
    if item.kind == "pest":
        group = f"pests.group.{item.what}"
        what = say(group) if known(group) else say("pests.look.what", pest=item.what, stage=item.why)
        return say("offer.due.pest", what=sentence(what), trees=trees)
    if item.kind == "question":
        return say("offer.due.question", number=item.what, words=item.why)
    return say(f"offer.due.{item.kind}", what=item.what, trees=trees)


def _why(item: DueItem) -> str:
    """What it rests on, so that it can be looked up."""
    if not item.source:
        return ""
    if len(item.source) == _MARK:
        of = "plan" if item.kind in ("look", "first_look", "wanted", "work") else "offer"
        return say(f"offer.due.from_{of}", mark=mark_shown(item.source))
    if item.kind in ("notice", "pest") and " " in item.source:
        return say("offer.due.from_source", source=item.source)
    return say("offer.due.from_reading", id=item.source[-_ID_END:])
