"""A batch's steps in the order of the work: what is done, what comes now, what waits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from rootcase.records.make.batch import Batch, BatchFinding, BatchRules, HeapUse, Step, ToldStep

StepState = Literal["done", "not_needed", "now", "may", "later", "not_told"]
"""`may`: nothing waits for it. `not_told`: of a batch that is judged."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckedStep:
    """One step and where it stands."""

    step: Step
    state: StepState
    told: tuple[ToldStep, ...]
    """All that stands of it, oldest first."""
    against: tuple[str, ...] = ()
    """What stands against the batch at this step."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NeutraliserDose:
    """How much of a chemical somebody advises for the water in the vat."""

    chemical: str
    rule: str
    mass_g: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchSeen:
    """A batch with all that its page and its sheet show."""

    batch: Batch
    heap: HeapUse
    rules: BatchRules
    finding: BatchFinding
    """What it would be judged now."""
    steps: tuple[CheckedStep, ...]
    against_heap: tuple[str, ...]
    doses: tuple[NeutraliserDose, ...]
    doubts: Mapping[str, str] = field(default_factory=dict)
    """What of the entries is kept and doubted, a line by an entry's id."""

    @property
    def now(self) -> Step | None:
        """The step that comes now; None where all are done, or the batch is judged."""
        return next((each.step for each in self.steps if each.state == "now"), None)
