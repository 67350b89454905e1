"""What a stranger's list is taken for, what is ready in it, and what needs the person, with the flags that mend it."""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from pathlib import Path

from rootcase.ground.words import say
from rootcase.report.terminal.paper import Paper
from rootcase.report.text.listed import Column, Group, LeftOut, Listing, counted, cut, group_told, stopped

_GROUPS_SHOWN, _TOLD_SHOWN, _LEFT_SHOWN, _ANSWERS_SHOWN = 20, 12, 6, 8
_SAMPLE_WIDTH = 14
_FLAGS = {"property_name": "property"}
"""Where a flag is not called as what it says."""


def listing_text(listing: Listing, path: Path, wanted: bool = False, width: int = 80, colour: bool = False) -> str:
    """Return a list's columns, what is ready, what needs the person; `wanted`: whether saving was asked for."""
    paper = Paper(width, colour)
    if listing.saved:
        paper.say(counted("saved", listing), bold=True)
    else:
        paper.title(say("lists.shown.title", file=listing.file, sheet=listing.sheet),
                    say("lists.shown.header", row=listing.header_row))
        paper.say(listing.belongs)
        _columns(paper, listing.columns)
        _left(paper, listing)
        paper.gap()
        paper.say(counted("ready", listing), bold=True)
    for told in listing.not_known:
        paper.item("?", told)
    for told in listing.told[:_TOLD_SHOWN]:
        paper.item("·", told)
    if len(listing.told) > _TOLD_SHOWN:
        paper.item("·", say("lists.and_more", count=len(listing.told) - _TOLD_SHOWN).strip())
    _groups(paper, listing.groups)
    _ending(paper, listing, path, wanted)
    return paper.text()


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
            paper.item("?", say("lists.shown.asked", column=each.header, why=stopped(each.why)))
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
        shown = "; ".join(say("lists.shown.row", row=each.row, text=cut(each.text)) for each in rows[:_LEFT_SHOWN])
        rest = say("lists.and_more", count=len(rows) - _LEFT_SHOWN) if len(rows) > _LEFT_SHOWN else ""
        paper.item("·", say("lists.shown.left_out", why=why, rows=shown + rest))
    if listing.other_sheets:
        paper.item("·", say("lists.shown.other_sheets", names=", ".join(listing.other_sheets)))


def _groups(paper: Paper, groups: Sequence[Group]) -> None:
    for group in groups[:_GROUPS_SHOWN]:
        paper.gap()
        paper.item(f"{group.number:>2}", group_told(group))
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


def _ending(paper: Paper, listing: Listing, path: Path, wanted: bool) -> None:
    command = f"rootcase observe import {shlex.quote(str(path))}"
    if listing.saved:
        if listing.rejects_path:
            paper.gap()
            paper.say(say("lists.shown.rejects", path=listing.rejects_path))
        return
    paper.gap()
    if listing.questions:
        heading = "may_wait" if not listing.needed else "not_saved" if wanted else "before"
        paper.say(say(f"lists.shown.{heading}"), bold=True)
        for question in listing.questions:
            paper.item("?", question.what)
            paper.item("   ", f"--{_FLAGS.get(question.asks, question.asks)} {question.answer}")
        paper.gap()
    if listing.mapping_path:
        paper.say(say("lists.shown.mapping", file=listing.mapping_path.name))
    if not listing.needed and not listing.ready:
        paper.say(say("lists.shown.none_ready"))
    elif not listing.needed:
        paper.say(say("lists.shown.save" if listing.waiting else "lists.shown.save_all",
                      ready=f"{listing.ready:,}", waiting=f"{listing.waiting:,}", command=f"{command} --save"))
    else:
        paper.say(say("lists.shown.again", command=f"{command} ..."))
