"""What was told of the ground of a property, a line each."""

from __future__ import annotations

from rootcase.ground.dates import show_date
from rootcase.ground.words import say
from rootcase.records.apply.told import Bloom, Locate, Permit, Squeeze, Use
from rootcase.records.observe import PropertyRecord
from rootcase.report.text.naming import remedy_name


def told_line(told: Locate | Permit | Use | Bloom | Squeeze, record: PropertyRecord) -> str:
    """One thing that was told, with its days and its place."""
    called = {"": say("windows.whole"), **{each.id: each.name for each in record.places},
              **{each.id: each.label for each in record.trees}}
    if isinstance(told, Squeeze):
        return say("windows.line.squeeze", place=called.get(told.place_id, ""), day=show_date(told.day),
                   state=say(f"windows.soil.{told.state}"))
    days = say("windows.line.days", first=show_date(told.first), last=show_date(told.last))
    if isinstance(told, Locate):
        private = say("windows.line.private" if told.private_lines else "windows.line.not_private")
        return say("windows.line.locate", number=told.number or say("windows.line.no_number"), days=days,
                   place=called.get(told.place_id, ""), private=private)
    if isinstance(told, Permit):
        return say("windows.line.permit", what=told.what, number=told.number or say("windows.line.not_given"),
                   days=days, work=", ".join(map(remedy_name, told.remedies)) or say(
                       "windows.tell.all_work" if told.work_told else "windows.tell.no_work"))
    if isinstance(told, Use):
        names = say("windows.weekdays").split()
        every = ", ".join(names[each] for each in told.weekdays) or say("windows.line.every_day")
        return say("windows.line.use", name=told.name, days=days, every=every, place=called.get(told.place_id, ""))
    return say("windows.line.bloom", of=called.get(told.of, ""), days=days)
