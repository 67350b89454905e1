"""The record of what was put on as a page lists it: a look costs what it shows, however long the record is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.services.log import Recorded, open_first, with_duties

MOST_SHOWN = 100
"""JUDGEMENT: of those that are open, and of the rest, so many are read through at once; a key leads to the next."""


@dataclass(frozen=True, slots=True)
class Listed:
    """One page of the record."""

    open_ones: tuple[Recorded, ...]
    open_count: int
    """Of all that are open."""
    others: tuple[Recorded, ...]
    """That are whole, or of which nothing is asked; the newest first."""
    count: int
    """Of all."""
    labels: Mapping[str, str]
    """Of the trees of those that are shown."""


def record_list(book: Fieldbook, today: date, open_from: int = 0, others_from: int = 0,
                most: int = MOST_SHOWN) -> Listed:
    """So many of the open ones and of the others, each from a place on."""
    outline = book.recording.outline()

    def read(slots: Sequence[str]) -> list[Recorded]:
        return with_duties(book, book.recording.of_slots(slots), outline.of_job, today)

    open_ones = [each for each in open_first(read([one.slot for one in outline.every if one.restricted]))
                 if each.is_open]
    lacking = {each.application.slot for each in open_ones}
    others = read([one.slot for one in outline.every if one.slot not in lacking][others_from:others_from + most])
    shown = open_ones[open_from:open_from + most]
    labels = book.recording.tree_labels(each.application.tree_ids[0] for each in (*shown, *others))
    return Listed(tuple(shown), len(open_ones), tuple(others), len(outline.every), labels)
