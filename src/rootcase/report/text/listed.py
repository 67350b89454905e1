"""What is said of a stranger's list, the same on a terminal and on a page."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from typing import Literal, Protocol

from rootcase.ground.words import say
from rootcase.report.text.figures import sentence

_VALUES_SHOWN, _CHANGED_SHOWN, _LABELS_SHOWN, _SAMPLE_WIDTH, _ROWS_WIDTH = 3, 12, 3, 14, 48


class Answer(Protocol):
    @property
    def word(self) -> str: ...
    @property
    def does(self) -> str: ...


class Group(Protocol):
    """Faults of one cause."""

    @property
    def number(self) -> int: ...
    @property
    def column(self) -> str: ...
    @property
    def rows(self) -> Sequence[int]: ...
    @property
    def ranges(self) -> str: ...
    @property
    def values(self) -> Sequence[str]: ...
    @property
    def what(self) -> str: ...
    @property
    def right(self) -> str: ...
    @property
    def answers(self) -> Sequence[Answer]: ...
    @property
    def typed(self) -> bool: ...
    @property
    def labels(self) -> Sequence[str]: ...
    @property
    def was(self) -> Sequence[str]: ...


class Column(Protocol):
    """One column of theirs beside ours."""

    @property
    def header(self) -> str: ...
    @property
    def word(self) -> str: ...
    @property
    def standing(self) -> str: ...
    @property
    def ours(self) -> str: ...
    @property
    def means(self) -> str: ...
    @property
    def why(self) -> str: ...
    @property
    def samples(self) -> Sequence[str]: ...
    @property
    def said(self) -> Sequence[str]: ...
    @property
    def options(self) -> Sequence[str]: ...


class LeftOut(Protocol):
    @property
    def row(self) -> int: ...
    @property
    def text(self) -> str: ...
    @property
    def why(self) -> str: ...


class Question(Protocol):
    @property
    def what(self) -> str: ...
    @property
    def asks(self) -> str: ...
    @property
    def answer(self) -> str: ...


class Counts(Protocol):
    @property
    def new(self) -> int: ...
    @property
    def changed(self) -> int: ...
    @property
    def known(self) -> int: ...
    @property
    def changed_rows(self) -> Sequence[int]: ...


class Listing(Protocol):
    """What is shown of a list; the fieldbook's own result is one."""

    @property
    def file(self) -> str: ...
    @property
    def sheet(self) -> str: ...
    @property
    def header_row(self) -> int: ...
    @property
    def other_sheets(self) -> Sequence[str]: ...
    @property
    def columns(self) -> Sequence[Column]: ...
    @property
    def left_out(self) -> Sequence[LeftOut]: ...
    @property
    def told(self) -> Sequence[str]: ...
    @property
    def questions(self) -> Sequence[Question]: ...
    @property
    def needed(self) -> Sequence[Question]: ...
    @property
    def groups(self) -> Sequence[Group]: ...
    @property
    def ready(self) -> int: ...
    @property
    def waiting(self) -> int: ...
    @property
    def counts(self) -> Counts: ...
    @property
    def property_name(self) -> str: ...
    @property
    def belongs(self) -> str: ...
    @property
    def not_known(self) -> Sequence[str]: ...
    @property
    def mapping_path(self) -> Path | None: ...
    @property
    def saved(self) -> bool: ...
    @property
    def rejects_path(self) -> Path | None: ...


def counted(key: Literal["ready", "saved"], listing: Listing) -> str:
    """How many rows are ready or saved, how many wait, and what they are to the fieldbook."""
    counts = listing.counts
    text = say(f"lists.shown.{key}", ready=f"{listing.ready:,}", waiting=f"{listing.waiting:,}",
               property=listing.property_name,
               rows=say("lists.shown.row_is" if listing.ready == 1 else "lists.shown.rows_are"),
               need=say("lists.shown.needs" if listing.waiting == 1 else "lists.shown.need"))
    if counts.known or counts.changed:
        text += " " + say("lists.shown.counts", known=f"{counts.known:,}", new=f"{counts.new:,}",
                          changed=f"{counts.changed:,}")
    if counts.changed_rows and (counts.known or counts.new):
        rows = ", ".join(map(str, counts.changed_rows[:_CHANGED_SHOWN]))
        rest = len(counts.changed_rows) - _CHANGED_SHOWN
        text += " " + say("lists.shown.changed", rows=rows + (say("lists.and_more", count=rest) if rest > 0 else ""))
    return text


def group_told(group: Group) -> str:
    """Where a group of faults stands, what is wrong and what would be right, in one paragraph."""
    rows = group.ranges if len(group.ranges) <= _ROWS_WIDTH else say(
        "lists.shown.many_rows", first=group.ranges[:_ROWS_WIDTH].rpartition(",")[0], count=len(group.rows))
    labels = [cut(label) for label in group.labels[:_LABELS_SHOWN]]
    more = say("lists.and_more", count=len(group.labels) - len(labels)) if len(group.labels) > len(labels) else ""
    where = say("lists.shown.where" if len(group.rows) > 1 else "lists.shown.where_one",
                rows=f"{rows} ({', '.join(labels)}{more})" if labels else rows,
                column=f", {group.column}" if group.column else "")
    was = " " + say("lists.shown.was", values=quoted(group.was)) if group.was else ""
    return f"{where}{_values(group.values)}{was} {stopped(group.what)} {stopped(group.right)}".rstrip()


def quoted(values: Sequence[str]) -> str:
    """The first of some texts in quotation marks, and how many more there are."""
    named = ", ".join(f'"{cut(value)}"' for value in values[:_VALUES_SHOWN])
    rest = say("lists.and_more", count=len(values) - _VALUES_SHOWN) if len(values) > _VALUES_SHOWN else ""
    return named + rest


def _values(values: Sequence[str]) -> str:
    """The values of a group: from the least to the greatest where they are numbers."""
    shown = [value for value in values if value]
    if not shown:
        return ""
    if len(shown) > 1 and all(re.fullmatch(r"-?\d+(\.\d+)?", value) for value in shown):
        low, high = min(shown, key=float), max(shown, key=float)
        return f" {say('quantity.interval', low=low, high=high)}."
    return f" {quoted(shown)}."


def stopped(text: str) -> str:
    """A text as a sentence with its stop."""
    return f"{sentence(text)}." if text and text[-1] not in ".?!" else sentence(text)


def cut(text: str) -> str:
    """As much of a text as tells it from others."""
    return text if len(text) <= 2 * _SAMPLE_WIDTH else f"{text[:2 * _SAMPLE_WIDTH - 1]}…"
