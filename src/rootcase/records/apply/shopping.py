"""What the rounds of some days take: by product, and the batches of extract that have to be there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

Measure = Literal["loose", "weighed", "liquid", "label"]
"""Loose in m3, weighed in kg, liquid in L; by the label: no amount is known."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """One product."""

    product: str
    """Key of the words under shopping.product."""
    measure: Measure
    amounts: tuple[float, ...]
    """In the unit of its measure, for each of the days in order."""
    not_known: tuple[str, ...] = ()
    """Ids of jobs of which no amount is known."""

    @property
    def total(self) -> float:
        return sum(self.amounts)


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchNeed:
    """One batch of extract that rounds are filled from."""

    batch_id: str
    day: date
    ready_min: float
    """End of extraction, after midnight."""
    litres: float
    """As it is planned, or as much as there is of it."""
    taken_l: float
    """By the fills of the rounds, still."""
    made: bool
    anew: bool = False
    """It is refused, late or out of the plan: what the rounds take is to be made anew, by the first fill."""
    compost_kg: float | None = None
    """That it will take; None: it is made, or nobody told how much went into a batch before."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Behind:
    """What is behind the rounds already."""

    logged: Mapping[tuple[date, str], frozenset[int]] = field(default_factory=dict)
    """Places of stops that are logged, by day and crew of their round."""
    loaded_l: Mapping[str, float] = field(default_factory=dict)
    """Into tanks, by the id of the batch. [L]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shopping:
    """The list of some days."""

    days: tuple[date, ...]
    needs: tuple[Need, ...]
    batches: tuple[BatchNeed, ...]
    as_batch: int = 0
    """Number of the batch whose compost to water the others are reckoned by; 0: there is none."""
    left_out: int = 0
    """Pieces of work that are in no round: nothing on the list is for them."""
