"""What a stranger's list is taken for, what is ready in it, and what needs the person, with the flags that mend it."""

from __future__ import annotations

import re
import shlex
from collections.abc import Sequence
from pathlib import Path
from typing import Protocol

from rootcase.ground.words import say
from rootcase.report.terminal.paper import Paper
from rootcase.report.text.figures import sentence

_GROUPS_SHOWN, _TOLD_SHOWN, _LEFT_SHOWN, _VALUES_SHOWN, _ANSWERS_SHOWN = 20, 12, 6, 3, 8
_CHANGED_SHOWN, _SAMPLE_WIDTH, _ROWS_WIDTH = 12, 14, 48


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
    def flag(self) -> str: ...


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
    def mapping_path(self) -> Path: ...
    @property
    def saved(self) -> bool: ...
    @property
    def rejects_path(self) -> Path | None: ...


def listing_text(listing: Listing, path: Path, wanted: bool = False, width: int = 80, colour: bool = False) -> str:
    """Return a list's columns, what is ready, what needs the person; `wanted`: whether saving was asked for."""
    paper = Paper(width, colour)
    if listing.saved:
        paper.say(_counted("saved", listing), bold=True)
    else:
        paper.title(say("lists.shown.title", file=listing.file, sheet=listing.sheet),
                    say("lists.shown.header", row=listing.header_row))
        paper.say(listing.belongs)
        _columns(paper, listing.columns)
        _left(paper, listing)
        paper.gap()
        paper.say(_counted("ready", listing), bold=True)
    for told in listing.told[:_TOLD_SHOWN]:
        paper.item("·", told)
    if len(listing.told) > _TOLD_SHOWN:
        paper.item("·", say("lists.and_more", count=len(listing.told) - _TOLD_SHOWN).strip())
    _groups(paper, listing.groups)
    _ending(paper, listing, path, wanted)
    return paper.text()


def _counted(key: str, listing: Listing) -> str:
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


def _columns(paper: Paper, columns: Sequence[Column]) -> None:
    """Ours beside theirs, then what has to be known of one of them."""
    taken = [each for each in columns if each.standing in ("said", "proposed", "asked")]
    rows = [tuple(say(f"lists.shown.{key}") for key in ("theirs", "ours", "samples"))]
    rows += [(each.header, each.ours if each.standing != "asked" else f"{each.ours}, ?", _samples(each))
             for each in taken]
    paper.columns(rows, head=True)
    for standing in ("kept", "left"):
        named = [each for each in columns if each.standing == standing]
        if named:
            paper.item("·", say(f"lists.shown.{standing}", names=", ".join(
                f"{each.header} ({each.why})" if each.why not in _plain_reasons() else each.header for each in named)))
    for each in taken:
        for said in each.said:
            paper.item("·", f"{each.header}: {said}.")
        if each.standing == "proposed":
            paper.item("·", say("lists.shown.proposed", column=each.header, ours=each.ours, why=each.why))
        elif each.standing == "asked":
            paper.item("?", say("lists.shown.asked", column=each.header, why=_stopped(each.why)))
            for option in each.options:
                paper.line(f"    --column {shlex.quote(f'{each.header}={option}')}")
        elif each.why and each.why != say("lists.header_says"):
            paper.item("·", f"{each.header}: {each.ours}, {each.why}.")


def _plain_reasons() -> tuple[str, ...]:
    return say("lists.not_ours"), say("lists.empty_column"), say("lists.you_said")


def _samples(column: Column) -> str:
    return ", ".join(text if len(text) <= _SAMPLE_WIDTH else f"{text[:_SAMPLE_WIDTH - 1]}…" for text in column.samples)


def _left(paper: Paper, listing: Listing) -> None:
    reasons: dict[str, list[LeftOut]] = {}
    for each in listing.left_out:
        reasons.setdefault(each.why, []).append(each)
    for why, rows in reasons.items():
        shown = "; ".join(say("lists.shown.row", row=each.row, text=_cut(each.text)) for each in rows[:_LEFT_SHOWN])
        rest = say("lists.and_more", count=len(rows) - _LEFT_SHOWN) if len(rows) > _LEFT_SHOWN else ""
        paper.item("·", say("lists.shown.left_out", why=why, rows=shown + rest))
    if listing.other_sheets:
        paper.item("·", say("lists.shown.other_sheets", names=", ".join(listing.other_sheets)))


def _groups(paper: Paper, groups: Sequence[Group]) -> None:
    for group in groups[:_GROUPS_SHOWN]:
        paper.gap()
        rows = group.ranges if len(group.ranges) <= _ROWS_WIDTH else say(
            "lists.shown.many_rows", first=group.ranges[:_ROWS_WIDTH].rpartition(",")[0], count=len(group.rows))
        where = say("lists.shown.where" if len(group.rows) > 1 else "lists.shown.where_one", rows=rows,
                    column=f", {group.column}" if group.column else "")
        paper.item(f"{group.number:>2}", f"{where}{_values(group.values)} {_stopped(group.what)} "
                                         f"{_stopped(group.right)}".rstrip())
        answers = [(f"--mend {shlex.quote(f'{group.number}={answer.word}')}", answer.does)
                   for answer in group.answers[:_ANSWERS_SHOWN]]
        if group.typed:
            answers.append((f"--mend '{group.number}=...'", say("lists.shown.type")))
        widest = max((len(flag) for flag, _ in answers), default=0)
        for flag, does in answers:
            paper.item("    ", f"{flag:<{widest}}  {does}")
    if len(groups) > _GROUPS_SHOWN:
        paper.gap()
        paper.say(say("lists.shown.more_groups", count=len(groups) - _GROUPS_SHOWN))


def _stopped(text: str) -> str:
    """A text as a sentence with its stop."""
    return f"{sentence(text)}." if text and text[-1] not in ".?!" else sentence(text)


def _values(values: Sequence[str]) -> str:
    """The values of a group: from the least to the greatest where they are numbers."""
    shown = [value for value in values if value]
    if not shown:
        return ""
    if len(shown) > 1 and all(re.fullmatch(r"-?\d+(\.\d+)?", value) for value in shown):
        low, high = min(shown, key=float), max(shown, key=float)
        return f" {say('quantity.interval', low=low, high=high)}."
    named = ", ".join(f'"{_cut(value)}"' for value in shown[:_VALUES_SHOWN])
    rest = say("lists.and_more", count=len(shown) - _VALUES_SHOWN) if len(shown) > _VALUES_SHOWN else ""
    return f" {named}{rest}."


def _ending(paper: Paper, listing: Listing, path: Path, wanted: bool) -> None:
    command = f"rootcase observe import {shlex.quote(str(path))}"
    if listing.saved:
        if listing.rejects_path:
            paper.gap()
            paper.say(say("lists.shown.rejects", path=listing.rejects_path))
        return
    paper.gap()
    if listing.questions:
        paper.say(say("lists.shown.not_saved" if wanted else "lists.shown.before"), bold=True)
        for question in listing.questions:
            paper.item("?", question.what)
            paper.item("   ", question.flag)
        paper.gap()
    paper.say(say("lists.shown.mapping", file=listing.mapping_path.name))
    if not listing.questions and not listing.ready:
        paper.say(say("lists.shown.none_ready"))
    elif not listing.questions:
        paper.say(say("lists.shown.save" if listing.waiting else "lists.shown.save_all",
                      ready=f"{listing.ready:,}", waiting=f"{listing.waiting:,}", command=f"{command} --save"))
    else:
        paper.say(say("lists.shown.again", command=f"{command} ..."))


def _cut(text: str) -> str:
    return text if len(text) <= 2 * _SAMPLE_WIDTH else f"{text[:2 * _SAMPLE_WIDTH - 1]}…"
