"""The people of a practice, what stands open for them, and the links that clients get."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

from rootcase.ground.errors import ImpossibleValue
from rootcase.ground.words import say
from rootcase.records.observe import System

Role = Literal["owner", "practitioner", "crew"]
ROLES: tuple[Role, ...] = ("owner", "practitioner", "crew")
SIGNING_ROLES: tuple[Role, ...] = ("owner", "practitioner")
"""Who may be given the right to sign; the same must prove themselves by a second step."""
SessionKind = Literal["browser", "api"]


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody of a practice; the code stands for ever beside what they read and signed, the rest can be erased."""

    practice_id: str
    code: str
    """At most 12 signs, no name."""
    name: str
    login: str
    """What they sign in with; empty once erased."""
    role: Role
    may_sign: bool
    system: System
    """Units they read in."""
    can_sign_in: bool
    """Whether they have set a password."""
    has_second_step: bool
    """Whether a code from their own device is asked for."""
    ended: datetime | None
    """Since when they are no longer of the practice."""


@dataclass(frozen=True, slots=True)
class Bounds:
    """What somebody may tell of what was read, by whichever way they send it."""

    code: str = ""
    """Theirs, where they speak of nobody else's visits; empty: of everybody's."""
    barred: frozenset[str] = frozenset()
    """Kinds of readings that others tell."""

    def require_kind(self, kind: str) -> None:
        """Raise where a reading of this kind is told by others."""
        if kind in self.barred:
            raise ImpossibleValue(say("people.barred_kind", kind=kind.replace("_", " ")),
                                  right=say("people.barred_right"))

    def require_observer(self, observer: str) -> None:
        """Raise where this is another's visit: nobody puts words into another's mouth."""
        if self.code and observer != self.code:
            raise ImpossibleValue(say("taking_in.observer"), value=observer[:60], right=self.code)


UNBOUND = Bounds()


@dataclass(frozen=True, slots=True)
class Session:
    """One browser or program that stays signed in."""

    id: str
    practice_id: str
    code: str
    kind: SessionKind
    device: str
    """What the browser says of itself."""
    made: datetime
    seen: datetime
    expires: datetime


@dataclass(frozen=True, slots=True)
class Invitation:
    """What lets somebody set their own password, once."""

    practice_id: str
    code: str
    totp_secret: str
    """Of the second step that is being set up; base32."""
    expires: datetime


@dataclass(frozen=True, slots=True)
class ClientLink:
    """What lets a client look at one offer, without an account."""

    id: str
    practice_id: str
    property_id: str
    offer_mark: str
    """SHA-256 of what was offered; an answer counts for that and no other."""
    made_by: str
    made: datetime
    expires: datetime
    ended: datetime | None
    opened: datetime | None
    """When it was last opened; None: never."""


@dataclass(frozen=True, slots=True)
class Phone:
    """A phone that was ever signed in on, as the practice keeps it."""

    id: str
    letters: str
    """Begin each tag that it hands out."""
    name: str
    """As people call it; empty until somebody does."""
    code: str
    """Of who was signed in on it last."""
    first_heard: datetime
    last_heard: datetime
    waiting: tuple[int, int]
    """Readings and photos that were on it alone when it was last heard."""
    lost: datetime | None
    """Since when it is marked lost."""
    found: datetime | None
    """When it was last found again."""


@dataclass(frozen=True, slots=True)
class Assignment:
    """Somebody goes to a property."""

    property_id: str
    code: str
    day: date | None
    """None: on any."""
    by: str


@dataclass(frozen=True, slots=True)
class PhoneAsked:
    """What a phone says of itself whenever it asks."""

    id: str
    waiting: tuple[int, int] | None = None
    """Readings and photos that are on it alone; None: it does not say."""
