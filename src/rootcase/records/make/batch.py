"""One make of extract, from the clean vat to the verdict, and the loads that were filled from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

Step = Literal["vat", "water", "chlorine", "neutraliser", "compost", "additive", "start", "oxygen", "end", "slide",
               "smell", "lab"]
"""In the order of the work; `oxygen` and `lab` may be told again and again."""
BatchVerdict = Literal["fit", "refused"]


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure of a step."""

    name: str
    """With its unit, such as total_chlorine_mg_l."""
    value: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldStep:
    """What was told of one step, as it stands."""

    id: str
    step: Step
    at: datetime
    by: str
    figures: tuple[Figure, ...] = ()
    words: Mapping[str, str]
    """By name, such as origin: mains."""

    def figure(self, name: str) -> float | None:
        """The figure of this name, None where it was not told."""
        return next((each.value for each in self.figures if each.name == name), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """One tank that was filled from a batch."""

    id: str
    batch_id: str
    at: datetime
    volume_l: float
    by: str
    oxygen_mg_l: float | None = None
    air_gap_m: float | None = None
    tank: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """Whether a batch may be loaded, as it was judged once and for all."""

    verdict: BatchVerdict
    at: datetime
    by: str
    why: tuple[str, ...] = ()
    """Of a refused one: what was wrong and what would have been right, a line each; the first decides."""
    ended_at: datetime | None = None
    """End of extraction, from which every load's age runs."""
    good_until: datetime | None = None
    """Of a fit one: no load after it."""
    own_limit_h: float | None = None
    """The practice's own limit by measured oxygen; None: the hour of the rule."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """A batch as it stands."""

    id: str
    number: int
    """Never given twice, and never anew to a batch made again."""
    heap_id: str
    started_at: datetime
    by: str
    steps: tuple[ToldStep, ...]
    """Oldest first."""
    judgement: Judgement | None
    loads: tuple[Load, ...]
    ended_as: Literal["", "compost_water", "poured_out"] = ""
    """What became of a refused one."""
    ended_where: str = ""
    refused_since: str = ""
    """Why a fit one was called back afterwards; empty: it was not."""

    def newest(self, step: Step) -> ToldStep | None:
        """What was told last of a step."""
        return next((each for each in reversed(self.steps) if each.step == step), None)
