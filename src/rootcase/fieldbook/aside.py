"""What was kept aside, and what a person makes of it: put right, kept as a text of its own, or let go with a reason."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import fields
from datetime import datetime

from rootcase.fieldbook.canonical import canonical
from rootcase.fieldbook.events import Event, ReadingTaken
from rootcase.fieldbook.fits import fitting_body
from rootcase.fieldbook.holding import Holding
from rootcase.fieldbook.intake.correction import corrected
from rootcase.fieldbook.people.tokens import written
from rootcase.fieldbook.store import Store
from rootcase.fieldbook.store.sent import KeptAside
from rootcase.fieldbook.store.store import Writing
from rootcase.ground.errors import Missing, RootcaseError
from rootcase.ground.words import say
from rootcase.records.observe import System
from rootcase.records.people import Bounds
from rootcase.tables.readings import kinds

_SAID_ANEW = ("value", "choice", "nothing", "sign", "doubts", "source", "supersedes")


class Aside:
    """All that is kept aside of one practice."""

    def __init__(self, store: Store, now: Callable[[], datetime], device: str, new_id: Callable[[], str]) -> None:
        self._store, self._now, self._device, self._new_id = store, now, device, new_id

    def kept(self, within: Bounds) -> tuple[KeptAside, ...]:
        """What needs somebody, the oldest first; who speaks of their own visits alone sees what they sent."""
        with self._store.reading() as look:
            return tuple(each for each in look.aside() if not each.settled and within.code in ("", each.code))

    def settled(self, within: Bounds) -> tuple[KeptAside, ...]:
        """What somebody said something of, or fitted after all, the newest word first."""
        with self._store.reading() as look:
            found = [each for each in look.aside() if each.settled and within.code in ("", each.code)]
        return tuple(sorted(found, key=lambda each: each.settled_at, reverse=True))

    def let_go(self, mark: str, reason: str, *, within: Bounds, by: str) -> None:
        """Say that it is not needed; it stays where it is, with the reason."""
        with self._store.writing() as turn:
            self._settle(turn, self._open(turn, mark, within), "let_go", by, reason=reason)

    def as_text(self, mark: str, *, within: Bounds, by: str) -> str:
        """Keep what was typed as a text beside the readings of the same thing, and return the new event's id."""
        with self._store.writing() as turn:
            kept = self._open(turn, mark, within)
            old = _reading(kept)
            label = kinds()[old.kind].label
            body = ReadingTaken(slot=self._new_id(), kind=say("kept_aside.text_of", kind=label), of=old.of,
                                visit=old.visit, typed=old.typed, choice=old.typed, series=old.series)
            holding = Holding(turn.events(kept.property_id))
            within.require_kind(old.kind)
            _require_all_here(holding, old)
            return self._add(turn, kept, body, "as_text", by)

    def mend(self, mark: str, typed: str, system: System, *, within: Bounds, by: str) -> str:
        """Keep another value in its place, and return the new event's id."""
        with self._store.writing() as turn:
            kept = self._open(turn, mark, within)
            old = _reading(kept)
            body = corrected(old, kept.id, typed, say("kept_aside.mended"), system)
            holding = Holding(turn.events(kept.property_id))
            _require_all_here(holding, old)
            holding.admit(Event(kept.id, self._store.practice_id, kept.property_id, "", "", body), within)
            return self._add(turn, kept, body, "mended", by)

    def _open(self, turn: Writing, mark: str, within: Bounds) -> KeptAside:
        for each in turn.aside(marks=[mark]):
            if not each.settled and within.code in ("", each.code):
                return each
        raise Missing(say("kept_aside.none_such"), value=mark[:8], right=say("kept_aside.see"))

    def _add(self, turn: Writing, kept: KeptAside, body: ReadingTaken, settled: str, by: str) -> str:
        event = Event(self._new_id(), self._store.practice_id, kept.property_id, written(self._now()),
                      f"{self._device} {by}".strip(), body)
        turn.add([event])
        self._settle(turn, kept, settled, by, event_id=event.id)
        return event.id

    def _settle(self, turn: Writing, kept: KeptAside, settled: str, by: str, *, reason: str = "",
                event_id: str = "") -> None:
        turn.settle({"settled": settled, "settled_by": by, "settled_at": written(self._now()), "reason": reason,
                     "event_id": event_id}, mark=kept.mark)


def reading_kept(kept: KeptAside) -> ReadingTaken | None:
    """The reading that was meant, without its value, as far as it can be made out."""
    try:
        plain = json.loads(kept.body)
        known = {each.name for each in fields(ReadingTaken)} - set(_SAID_ANEW)
        body = fitting_body(ReadingTaken, canonical({name: said for name, said in plain.items() if name in known})
                            .decode("utf-8"))
    except (ValueError, TypeError, AttributeError, RecursionError, RootcaseError):
        return None
    assert isinstance(body, ReadingTaken)
    return body if body.kind in kinds() else None


def _reading(kept: KeptAside) -> ReadingTaken:
    found = reading_kept(kept)
    if found is None:
        raise Missing(say("kept_aside.no_reading"), right=say("kept_aside.let_it_go"))
    return found


def _require_all_here(holding: Holding, body: ReadingTaken) -> None:
    if lacks := holding.lacks(body):
        raise Missing(say("kept_aside.lacks"), value=lacks, right=say("kept_aside.let_it_go"))
