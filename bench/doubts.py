"""New readings held against each other and against what stands, in their thousands."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from bench.work import Work
from rootcase.fieldbook.events import Body, ReadingTaken
from rootcase.fieldbook.intake.doubts.adding import add_doubts
from tests.fieldbook.intake.doubts.made import GROUND, drafts, standing
from tests.study.slips import right_entries

TREES = 40


def about() -> Work:
    return Work(what=f"Every net of doubts over {readings():,} new readings of {TREES} trees, into an empty fieldbook "
                     "and into one where the first visit stands.", unit="reading", units=readings())


def run() -> Mapping[str, Callable[[], object]]:
    everything = right_entries(TREES, 1, "us")
    before = standing([body for body in everything if getattr(body, "visit", "old") == "old"])
    return {"all new": lambda: add_doubts(drafts(*GROUND, *everything), {}),
            "second visit": lambda: add_doubts(drafts(*GROUND, *everything), before)}


def readings() -> int:
    entries: list[Body] = right_entries(TREES, 1, "us")
    return sum(isinstance(body, ReadingTaken) for body in entries)
