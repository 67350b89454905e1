"""What phones send: which of it is here, its pictures, what of it needs somebody, and how their clocks go."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from hashlib import sha256
from io import BytesIO

from rootcase.fieldbook.aside import reading_kept
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.people.phones import phones_of
from rootcase.fieldbook.store import Store
from rootcase.fieldbook.store.sent import Clock, KeptAside, Waiting
from rootcase.ground.errors import ImpossibleValue
from rootcase.ground.words import say
from rootcase.records.people import Bounds, Phone
from rootcase.report.text.naming import subjects
from rootcase.tables.readings import kinds

_SHOWN = 200
_CLOCK_MS = 120_000
"""As docs/sync-server.md says: a clock that is two minutes off is shown."""


@dataclass(frozen=True, slots=True)
class NeedsYou:
    """One thing that was kept aside, in words."""

    kept: KeptAside
    ground: str
    """Name of the property; empty where there is none."""
    thing: str
    """Name of the tree, pit or place; empty where there is none."""
    what: str
    """What was read; of what is no reading the kind of event."""
    typed: str
    is_reading: bool
    """Whether it can be put right or kept as text."""


@dataclass(frozen=True, slots=True)
class Ahead:
    """A reading, or another event, of a phone whose clock was ahead by more than a day."""

    id: str
    claimed_at: str
    arrived_at: str
    is_reading: bool


@dataclass(frozen=True, slots=True)
class Unsettled:
    """All of what was sent that somebody should look at."""

    needs: tuple[NeedsYou, ...]
    settled: tuple[NeedsYou, ...]
    """What was said of others, the newest word first."""
    unseen: tuple[tuple[Phone, int], ...]
    """Phones that were lost, and how much of each nobody has looked through yet."""
    waiting: tuple[Waiting, ...]
    clocks: tuple[Clock, ...]
    """Of each phone that was two minutes off or more when it last sent."""
    ahead: tuple[Ahead, ...]


@dataclass(frozen=True, slots=True)
class Misfit:
    """One event that was kept aside, as its phone is told of it."""

    mark: str
    """By which it is let go."""
    id: str
    hash: str
    error: str
    right: str
    settled: str
    """What a person made of it; empty: it needs somebody."""


@dataclass(frozen=True, slots=True)
class Held:
    """What became of events that were sent."""

    held: dict[str, str]
    """Hash of each that is here: among the events, waiting, or kept aside."""
    waiting: tuple[str, ...]
    """Ids of those that wait for what they speak of, or for somebody to look through them."""
    aside: tuple[Misfit, ...]
    """Of one id there may be several, of other hashes."""


def held(store: Store, ids: Collection[str]) -> Held:
    """What became of these events; what is not named is not here."""
    with store.reading() as look:
        kept, waiting, here = look.aside(ids), look.waiting((), ids), look.hashes(ids)
    hashes = {each.id: each.hash for each in (*kept, *waiting.values())} | here
    unseen = (each.id for each in kept if each.unseen and not each.settled)
    aside = tuple(Misfit(each.mark, each.id, each.hash, each.why, each.right, each.settled)
                  for each in kept if each.settled or not each.unseen)
    return Held(hashes, (*waiting, *unseen), aside)


def keep_photo(book: Fieldbook, mark: str, data: bytes) -> None:
    """Keep a picture under its mark; one that came damaged is refused."""
    found = sha256(data).hexdigest()
    if found != mark:
        raise ImpossibleValue(say("kept_aside.other_picture"), where="mark", value=found[:8],
                              right=say("kept_aside.send_again"))
    if book.photos.find(mark) is None or book.photos.sound(mark) is None:
        book.photos.keep(BytesIO(data))


def unsettled(book: Fieldbook, within: Bounds) -> Unsettled:
    """What somebody of these bounds should look at."""
    kept, settled = book.aside.kept(within), book.aside.settled(within)
    grounds = {each.id: each.name for each in book.properties()}
    named = {each.property_id for each in (*kept, *settled)}
    things = {ground: subjects(book.record(ground)) for ground in grounds.keys() & named}

    def told(these: tuple[KeptAside, ...]) -> tuple[NeedsYou, ...]:
        return tuple(_told(each, grounds.get(each.property_id, ""), things.get(each.property_id, {})) for each in these)

    with book.store.reading() as look:
        waiting = tuple(each for each in look.waiting().values() if within.code in ("", each.code))
        clocks = tuple(each for each in look.clocks().values() if abs(each.ahead_ms) >= _CLOCK_MS)
        ahead = tuple(Ahead(an_id, claimed, arrived, kind.startswith("reading_"))
                      for an_id, (claimed, arrived, kind) in look.clock_claims().items())
    lost = Counter(each.device for each in kept if each.unseen)
    unseen = tuple((each, lost[each.id]) for each in phones_of(book.store) if lost[each.id])
    return Unsettled(told(kept), told(settled), unseen, waiting, clocks, ahead)


def _told(kept: KeptAside, ground: str, things: Mapping[str, str]) -> NeedsYou:
    reading = reading_kept(kept)
    if reading is None:
        return NeedsYou(kept, ground, "", kept.kind.replace("_", " "), kept.body[:_SHOWN], is_reading=False)
    return NeedsYou(kept, ground, things.get(reading.of, ""), kinds()[reading.kind].label, reading.typed[:_SHOWN],
                    is_reading=True)
