"""The kinds of events: what happened, once, and is never changed afterwards.

Each kind is a frozen class with typed fields and one canonical body. `slot` names what an event speaks about (this cell
of this sheet, this tree's position); an event with the same slot that `supersedes` another takes its place in the view.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache
from hashlib import sha256

from rootcase.fieldbook.applied.fleet import FLEET_EVENTS
from rootcase.fieldbook.applied.ground_use import GROUND_EVENTS
from rootcase.fieldbook.applied.log import LOG_EVENTS
from rootcase.fieldbook.applied.wrong import WRONG_EVENTS
from rootcase.fieldbook.body import Body
from rootcase.fieldbook.canonical import canonical, read_canonical
from rootcase.fieldbook.drawn import AerialLaid, DrawingTakenBack, KeepOffDrawn, LineDrawn
from rootcase.fieldbook.made.batches import BATCH_EVENTS
from rootcase.fieldbook.made.heaps import HEAP_EVENTS
from rootcase.fieldbook.made.slides import SLIDE_EVENTS
from rootcase.fieldbook.photographed import TREE_PHOTO_EVENTS
from rootcase.fieldbook.plain import plain_body, typed
from rootcase.fieldbook.proved import PROVED_EVENTS
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.fieldbook.wanted import ReadingNotWanted, ReadingWanted
from rootcase.ground.errors import StoreError
from rootcase.ground.words import say
from rootcase.records.observe import Nothing, Sign, System
from rootcase.records.offer import AnswerWord


@dataclass(frozen=True, slots=True, kw_only=True)
class PropertyOpened(Body):
    """What is empty or None nobody has said."""

    KIND = "property_opened"
    name: str
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    weather_station: str
    system: System
    invented: bool
    elevation_m: float | None = None
    time_zone: str = ""
    currency: str = ""
    law: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceOpened(Body):
    KIND = "place_opened"
    place: str
    name: str
    place_kind: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceOutlined(Body):
    """The corners of a place, or of something that is only drawn (then `place` is an id of its own)."""

    KIND = "place_outlined"
    place: str
    name: str
    outline_kind: str
    outline_m: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TreeOpened(Body):
    KIND = "tree_opened"
    tree: str
    label: str
    place: str
    east_m: float | None = None
    north_m: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PitOpened(Body):
    KIND = "pit_opened"
    pit: str
    label: str
    tree: str | None = None
    place: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleOpened(Body):
    KIND = "sample_opened"
    sample: str
    label: str
    tree: str | None = None
    place: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitStarted(Body):
    KIND = "visit_started"
    visit: str
    label: str
    day: date
    observer: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class YardstickNamed(Body):
    """This tree belongs to the yardstick of this label."""

    KIND = "yardstick_named"
    yardstick: str
    label: str
    tree: str
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedWith(Body):
    KIND = "compared_with"
    tree: str
    yardstick: str
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingTaken(Body):
    """One observation; day and observer are those of its visit (the first visit where `visit` is empty)."""

    KIND = "reading_taken"
    kind: str
    of: str
    visit: str
    typed: str
    value: float | None = None
    choice: str | None = None
    sign: Sign = "="
    nothing: Nothing | None = None
    depth_from_m: float | None = None
    depth_to_m: float | None = None
    growth_year: int | None = None
    series: str = ""
    attributes: Mapping[str, str] = field(default_factory=dict)
    doubts: tuple[str, ...] = ()
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingCorrected(ReadingTaken):
    KIND = "reading_corrected"
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingTakenBack(Body):
    KIND = "reading_taken_back"
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Priced(Body):
    """A line of the practice's price book; it belongs to no property."""

    KIND = "priced"
    item: str
    unit: str
    amount: float
    currency: str
    source: str = ""
    gone: bool = False
    """It was taken away: nothing is priced by it any more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleTold(Body):
    """A rule of a law or of the practice; it belongs to no property."""

    KIND = "rule_told"
    topic: str
    law: str
    applies_to: tuple[str, ...]
    checked_on: date
    value: float | None = None
    unit: str = ""
    closed_from: str = ""
    closed_to: str = ""
    source: str = ""
    note: str = ""
    holds: bool = True
    """False: it was a rule and is none any more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PracticeTold(Body):
    """One thing the practice says of itself; it belongs to no property."""

    KIND = "practice_told"
    key: str
    text: str = ""
    rate_pct: float | None = None
    days: int | None = None
    ends: date | None = None
    """Of a paper that holds until a day."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetImported(Body):
    """These events came in as one."""

    KIND = "sheet_imported"
    file: str
    events: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportUndone(Body):
    """The import it supersedes should not have been; its events stay and say nothing any more."""

    KIND = "import_undone"
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanSigned(Body):
    """Somebody answers for this plan; the one that stands before is superseded."""

    KIND = "plan_signed"
    signed: str
    """Canonical text of all that was signed."""
    mark: str
    """SHA-256 of that text."""
    by: str
    day: date


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanWithdrawn(Body):
    """The plan it supersedes holds no more."""

    KIND = "plan_withdrawn"
    by: str
    day: date
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferMade(Body):
    """A priced plan was put to a client."""

    KIND = "offer_made"
    offered: str
    """Canonical text of the offer."""
    mark: str
    """SHA-256 of that text."""
    day: date


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferAnswered(Body):
    """What a client said; the name stands among the contacts, where it can be erased."""

    KIND = "offer_answered"
    offer: str
    mark: str
    """Of the offer as the client saw it."""
    answer: AnswerWord
    option: int
    day: date
    contact: str
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class QuestionReplied(Body):
    """What was said back to a client's question."""

    KIND = "question_replied"
    answer: str
    """Id of the event that holds the question."""
    by: str
    day: date
    words: str = ""
    """Empty: it was said by word of mouth."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ProgrammeStarted(Body):
    """What was said yes to is repeated by agreement."""

    KIND = "programme_started"
    offer_mark: str
    option: int
    visits_a_year: int
    price_until: date
    day: date


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitSkipped(Body):
    """A visit of a programme was left out."""

    KIND = "visit_skipped"
    programme: str
    due: date
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ProgrammeRenewed(Body):
    KIND = "programme_renewed"
    programme: str
    visits_a_year: int
    price_until: date
    day: date


@dataclass(frozen=True, slots=True, kw_only=True)
class ProgrammeStopped(Body):
    KIND = "programme_stopped"
    programme: str
    day: date
    reason: str


MOST_BODIES = 20_000  # JUDGEMENT: a few properties with all that was ever read there, some 30 MB
KINDS: Mapping[str, type[Body]] = {
    kind.KIND: kind
    for kind in (PropertyOpened, PlaceOpened, PlaceOutlined, TreeOpened, PitOpened, SampleOpened, VisitStarted,
                 YardstickNamed, ComparedWith, ReadingTaken, ReadingCorrected, ReadingTakenBack, Priced,
                 RuleTold, PracticeTold, SheetImported, ImportUndone, PlanSigned, PlanWithdrawn,
                 OfferMade, OfferAnswered, QuestionReplied,
                 ProgrammeStarted, VisitSkipped, ProgrammeRenewed, ProgrammeStopped,
                 LineDrawn, KeepOffDrawn, AerialLaid, DrawingTakenBack, ReadingWanted, ReadingNotWanted,
                 PutOnLogged, *GROUND_EVENTS, *BATCH_EVENTS, *HEAP_EVENTS, *SLIDE_EVENTS,
                 *FLEET_EVENTS, *LOG_EVENTS, *WRONG_EVENTS, *PROVED_EVENTS, *TREE_PHOTO_EVENTS)
}


@dataclass(frozen=True, slots=True)
class Event:
    """A body with its envelope; when and on which device it was written down is told, but not part of the content."""

    id: str
    practice_id: str
    property_id: str
    """Empty for what belongs to the whole practice."""
    made_at: str
    """UTC, such as 2015-11-05T09:30:00.000Z."""
    device: str
    body: Body

    @property
    def hash(self) -> str:
        """What says that two copies of an event are the same."""
        return self.hash_by(body_text(self.body))

    def hash_by(self, text: str) -> str:
        """The same, where its body's canonical text is at hand."""
        beside = canonical({"id": self.id, "kind": self.body.KIND, "practice": self.practice_id,
                            "property": self.property_id})
        # Names stand in order, and "body" comes first of these.
        return sha256(b'{"body":' + text.encode() + b"," + beside[1:]).hexdigest()


def body_text(body: Body) -> str:
    """Canonical text of a body, as it is stored.

    >>> body_text(ComparedWith(slot="s", tree="t", yardstick="y", label="wood"))
    '{"label":"wood","slot":"s","tree":"t","yardstick":"y"}'
    """
    return canonical(plain_body(body)).decode("utf-8")


@lru_cache(maxsize=MOST_BODIES)  # a body is frozen, and a page asks for the same ones again and again
def read_body(kind: str, text: str) -> Body:
    """The typed body of a stored text.

    >>> read_body("compared_with", '{"label":"wood","slot":"s","tree":"t","yardstick":"y"}').slot
    's'
    """
    if kind not in KINDS:
        raise StoreError(say("fieldbook.unknown_event"), value=kind, right=say("fieldbook.newer_program"))
    body: Body = typed(KINDS[kind], read_canonical(text))
    return body
