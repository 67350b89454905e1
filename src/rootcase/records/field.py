"""What a phone is sent: who uses it, the jobs that are theirs, and of each job the ground as it stands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from rootcase.records.observe import (
    BuriedLine,
    KeepOff,
    Pit,
    Place,
    Property,
    Reading,
    Sample,
    System,
    Tree,
    Visit,
    WantedReading,
    Yardstick,
)
from rootcase.records.people import Role


@dataclass(frozen=True, slots=True)
class FieldPerson:
    """Who has signed in on the phone."""

    code: str
    name: str
    role: Role
    may: tuple[str, ...]
    """Actions of the table of rights."""


@dataclass(frozen=True, slots=True)
class SealingKey:
    """What a phone seals unsent readings to, so that the practice's server alone opens them."""

    id: str
    """SHA-256 of the public point, in hexadecimal."""
    public: str
    """A point of P-256, uncompressed, base64."""


@dataclass(frozen=True, slots=True)
class FieldPractice:
    """Whose phone it is; the id is part of each event's hash."""

    id: str
    name: str
    sealing: SealingKey


@dataclass(frozen=True, slots=True)
class FieldPhone:
    """One registered phone."""

    id: str
    letters: str
    """Begin each tag that it hands out, so that no tree is numbered twice; no other phone of the practice has them."""
    name: str
    """As people call it."""


@dataclass(frozen=True, slots=True)
class FieldJob:
    """A property that is sent to a phone because its person is assigned to it."""

    id: str
    name: str
    trees: int
    days: tuple[date, ...]
    """Assigned days that are not over; empty where any day will do."""
    today: bool
    """A stop of today: gate codes and contacts are sent with it."""


@dataclass(frozen=True, slots=True)
class NamedGround:
    """A property that is not sent to the phone."""

    id: str
    name: str


@dataclass(frozen=True, slots=True)
class FieldProperties:
    """What belongs on a person's phone, and what else they might put on it."""

    jobs: tuple[FieldJob, ...]
    others: tuple[NamedGround, ...]


@dataclass(frozen=True, slots=True)
class FieldStart:
    """The answer to signing in on a phone."""

    who: FieldPerson
    practice: FieldPractice
    units: System
    """Units they read in."""
    generation: str
    """Of the fieldbook's file; another one since a backup was restored."""
    phone: FieldPhone
    sealed_as: str
    """What a phone puts into what it seals, to prove that this person was signed in on it."""
    held_day: date | None
    """The invented data's own day; None: the phone's own."""
    properties: tuple[FieldJob, ...]


@dataclass(frozen=True, slots=True)
class Telling:
    """One of several tellings of a reading."""

    id: str
    typed: str
    """Empty: it was taken back."""
    made_at: str
    device: str
    reason: str = ""
    """Why it was told anew."""


@dataclass(frozen=True, slots=True)
class FieldReading(Reading):
    """A reading with what a correction of it needs."""

    slot: str = ""
    made_at: str = ""
    """UTC, by the clock of what it was made on."""
    device: str = ""
    rivals: tuple[Telling, ...] = ()
    """Others that stand beside it: two phones corrected one reading."""
    before: tuple[Telling, ...] = ()
    """What was told of it and stands no more, oldest first."""


@dataclass(frozen=True, slots=True)
class JobWork:
    """What is done at one tree, in the words of the signed paper, without money."""

    tree_id: str
    tree: str
    remedy: str
    course: str
    """Code of the remedy, or of several joined by +."""
    doses: tuple[str, ...]
    """Area, depth and amount of each piece of work, and when."""
    beside: tuple[str, ...]
    """What stands beside the doses."""
    cautions: tuple[str, ...]
    """At most three; the others are in `more_cautions`."""
    more_cautions: tuple[str, ...]
    put_on_as: tuple[tuple[str, str], ...]
    """(code, name) of each single remedy that can be logged."""


@dataclass(frozen=True, slots=True)
class JobSheet:
    """A signed plan that stands, as the day's paper."""

    mark: str
    """SHA-256 of what was signed."""
    signed: str
    """Who signed, when, and the mark, in words."""
    work: tuple[JobWork, ...]
    alone: str
    """The trees at which nothing is done."""
    trials: tuple[tuple[str, ...], ...]
    """Of each thing in doubt, who gets it and who does not, in lines."""


@dataclass(frozen=True, slots=True)
class PutOn:
    """One record of what was put on."""

    id: str
    tree_id: str
    plan_mark: str
    remedy: str
    day: date
    by: str
    amount_typed: str
    """As typed, with its unit."""
    area_typed: str
    """With its unit; empty: as planned."""
    not_done: str
    """Why it was not done; empty where it was."""
    note: str
    load_id: str = ""
    """Of extract; empty: none, or nobody said."""
    litres: float | None = None
    """As told, or as typed with its unit; None: nobody said, or it is no volume."""


@dataclass(frozen=True, slots=True)
class FieldContact:
    """A person of a property and how to reach them, or the code of a gate."""

    role: str
    name: str
    phone: str


@dataclass(frozen=True, slots=True)
class FieldLoad:
    """A tank of extract that work can be logged from."""

    id: str
    told: str
    """Batch, tank, volume, until when."""
    batch_id: str = ""
    volume_l: float = 0.0
    """As it was filled."""
    filled: str = ""
    """The moment, UTC."""


@dataclass(frozen=True, slots=True)
class FieldExtract:
    """Extract of the day."""

    loads: tuple[FieldLoad, ...]
    """Newest first."""
    missing: str
    """What the crew does without; empty where nothing is missing."""


@dataclass(frozen=True, slots=True)
class FieldGround:
    """One property as it stands, corrections applied; of each thing the last readings of each kind."""

    id: str
    property: Property
    places: tuple[Place, ...]
    trees: tuple[Tree, ...]
    pits: tuple[Pit, ...]
    samples: tuple[Sample, ...]
    visits: tuple[Visit, ...]
    readings: tuple[FieldReading, ...]
    """Photos too: `attributes.photo` is the mark under which the picture is fetched."""
    yardsticks: tuple[Yardstick, ...]
    compared_with: Mapping[str, str]
    """Yardstick id of each tree that is to be compared."""
    lines: tuple[BuriedLine, ...]
    keep_off: tuple[KeepOff, ...]
    wanted: tuple[WantedReading, ...]
    sheet: JobSheet | None
    """Of the signed plan that stands."""
    put_on: tuple[PutOn, ...]
    """Newest first."""
    stop_day: date | None
    """Today where its person stops there; the two that follow are taken off the phone when this day is over."""
    contacts: tuple[FieldContact, ...]
    gate: str
    """Code of the gate; empty where there is none, or no stop today."""
    heard: str
    """When the server told this, UTC."""
    extract: FieldExtract
