"""A piece of work of a signed plan that waits for its day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from rootcase.records.prescribe import Dose

EXTRACT, WATER = "extract", "water"
"""What a tank carries; empty: the work takes nothing from a tank."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """How long a job takes, and how that is known."""

    minutes: float
    """Of the crew at the place, set-up with it. [min]"""
    source: str
    how_known: str
    """`own`: from the practice's own records; else as the table of paces says it."""
    records: int = 0
    """Own records behind it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """One remedy at one tree, in one season of one year, as it was signed."""

    id: str
    """Mark of the plan, tree, remedy, year and season: the same wherever it is reckoned."""
    property_id: str
    place_id: str
    tree_id: str
    tree_label: str
    plan: str
    """Mark of the signed plan."""
    remedy: str
    dose: Dose
    first: date
    """The season's first day."""
    last: date
    product: str
    litres: float
    """Taken from the tank, still; 0 where nothing is. Of what is done the whole."""
    applied_l: float = 0.0
    """Put on of it before; the dose is the whole."""
    parts_before: int = 0
    """How many parts of it are logged, or in rounds that were given."""
    pace: Pace
    cautions: tuple[str, ...] = ()
    """Keys of the words under prescribe.caution."""
    done: bool = False
    """Logged as put on, or as not done for good."""
