"""The kinds of events of batches and loads; they belong to the practice."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from rootcase.fieldbook.body import Body
from rootcase.records.make.batch import BatchVerdict, Figure, Step


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchRulesTold(Body):
    """What the practice set itself for its batches; the newest word holds."""

    KIND = "batch_rules_told"
    at: str
    """UTC, such as 2015-11-05T09:30:00.000Z; as every moment of what is made."""
    by: str
    """A code, never a name."""
    oxygen_floor_mg_l: float
    holding_h: float | None = None
    elevation_m: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchStarted(Body):
    KIND = "batch_started"
    batch: str
    number: int
    heap: str
    at: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchStepTold(Body):
    """What was seen, measured or done at one step; one of the same slot takes its place."""

    KIND = "batch_step_told"
    batch: str
    step: Step
    at: str
    by: str
    figures: tuple[Figure, ...] = ()
    words: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchStepTakenBack(Body):
    """A step was told by mistake; without a reason it was the last one, undone at once by who told it."""

    KIND = "batch_step_taken_back"
    batch: str
    at: str
    by: str
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchJudged(Body):
    """Fit, or refused; the first one of a batch holds for ever."""

    KIND = "batch_judged"
    batch: str
    verdict: BatchVerdict
    at: str
    by: str
    why: tuple[str, ...] = ()
    ended_at: str = ""
    good_until: str = ""
    own_limit_h: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchCalledBack(Body):
    """What is known since, as a late laboratory result, forbids any further load."""

    KIND = "batch_called_back"
    batch: str
    why: str
    at: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchEnded(Body):
    """What became of a refused batch, or of what was left of one."""

    KIND = "batch_ended"
    batch: str
    how: Literal["compost_water", "poured_out"]
    where: str
    at: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadFilled(Body):
    """A tank was filled; no file takes this in for a batch that is not fit, or over its age."""

    KIND = "load_filled"
    load: str
    batch: str
    at: str
    by: str
    volume_l: float
    oxygen_mg_l: float | None = None
    air_gap_m: float | None = None
    tank: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RingNoted(Body):
    """Somebody who had of a batch that was called back was told."""

    KIND = "ring_noted"
    batch: str
    property: str
    at: str
    by: str
    note: str = ""


BATCH_EVENTS: tuple[type[Body], ...] = (BatchRulesTold, BatchStarted, BatchStepTold, BatchStepTakenBack, BatchJudged,
                                        BatchCalledBack, BatchEnded, LoadFilled, RingNoted)
