"""What was counted of pests, what follows from it, and which look is due by the warmth of the year."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

PestVerdict = Literal["not enough to act on", "watch", "act on local advice"]
VERDICTS: tuple[PestVerdict, ...] = ("not enough to act on", "watch", "act on local advice")
"""The lightest first."""
LookState = Literal["due", "coming", "not reached", "not known"]


@dataclass(frozen=True, slots=True)
class PestCount:
    """The newest reading of one kind."""

    kind: str
    value: float | None
    """In the kind's SI unit; 0 where it was looked for and not there; None for a choice."""
    choice: str | None
    day: date
    reading_id: str


@dataclass(frozen=True, slots=True)
class PestFinding:
    """One group of pests at one tree."""

    group: str
    """A code of explain/pest_groups."""
    verdict: PestVerdict
    counted: tuple[PestCount, ...]
    plant_from: float | None
    """Share from which the plant itself is in need; None where no figure with a source is known."""
    eye_from: float | None
    """Share from which people notice."""
    reasons: tuple[str, ...]
    """Keys of the words under pests.reason."""
    look_again: date


@dataclass(frozen=True, slots=True)
class TreePests:
    """What was looked for at one tree."""

    tree_id: str
    findings: tuple[PestFinding, ...]
    """The gravest verdict first."""
    clean: tuple[str, ...]
    """Kinds looked for and not there."""
    named: tuple[str, ...]
    """Pests as somebody named them."""


@dataclass(frozen=True, slots=True)
class DegreeDays:
    """The warmth of the year so far, base 50 F (10 degC), by the day's average."""

    since: date
    least_c_day: float
    most_c_day: float
    """Over what earlier years put where this year has no temperature; the same where none lacks."""
    observed_to: date | None
    """The last day of the year that the station observed."""
    days_lacking: int
    """Days since the start without a temperature, forecast or observed."""


@dataclass(frozen=True, slots=True)
class PestLook:
    """A stage of a pest of trees that stand here, and when to look for it."""

    pest: str
    stage: str
    group: str
    """A code of explain/pest_groups."""
    kinds: tuple[str, ...]
    """Readings to take."""
    tree_ids: tuple[str, ...]
    from_c_day: float
    to_c_day: float
    since: date
    """Degree days are added up from here."""
    state: LookState
    first: date | None
    """The look is worth taking from here, a week's doubt in it."""
    last: date | None
    """To here; None where it opens and some year does not reach its end."""
    cue: str
    """Key of the words under pests.cue; may be empty."""
    source: str


@dataclass(frozen=True, slots=True)
class Pests:
    """Pests of one property on one day."""

    made_on: date
    trees: tuple[TreePests, ...]
    """Those at which something was looked for."""
    not_looked: tuple[str, ...]
    """Ids of the other trees."""
    degree_days: DegreeDays | None
    """None where nothing tells how warm the year was."""
    earlier_years: int
    """Years of the record that stand in for days to come."""
    forecast_days: int
    looks: tuple[PestLook, ...]
    """Due ones first, then by day."""
    weather_told: tuple[str, ...] = ()
    """That a typical year stands in, or why there is no weather."""
    table_versions: tuple[tuple[str, str], ...] = ()
