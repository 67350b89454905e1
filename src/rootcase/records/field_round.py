"""What a phone is sent of the day's rounds: each step in its hour, what stops it, what answers at the gate mean."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Literal

from rootcase.records.apply.rounds import StepKind
from rootcase.records.apply.told import SoilState

SeenAround = Literal["rain", "wind", "frost", "heat", "people", "bloom"]
"""What somebody sees at a stop beside the soil."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldBar:
    """What stops a piece of work, as far as it is known before anybody is there."""

    gate: str
    says: str
    """What stops it, and who frees it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldTask:
    """One job of a stop."""

    id: str
    tree_id: str
    tree: str
    place_id: str
    remedy: str
    name: str
    plan: str
    """Mark of the signed plan."""
    dose: str
    """Area, depth and amount, as a crew measures it out."""
    tank_does: str
    """How many such trees the tank does that it comes from; empty: it comes from none."""
    beside: tuple[str, ...]
    cautions: tuple[str, ...]
    """At most three; the others are in `more_cautions`."""
    more_cautions: tuple[str, ...]
    located: str
    """The locate number that holds, and its last day; empty where the ground is not opened or none holds."""
    bars: tuple[FieldBar, ...]
    closes: Mapping[str, str]
    """By an answer at the gate: what it means for this work; what is not here leaves it open."""
    extract: bool
    amount: str
    """By the plan, as it would be typed: of what is loose by volume; empty where the figures below say it."""
    litres: float | None
    """Of this stop alone, where no tank holds the whole."""
    mass_kg: float | None
    area_m2: float | None
    """None at a stop that does a part: how much of the ground that covers is told by who was there."""
    done: bool
    """It is logged already, as put on or as not done for good."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldTank:
    """Extract in the tank, from its fill to the next."""

    batch_id: str
    """Of the batch that was made; of one that is only planned that of the plan."""
    named: str
    use_by: str
    """By the yard's clock; from then on it is refused."""
    until: str
    """The same moment, UTC."""
    bar: str
    """Why none of it may go out, as it was heard; empty: it may until then."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldStep:
    """One thing of a round."""

    kind: StepKind
    id: str
    """Of a stop: the same while its first job is."""
    part: int
    """Of a job that is put on in parts: which this one is; 0: all of it is done here."""
    starts: str
    """By the yard's clock, as the following."""
    ends: str
    place: str
    property_id: str
    work: str
    tank: str
    """What goes into it, or out of it and what is left."""
    age: str
    """Of the extract at the end of the stop, and how much is in hand."""
    extract: FieldTank | None
    tasks: tuple[FieldTask, ...]
    map: str
    """Name of the map of the place; another one as soon as it shows something else."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldRound:
    """A round that was given to the crew of who has signed in."""

    id: str
    day: date
    crew: str
    mark: str
    """Another one as soon as the office changed it."""
    given: str
    """By whom, in words."""
    steps: tuple[FieldStep, ...]
    left_out: tuple[str, ...]
    """Work that waits at its places and is not in it, with why."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldLitres:
    """Where some of a batch of the day went, as the fieldbook has it."""

    slot: str
    """Of the record; a phone that has its own word of it knows it by that."""
    id: str
    """Of the word that stands."""
    batch_id: str
    what: Literal["applied", "left", "lost"]
    litres: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldRounds:
    """The rounds of today and tomorrow, and what a phone asks at each stop."""

    rounds: tuple[FieldRound, ...]
    soil: tuple[SoilState, ...]
    around: tuple[SeenAround, ...]
    meter_near: float
    """A figure in the other unit is meant where it is off the plan by less than this,"""
    meter_far: float
    """and in the unit of the box by this or more."""
    whole_l: float
    """Liters of a load that may stay untold."""
    litres: tuple[FieldLitres, ...]
    """Of the batches that tanks were filled of within a day, by whomever it was told."""
    licence: str
    """Number that who has signed in told last in the record of these places; empty: none."""
