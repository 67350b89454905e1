"""Undoing an import: in one step, while nothing rests on it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from rootcase.fieldbook.events import (
    Body,
    Event,
    ImportUndone,
    PitOpened,
    PlaceOpened,
    PlanSigned,
    PlanWithdrawn,
    PropertyOpened,
    ReadingTaken,
    SampleOpened,
    SheetImported,
    TreeOpened,
    VisitStarted,
)
from rootcase.fieldbook.signed import resting_plans, signed_plans
from rootcase.fieldbook.store.store import Writing
from rootcase.fieldbook.undone import without_undone
from rootcase.ground.dates import show_date
from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.tables.readings import kinds

_OPENED_AS: dict[type[Body], str] = {PlaceOpened: "place", TreeOpened: "tree", PitOpened: "pit",
                                     SampleOpened: "sample", VisitStarted: "visit"}
_SPEAKS_OF = ("of", "visit", "tree", "place")
_NO_READINGS = (SheetImported, ImportUndone, PlanSigned, PlanWithdrawn)
_TOLD = 3


@dataclass(frozen=True, slots=True)
class Undone:
    """An import that was undone, or would be."""

    file: str
    made_at: str
    events: int
    """Things, readings, prices and rules that say nothing any more."""


def newest_import(events: Sequence[Event]) -> Undone | None:
    """The import of a property that would be undone next."""
    standing = _standing(events)
    if not standing:
        return None
    note, newest = standing[-1]
    return Undone(newest.file, note.made_at, len(newest.events))


def undo_newest(turn: Writing, property_id: str, undoing: Callable[[Event], Event]) -> Undone:
    """Undo the newest import of a property, with the prices and rules that came with it.

    These two are the practice's: they stay where a sheet of another property came in since and may have said the same.
    """
    events = turn.events(property_id)
    notes = _standing(events)
    if not notes:
        raise Missing(say("fieldbook.no_import"), right=say("fieldbook.take_back_instead"))
    note, newest = notes[-1]
    resting = [_described(event) for event in _resting_on(newest, events)]
    plans = [say("sign.plan_of", day=show_date(plan.day), mark=plan.mark[:8]) for plan in resting_plans(
        signed_plans(events), set(newest.events))]
    if plans:
        raise Missing(say("sign.import_signed"), where=newest.file, value=", ".join(plans),
                      right=say("sign.withdraw_first"))
    if resting:
        named = ", ".join(dict.fromkeys(resting[:_TOLD]))
        raise Missing(say("fieldbook.import_rested_on", count=len(resting)), where=newest.file, value=named,
                      right=say("fieldbook.take_back_instead"))
    shared = [each for each in _standing(turn.events("")) if each[1].slot == newest.slot]
    since = any(other.property_id not in ("", property_id) and other.made_at >= note.made_at
                for other, _ in (_standing(turn.events()) if shared else ()))
    parts = [(note, newest), *(() if since else shared)]
    turn.add([undoing(part) for part, _ in parts])
    return Undone(newest.file, note.made_at, sum(len(body.events) for _, body in parts))


def _standing(events: Sequence[Event]) -> list[tuple[Event, SheetImported]]:
    """The imports that were not undone, oldest first; of one moment in the order received."""
    undone = {event.body.supersedes for event in events if isinstance(event.body, ImportUndone)}
    notes = [(event, event.body) for event in events
             if isinstance(event.body, SheetImported) and event.id not in undone]
    return sorted(notes, key=lambda note: note[0].made_at)


def _resting_on(newest: SheetImported, events: Iterable[Event]) -> list[Event]:
    """What else was said and would hang in the air without this import: its corrections, what is of its things."""
    own = set(newest.events)
    speaking = [event for event in without_undone(events) if not isinstance(event.body, _NO_READINGS)]
    rest = [event for event in speaking if event.id not in own]
    lost = _opened(event for event in speaking if event.id in own) - _opened(rest)
    return [event for event in rest if event.body.supersedes in own or _spoken_of(event.body) & lost
            or event.property_id in lost]


def _opened(events: Iterable[Event]) -> set[str]:
    """Ids of the things these events open, the property's own among them."""
    found = set()
    for event in events:
        if isinstance(event.body, PropertyOpened):
            found.add(event.property_id)
        elif type(event.body) in _OPENED_AS:
            found.add(str(getattr(event.body, _OPENED_AS[type(event.body)])))
    return found


def _spoken_of(body: Body) -> set[str]:
    opened = _OPENED_AS.get(type(body))
    return {str(getattr(body, name)) for name in _SPEAKS_OF if name != opened and getattr(body, name, None)}


def _described(event: Event) -> str:
    """What rests on an import, for a person: the reading as typed, or the thing by its name."""
    body = event.body
    if isinstance(body, ReadingTaken):
        return f"{kinds()[body.kind].label if body.kind in kinds() else body.kind} {body.typed}"
    return str(getattr(body, "label", "") or getattr(body, "name", "") or body.KIND.replace("_", " "))
