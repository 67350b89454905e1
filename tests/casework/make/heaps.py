"""Invented heaps whose probes read what the published cases print."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

from rootcase.records.make.heap import Heap, HeatReading, ProbeCheck, Turn

START = datetime(2015, 5, 1, 12, tzinfo=UTC)
DAY = timedelta(days=1)
LOG_A = dict(enumerate((40, 52, 56, 58, 60, 61, 57, 59, 62, 60, 58, 61, 60, 59, 58, 57, 58, 56, 56, 50, 45)))
LOG_B = {day: warm for day, warm in LOG_A.items() if day not in (9, 10)}
LOG_C = {**LOG_A, 5: 48}
TURN_DAYS = (5, 8, 11, 14, 17)


def heap_of(log: dict[int, int], *, rule: str = "cfr_503", probes: Sequence[int] = (1, 2)) -> Heap:
    """A windrow whose probes all read this, once a day, checked on the first."""
    readings = tuple(HeatReading(id=f"{probe}-{day}", at=START + day * DAY, probe=probe, temperature_c=float(warm),
                                 by="rs") for day, warm in log.items() for probe in probes)
    return Heap(id="h", name="4", shape="windrow", rule=rule, complete_at=START, time_zone="America/New_York", by="rs",
                invented=True, readings=readings, checks=(ProbeCheck(id="c", at=START, probes=tuple(probes), by="rs"),),
                turns=tuple(Turn(id=f"t{day}", at=START + day * DAY, by="rs") for day in TURN_DAYS))
