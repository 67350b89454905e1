"""What a report is made of: the record and the three results, and who prepared it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from rootcase.records.compare import Comparison
from rootcase.records.explain import Explanation
from rootcase.records.observe import PropertyRecord
from rootcase.records.offer import SignedPlan
from rootcase.records.pests import Pests
from rootcase.records.prescribe import Plan


@dataclass(frozen=True, slots=True)
class Author:
    """Who prepared the report; both may be blank lines to fill in by hand."""

    name: str = ""
    credential: str = ""


@dataclass(frozen=True, slots=True)
class Casework:
    """Everything thought about a property on one day."""

    record: PropertyRecord
    comparison: Comparison
    explanations: tuple[Explanation, ...]
    plan: Plan
    level: float
    draws: int
    seed: int
    engine: str
    made_on: date
    author: Author = Author()
    pests: Pests | None = None
    """What was counted of pests, and which look is due."""
    signed: SignedPlan | None = None
    """The plan that stands signed, which may be an older one."""
    plan_mark: str = ""
    """SHA-256 of the plan as nobody has signed it."""
