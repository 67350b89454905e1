"""Kept casework: the newest that was thought of a property, shown at once, and what came since it was thought."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from pathlib import Path
from threading import Lock
from typing import Any, TypeVar

from rootcase.fieldbook.arrivals import Reach
from rootcase.fieldbook.events import Event, SampleOpened
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.records.observe import Property, PropertyRecord
from rootcase.records.offer import SignedPlan
from rootcase.records.report import Casework
from rootcase.services.prescribe import prescribe_property
from rootcase.services.results import keep_result, place_for, read_result
from rootcase.services.run import Run
from rootcase.services.sign import with_signature

Form = TypeVar("Form")

_KINDS: Mapping[str, str] = {
    "reading_taken": "reading", "reading_corrected": "correction", "reading_taken_back": "taken_back",
    "priced": "price", "rule_told": "rule", "effect_signed": "effect",
    "import_undone": "undone"}
_LABORATORY, _WEATHER, _GROUND = "laboratory", "weather", "ground"
ORDER = (_LABORATORY, "reading", "correction", "taken_back", "undone", "price", "rule", "effect", _WEATHER, _GROUND)
"""The things that can arrive, as a person is told of them."""
MOST_HELD = 64
"""JUDGEMENT: properties whose casework a server holds at hand, some 10 MB each."""


@dataclass(frozen=True, slots=True)
class Arrived:
    """Something that came after a casework was made and decides it."""

    what: str
    """One of ORDER."""
    count: int
    """Readings, laboratory samples, lines; 1 where nobody counts them."""
    day: date | None
    """When the newest of them was written down; None: not known."""


@dataclass(frozen=True, slots=True)
class Kept:
    """The newest casework of a property, with the plan that stands signed, and whether it still says all."""

    casework: Casework | None
    """None: it was never made, or by another version of the program."""
    current: bool
    """Nothing that decides it came since, and it was made on this day."""
    because: tuple[Arrived, ...]
    """What came since; empty where only the day has moved on."""
    forms: dict[str, Any] = field(default_factory=dict, compare=False)
    """What was made of this casework, by name; it goes when the casework or the signed plan becomes another."""

    def form(self, name: str, make: Callable[[Casework], Form]) -> Form:
        """A picture, a page's part or an answer of this casework, made the first time it is asked for."""
        assert self.casework is not None
        if name not in self.forms:
            self.forms[name] = make(self.casework)
        made: Form = self.forms[name]
        return made

    @property
    def made_on(self) -> date | None:
        return self.casework.made_on if self.casework else None




@dataclass(frozen=True, slots=True)
class _Made:
    """As it is kept in the results folder."""

    casework: Casework
    received: int
    weather: str


def make_casework(fieldbook: Fieldbook, ground: Property, run: Run) -> Casework:
    """Think a property through and keep that as the newest."""
    reach = fieldbook.arrivals.reach(ground.id)  # before: what comes while it is made is told as new
    casework = prescribe_property(fieldbook, ground, run)
    if run.results is not None:
        keep_result(_file(run.results, fieldbook, ground), _Made(casework, reach.received, reach.weather))
    return casework


def kept_casework(fieldbook: Fieldbook, ground: Property, run: Run) -> Kept:
    """The newest casework that was made of a property, without making any."""
    made = read_result(_file(run.results, fieldbook, ground), _Made) if run.results else None
    return _standing(fieldbook, ground, run.today, made)


class Shelf:
    """Kept casework at hand, so that a page need not read it again; looks whether anything was written since."""

    def __init__(self) -> None:
        self._held: OrderedDict[tuple[str, str], _Held] = OrderedDict()
        self._turn = Lock()

    def casework(self, fieldbook: Fieldbook, ground: Property, run: Run) -> Kept:
        """As kept_casework, for the price of a look at the file where nothing was written since the last time."""
        if run.results is None:
            return Kept(None, False, ())
        if at_hand := self.at_hand(fieldbook, ground.id, run.today):
            return at_hand
        key = (fieldbook.arrivals.where, ground.id)
        with self._turn:
            held = self._held.get(key)
        file = held.file if held else _file(run.results, fieldbook, ground)
        now = (_stamp(file), fieldbook.arrivals.commits(), run.today)
        made = held.made if held and held.stamps[0] == now[0] else read_result(file, _Made)
        kept = _standing(fieldbook, ground, run.today, made)
        if held and held.made is made and _signed(held.kept) == _signed(kept):
            kept = replace(kept, casework=held.kept.casework, forms=held.kept.forms)
        fresh = _Held(file, now, made, kept)
        with self._turn:
            self._held[key] = fresh
            self._held.move_to_end(key)
            while len(self._held) > MOST_HELD:
                self._held.popitem(last=False)
        return fresh.kept

    def at_hand(self, fieldbook: Fieldbook, property_id: str, today: date) -> Kept | None:
        """The same where nothing has to be read for it; None says nothing."""
        with self._turn:
            held = self._held.get((fieldbook.arrivals.where, property_id))
        if held and held.stamps == (_stamp(held.file), fieldbook.arrivals.commits(), today):
            return held.kept
        return None


@dataclass(frozen=True, slots=True)
class _Held:
    file: Path
    stamps: tuple[object, tuple[int, int], date]
    """Of the kept file, of the fieldbook's commits, and the day: the same again, and so is what is kept."""
    made: _Made | None
    kept: Kept


def _signed(kept: Kept) -> SignedPlan | None:
    return kept.casework.signed if kept.casework else None


def _standing(fieldbook: Fieldbook, ground: Property, today: date, made: _Made | None) -> Kept:
    if made is None:
        return Kept(None, False, ())
    casework = with_signature(fieldbook, made.casework)
    because = _arrived(fieldbook, casework.record, Reach(made.received, made.weather), today)
    return Kept(casework, not because and casework.made_on == today, because)


def _arrived(fieldbook: Fieldbook, record: PropertyRecord, since: Reach, today: date) -> tuple[Arrived, ...]:
    ground_id = record.property.id
    found = _told(record, fieldbook.arrivals.since(ground_id, since.received), today)
    if fieldbook.arrivals.reach(ground_id).weather != since.weather:
        found[_WEATHER] = Arrived(_WEATHER, 1, None)
    if len(found) > 1:
        found.pop(_GROUND, None)  # readings open visits, pits and samples of their own
    return tuple(found[what] for what in ORDER if what in found)


def _told(record: PropertyRecord, events: Iterable[Event], today: date) -> dict[str, Arrived]:
    """What came, one line a kind; of one thing however often it was told.

    What was written down later than the day that is asked about, as in the demonstration, counts as of that day.
    """
    came = list(events)
    samples = {sample.id for sample in record.samples} | {
        event.body.sample for event in came if isinstance(event.body, SampleOpened)}
    subjects: dict[str, set[str]] = {}
    days: dict[str, date] = {}
    for event in came:
        of = getattr(event.body, "of", "")
        what = _KINDS.get(event.body.KIND, _GROUND)
        what = _LABORATORY if what == "reading" and of in samples else what
        subjects.setdefault(what, set()).add(of if what == _LABORATORY else event.body.slot)
        day = min(datetime.fromisoformat(event.made_at).astimezone().date(), today)
        days[what] = max(day, days.get(what, day))
    return {what: Arrived(what, len(ids), days[what]) for what, ids in subjects.items()}


def _file(results: Path, fieldbook: Fieldbook, ground: Property) -> Path:
    """Of one property of one practice in one fieldbook's file: no other's casework is ever found there."""
    return place_for(results, _Made, (fieldbook.arrivals.where, ground.id))


def _stamp(file: Path) -> object:
    try:
        about = file.stat()
    except OSError:
        return None
    return about.st_ino, about.st_mtime_ns, about.st_size
