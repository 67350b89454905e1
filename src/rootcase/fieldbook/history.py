"""What was ever said of one reading: taken, corrected, called right, taken back, each with who, when and by what."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from rootcase.fieldbook.events import Event, ImportUndone, ReadingCorrected, ReadingTaken, ReadingTakenBack
from rootcase.fieldbook.view import heads
from rootcase.ground.errors import Missing
from rootcase.ground.words import say

Saying = Literal["taken", "corrected", "called right", "taken back", "undone"]


@dataclass(frozen=True, slots=True)
class Said:
    """One thing that was said of a reading."""

    id: str
    saying: Saying
    typed: str
    """Empty where it was taken back."""
    made_at: str
    """As the device's clock said, ISO 8601."""
    device: str
    reason: str
    source: str
    doubts: tuple[str, ...]
    supersedes: str | None
    stands: bool


@dataclass(frozen=True, slots=True)
class History:
    """All that was said of one reading, in the order it arrived: the clocks of devices may differ."""

    property_id: str
    kind: str
    of: str
    visit: str
    said: tuple[Said, ...]

    @property
    def standing(self) -> Said | None:
        """What stands; None where it was taken back, or undone with its import."""
        return next((each for each in self.said if each.stands and each.saying not in ("taken back", "undone")), None)


def history(events: Iterable[Event], reading_id: str) -> History:
    """Return what was ever said of the reading of which this id is one saying; events: of all properties, or of its."""
    everything = list(events)
    by_id = {event.id: event for event in everything if isinstance(event.body, ReadingTaken | ReadingTakenBack)}
    asked = by_id.get(reading_id)
    if asked is None:
        raise Missing(say("fieldbook.no_such_reading"), value=reading_id, right=say("fieldbook.find_reading"))
    of_ground = [event for event in everything if event.property_id == asked.property_id]
    chain = [event for event in of_ground if event.id in by_id and event.body.slot == asked.body.slot]
    head = heads(of_ground).get(asked.body.slot)
    first = next(event.body for event in chain if isinstance(event.body, ReadingTaken))
    said = [_said(event, by_id, head is not None and event.id == head.event.id) for event in chain]
    if head is None:
        said += [Said(event.id, "undone", "", event.made_at, event.device, event.body.reason, "", (), None, True)
                 for event in of_ground if isinstance(event.body, ImportUndone)][-1:]
    return History(asked.property_id, first.kind, first.of, first.visit, tuple(said))


def _said(event: Event, by_id: dict[str, Event], stands: bool) -> Said:
    body = event.body
    if isinstance(body, ReadingTakenBack):
        return Said(event.id, "taken back", "", event.made_at, event.device, body.reason, "", (), body.supersedes,
                    stands)
    assert isinstance(body, ReadingTaken)
    saying: Saying = "taken"
    reason = ""
    if isinstance(body, ReadingCorrected):
        before = by_id.get(body.supersedes or "")
        same = before is not None and isinstance(before.body, ReadingTaken) and before.body.typed == body.typed
        saying, reason = ("called right" if same else "corrected"), body.reason
    return Said(event.id, saying, body.typed, event.made_at, event.device, reason, body.source, body.doubts,
                body.supersedes, stands)
