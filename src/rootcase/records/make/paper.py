"""What a batch's sheet and label are made of."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from rootcase.records.make.balance import Balance
from rootcase.records.make.checklist import BatchSeen
from rootcase.records.make.claims import Claims
from rootcase.records.make.slide import Slide, SlideCount
from rootcase.records.make.trace import Traced
from rootcase.records.observe import Practice, System


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchPaper:
    """A batch as it is put on paper."""

    practice: Practice
    system: System
    seen: BatchSeen
    at: datetime
    """When it was put on paper: a fit batch that is over age by then is not to be loaded."""
    balance: Balance
    claims: Claims
    slides: tuple[tuple[Slide, SlideCount | None], ...]
    """With what each comes to; None where nothing can be said."""
    tables: tuple[tuple[str, str], ...]
    """Name and version of each table that it rests on."""
    went: tuple[Traced, ...] = ()
    """The ways of its loads to the trees."""
