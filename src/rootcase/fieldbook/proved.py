"""The kind of event that puts what trials say under a signature; it belongs to the practice."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from rootcase.fieldbook.body import Body


@dataclass(frozen=True, slots=True, kw_only=True)
class EffectSigned(Body):
    """From now on plans reckon with this; the newest word of a remedy holds."""

    KIND = "effect_signed"
    remedy: str
    signed: str
    """Canonical text of the effect; empty: the handbook holds again."""
    mark: str
    """SHA-256 of that text."""
    by: str
    """A code, never a name."""
    day: date


PROVED_EVENTS: tuple[type[Body], ...] = (EffectSigned,)
