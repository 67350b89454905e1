"""The same number typed on and on where no two readings are alike."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator
from itertools import groupby

from rootcase.fieldbook.events import ReadingTaken
from rootcase.fieldbook.intake.doubts.held import Held, Question, told
from rootcase.ground.words import say
from rootcase.tables.readings import kinds

_IN_A_ROW = 3
_STRAYS = 0.15
"""JUDGEMENT: repeats of a kind with at least this log error are seldom alike to a decimal."""
_DECIMAL = re.compile(r"\d[.,]\d")


def doubt_repeats(held: Held) -> Iterator[Question]:
    """The first of three or more equal readings in a row, if they were read to a decimal."""
    rows: dict[tuple[object, ...], list[ReadingTaken]] = defaultdict(list)
    for new in held.new:
        kind = kinds()[new.kind]
        if kind.error_model == "lognormal" and (kind.error_size or 0.0) >= _STRAYS:
            rows[new.kind, new.of, new.visit, new.growth_year, new.depth_from_m].append(new)
    for readings in rows.values():
        for value, run in groupby(readings, key=lambda reading: reading.value):
            same = list(run)
            if value and len(same) >= _IN_A_ROW and all(_DECIMAL.search(each.typed) for each in same):
                yield (same[0].slot,), say("doubts.repeats", count=len(same), what=held.what(same[0]),
                                           value=told(same[0]))
