"""The first page's bars: every tree of the property against its kind."""

from __future__ import annotations

from dataclasses import replace

from rootcase.ground.words import say
from rootcase.records.compare import Comparison, TreeComparison
from rootcase.records.observe import PropertyRecord
from rootcase.report.lettering import printable, wrapped
from rootcase.report.pictures.signs import Axis, Layout, short, span, unknown
from rootcase.report.pictures.waterfall.steps import in_points
from rootcase.report.svg import Canvas, Picture

_WIDTH, _LEFT, _TALL, _MOST = 680.0, 92.0, 150.0, 12
_ALL = 24
"""Up to how many trees are all drawn, of more the dozen furthest behind. JUDGEMENT: two rows are read at a glance."""
_NAMED = 5
"""Trees that the alternative text names; the table names them all."""
_ROOM_FOR_INTERVAL = 62.0
"""As wide as "102 to 150" is, and a gap; with less room the list beside the picture says it."""
_UNREAD = 60.0
"""How tall the dotted place of an unread tree is, in percent; it says nothing of the tree. JUDGEMENT."""


def worth_drawing(comparison: Comparison) -> tuple[Comparison, str]:
    """Return the trees that the picture draws and what is said of the others: of many only those that were read, the
    furthest behind first."""
    if len(comparison.trees) <= _ALL:
        return comparison, ""
    read = [(line.share.mean, line.tree_id, line) for line in comparison.trees if line.share]
    worst = tuple(line for _, _, line in sorted(read, key=lambda each: each[:2])[:_MOST])
    note = say("report.first.worst", count=_MOST) if len(read) > _MOST else say(
        "report.first.read", unread=len(comparison.trees) - len(read))
    return replace(comparison, trees=worst), note


def draw_shares(record: PropertyRecord, comparison: Comparison, layout: Layout = "column") -> Picture:
    """Draw the shoot growth of every tree as a share of its yardstick, a dozen to a row."""
    width, left, most = (_WIDTH, _LEFT, _MOST) if layout != "phone" else (360.0, 16.0, 4)
    canvas = Canvas(f"shares-{layout}", width)
    labels = {tree.id: tree.label for tree in record.trees}
    kinds = [t.yardstick_typical_mm for t in comparison.trees if t.yardstick_typical_mm]
    highest = max([116.0, *(100 * t.share.high for t in comparison.trees if t.share),
                   *(100 * kind.high / kind.mean for kind in kinds)])
    rows = [comparison.trees[i:i + most] for i in range(0, len(comparison.trees), most)] or [()]
    above = 12.0 if layout != "phone" else 24.0  # the kind's name stands over its band where there is no room beside it
    y = above
    for row in rows:
        y = above - 2 + _row(canvas, row, labels, y, left, highest, min(most, max(len(r) for r in rows)))
    return canvas.finish(y - above + 12, say("shares.title", property=record.property.name),
                         _alt(record, comparison, labels))


def _row(canvas: Canvas, trees: tuple[TreeComparison, ...], labels: dict[str, str], top: float, left: float,
         highest: float, places: int) -> float:
    unit = _TALL / highest
    axis = Axis(top + _TALL, -unit)
    right = canvas.width - (2 if left > 20 else 16)
    start = 2 if left > 20 else 16
    room = (right - left - 6) / places
    with canvas.group("row", **{"data-px-per-percent": f"{unit:.4f}"}):
        typical, high = [t.yardstick_typical_mm for t in trees if t.yardstick_typical_mm], 100.0
        if typical:
            low, high = (100 * min(e.low / e.mean for e in typical), 100 * max(e.high / e.mean for e in typical))
            canvas.rect(left, axis.at(high), right - left, axis.at(low) - axis.at(high), fill="forest_tint",
                        name="kind")
        canvas.line(left, axis.at(100), right, axis.at(100), stroke="forest", weight=3, name="kind-mean")
        if left > 20:
            canvas.lines(start, axis.at(100) - 3, [say("shares.kind"), "100 %"], 13, weight=700, fill="forest")
        else:
            canvas.text(right, axis.at(high) - 5, f"{say('shares.kind')}, 100 %", 12, fill="forest", anchor="end")
        foot = 0.0
        for i, tree in enumerate(trees):
            foot = max(foot, _bar(canvas, tree, labels[tree.tree_id], axis, left + 6 + i * room, room))
        canvas.line(start, axis.at(0), right, axis.at(0), weight=4, name="ground-line")
    return foot


def _bar(canvas: Canvas, tree: TreeComparison, label: str, axis: Axis, x: float, room: float) -> float:
    wide = min(46.0, room * 0.64)
    left = x + (room - wide) / 2
    with canvas.group("share", **{"data-tree": tree.tree_id}):
        if tree.share is None:
            top = min(axis.at(_UNREAD), axis.at(0) - 46)
            unknown(canvas, left, top, wide, axis.at(0) - top, [say("shares.not_read")], 12)
        else:
            share = in_points(tree.share)
            canvas.rect(left, axis.at(share.mean), wide, axis.at(0) - axis.at(share.mean), fill="ink", name="tree")
            span(canvas, share, axis, x + room / 2, upright=True, radius=4.5)
        size = 14 if room >= 60 else 12
        lines = wrapped(printable(label), room - 4, size, 700, most=2)
        y = canvas.lines(x + room / 2, axis.at(0) + 21, lines, size, weight=700, anchor="middle", line_height=1.2)
        if tree.share is not None:
            words = say("waterfall.percent", share=f"{100 * tree.share.mean:,.0f}")
            canvas.text(x + room / 2, y + 2, words, 13, fill="slate", anchor="middle")
            if room >= _ROOM_FOR_INTERVAL:
                y += 16
                low, high = (f"{100 * each:,.0f}" for each in (tree.share.low, tree.share.high))
                canvas.text(x + room / 2, y + 2, say("shares.interval", low=low, high=high), 12, fill="slate",
                            anchor="middle")
    return y + 2


def _alt(record: PropertyRecord, comparison: Comparison, labels: dict[str, str]) -> str:
    known = [(labels[t.tree_id], t.share) for t in comparison.trees if t.share]
    unread = len(comparison.trees) - len(known)
    words = [say("shares.alt", count=len(comparison.trees), property=short(record.property.name))]
    for name, share in known[:_NAMED]:
        words.append(say("shares.alt_tree", tree=short(name), share=f"{100 * share.mean:.0f}",
                         low=f"{100 * share.low:.0f}", high=f"{100 * share.high:.0f}"))
    if len(known) > _NAMED:
        words.append(say("shares.alt_more", count=len(known) - _NAMED))
    if unread:
        words.append(say("shares.alt_unread", count=unread))
    return " ".join(words)
