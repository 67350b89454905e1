"""What every kind of event carries."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """What happened, once; `slot` names what it speaks about."""

    KIND: ClassVar[str]
    slot: str
    supersedes: str | None = None
