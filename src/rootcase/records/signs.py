"""What the signs say of causes the soil cannot see."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class SignRead:
    """A sign somebody looked for."""

    sign: str
    """A code of the table of signs."""
    reading_ids: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OutsideCause:
    """A cause outside the soil, as the signs and the growth that was seen leave it."""

    cause: str
    """A code of the table of causes."""
    chance: float
    """That it is there and takes growth worth seeing."""
    chance_there: float
    """That it is there, whether it takes growth or not."""
    signs_for: tuple[SignRead, ...]
    """Its signs that were seen, the most telling first."""
    signs_against: tuple[SignRead, ...]
    """Its signs that were looked for and are not there."""
    first_look: str
    """The kind of reading that looks at the cause itself."""
    may_follow: tuple[str, ...]
    """Codes of causes that invite this one; soil for what the soil takes."""


@dataclass(frozen=True, slots=True)
class SplittingLook:
    """The look not yet taken that would do most to tell the two best causes apart."""

    kind: str
    """A code of the catalogue of readings."""
    sign: str
    between: tuple[str, str]
    bits: float
    """Expected fall of the doubt which of the two are there."""
    minutes: float
    """In the field, as the catalogue has it."""
    bits_per_minute: float
    """Never by less than a tenth of a minute."""
    tools: str
    season: str
    """As the catalogue codes it."""


@dataclass(frozen=True, slots=True)
class Signs:
    """Causes outside the soil at one tree, and how far the signs go."""

    causes: tuple[OutsideCause, ...]
    """All of the table, best first."""
    chance_unlisted: float
    """That something takes growth which no row of the table names."""
    chance_soil_alone: float
    """That nothing outside the soil takes growth, from the signs alone: before the growth that was seen."""
    chance_outside: float
    """That something outside the soil takes growth, the growth that was seen taken in where there is any."""
    first_stays: float
    """Share of tries in which the first cause stays first with every judged number halved, kept or doubled by lot."""
    tries: int
    look: SplittingLook | None
    """None where every sign that could split the two best was read."""
    looked_at: tuple[str, ...]
    """Kinds of readings that told of a sign."""
    not_looked_at: tuple[str, ...]
    """Kinds of readings of signs that nobody made."""
