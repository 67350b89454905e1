"""How much work one turn of any candidate is."""

from __future__ import annotations

from dataclasses import dataclass

ROUNDS = 7
"""Turns of each candidate that count; one more goes before them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """What a bench measures."""

    what: str
    """A sentence or two, for the page."""
    unit: str = ""
    """What the work is counted in, such as lane-day."""
    units: int = 0
    """How many of them one turn does."""
    operations: float | None = None
    """Arithmetic a unit asks for; None: not counted."""
    operations_from: str = ""
    """How they were counted."""
    yardsticks: tuple[str, ...] = ()
    """Candidates the others are compared with; empty: the first."""
    single_precision: frozenset[str] = frozenset()
    """Candidates that compute in f32."""
