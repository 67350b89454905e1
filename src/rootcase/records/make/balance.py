"""How much of what was in the compost came across into the extract."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from rootcase.records.make.slide import Span

Lacking = Literal["mass", "volume", "moisture", "extract_slide", "heap_slide", "alike"]
"""alike: of both there are slides, none by one method, operator and constant."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """Counted in the extract over counted in the compost that went in; or what is missing for it."""

    recovery: Span | None = None
    """From the near ends of both counts' intervals to the far ones; above 1 where they disagree or something grew."""
    counted: str = ""
    """Such as bacteria."""
    expected: Span | None = None
    """What the extract would hold, had all come across."""
    lacking: tuple[Lacking, ...] = ()
