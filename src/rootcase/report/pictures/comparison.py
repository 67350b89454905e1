"""The comparison: every measure of a tree on a line of its own, beside the yardstick's; no line is added to another."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from rootcase.ground.quantity import number
from rootcase.ground.words import say
from rootcase.records.compare import MeasureLine, TreeComparison
from rootcase.records.estimate import Estimate
from rootcase.records.observe import PropertyRecord
from rootcase.report.lettering import fitted, printable, wrapped
from rootcase.report.pictures.signs import Axis, Layout, head, points, short, span, span_key, unknown_words
from rootcase.report.svg import NOT_KNOWN, Canvas, Picture
from rootcase.report.text.comparison import measure_row, share_told
from rootcase.report.text.figures import in_hundredths, sentence

_SHARE, _POINTS = 100.0, 0.0
"""Where the yardstick stands, in percent of itself and in points from itself."""


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where things stand across the page, px."""

    width: float
    margin: float
    left: float
    right: float
    row: float
    drop: float
    """From the top of a row to the middle of its line."""


_WIDE = _Frame(1120, 32, 330, 790, 52, 22)
_PHONE = _Frame(360, 16, 34, 326, 98, 57)


@dataclass(frozen=True, slots=True)
class _Row:
    """One measure as it is drawn; estimate: in percent or points, None where it is not compared."""

    name: str
    values: str
    told: str
    estimate: Estimate | None
    yardstick: float = _SHARE

    @property
    def apart(self) -> bool:
        """Whether the whole interval lies on one side of the yardstick."""
        return self.estimate is not None and not self.estimate.low <= self.yardstick <= self.estimate.high


def draw_comparison(record: PropertyRecord, tree_id: str, comparison: TreeComparison,
                    layout: Layout = "wide") -> Picture:
    """Draw each measure of a tree against its yardstick; shares on one scale, differences on another."""
    label = next(tree.label for tree in record.trees if tree.id == tree_id)
    shares, differences, silent = _rows(record, comparison)
    frame = _PHONE if layout == "phone" else _WIDE
    canvas = Canvas(f"comparison-{layout}", frame.width)
    size = {"size": 21.0, "under_size": 13.0, "top": 34.0} if layout == "phone" else {}
    y = head(canvas, _finding(label, [*shares, *differences]), say("comparison.under"), frame.margin,
             frame.width - 2 * frame.margin, **size) + 26
    if shares:
        high = max(150.0, *(row.estimate.high for row in shares if row.estimate))
        y = _group(canvas, frame, shares, y, (0.0, 50.0 * ceil(high / 50)))
    if differences:
        most = max(abs(end) for row in differences if row.estimate for end in (row.estimate.low, row.estimate.high))
        most = 10.0 * ceil(max(most, 10.0) / 10)
        y = _group(canvas, frame, differences, y + 18, (-most, most))
    for row in silent:
        y = _not_compared(canvas, frame, row, y + 6)
    canvas.line(frame.margin, y + 8, frame.width - frame.margin, y + 8, stroke="hair")
    span_key(canvas, frame.margin, y + 34, "")
    y = canvas.paragraph(frame.margin + 100, y + 34, say("comparison.key"), frame.width - 2 * frame.margin - 100, 13,
                         fill="slate")
    return canvas.finish(y, say("comparison.title", tree=label), _alt(label, [*shares, *differences], silent))


def _rows(record: PropertyRecord, comparison: TreeComparison) -> tuple[list[_Row], list[_Row], list[_Row]]:
    """What has a share, what has a difference, and what may not be compared."""
    shares: list[_Row] = []
    differences: list[_Row] = []
    silent: list[_Row] = []
    if comparison.share:
        shoots = say("comparison.shoots", count=comparison.shoot_count)
        shares.append(_Row(say("comparison.growth"), shoots, share_told(comparison.share),
                           in_hundredths(comparison.share)))
    for line in comparison.measures:
        row = _row(record, line)
        (silent if row.estimate is None else shares if line.share else differences).append(row)
    return shares, differences, silent


def _row(record: PropertyRecord, line: MeasureLine) -> _Row:
    name, here, there, told = measure_row(line, record)
    compared = line.share or line.difference
    return _Row(name, say("comparison.values", here=here, there=there), told,
                in_hundredths(compared) if compared else None, _SHARE if line.share else _POINTS)


def _group(canvas: Canvas, frame: _Frame, rows: list[_Row], top: float, ends: tuple[float, float]) -> float:
    """Rows on one scale, the yardstick's place through all of them."""
    low, high = ends
    axis = Axis(frame.left - low * (frame.right - frame.left) / (high - low), (frame.right - frame.left) / (high - low))
    with canvas.group("scale", **{"data-px-per-point": f"{axis.step:.4f}"}):
        _ticks(canvas, axis, top, _values(ends, 4 if frame is _PHONE else 6), rows[0].yardstick)
        for i, row in enumerate(rows):
            y = top + 14 + i * frame.row
            lines = (y + frame.drop - 12, y + frame.drop + 12) if frame is _PHONE else (y - 6, y + frame.row - 6)
            for value in _values(ends, 4 if frame is _PHONE else 6):
                canvas.line(axis.at(value), lines[0], axis.at(value), lines[1], stroke="hair")
            canvas.line(axis.at(row.yardstick), lines[0], axis.at(row.yardstick), lines[1], stroke="forest", weight=3.5,
                        name="yardstick")
            with canvas.group("measure"):
                _words(canvas, frame, row, y)
                if row.estimate:
                    span(canvas, row.estimate, axis, y + frame.drop, ends=ends)
            foot = y + frame.row - 4
            canvas.line(frame.margin, foot, frame.width - frame.margin, foot, stroke="hair")
    return top + 14 + len(rows) * frame.row


def _values(ends: tuple[float, float], most: int) -> list[float]:
    """Round values of a scale, zero among them."""
    low, high = ends
    step = next(s for s in (10.0, 25.0, 50.0, 100.0, 250.0, 500.0, 1e4) if (high - low) / s <= most)
    return [k * step for k in range(ceil(low / step), int(high / step) + 1)]


def _ticks(canvas: Canvas, axis: Axis, top: float, values: list[float], yardstick: float) -> None:
    for value in values:
        words = points(value) if yardstick == _POINTS else say("waterfall.percent", share=number(value))
        if value == yardstick:
            canvas.text(axis.at(value), top, words, 13, weight=700, fill="forest", anchor="middle")
        else:
            canvas.text(axis.at(value), top, words, 12, fill="slate", anchor="middle")


def _words(canvas: Canvas, frame: _Frame, row: _Row, y: float) -> None:
    phone = frame is _PHONE
    room = frame.width - 2 * frame.margin if phone else frame.left - frame.margin - 24
    canvas.text(frame.margin, y + 17, fitted(printable(row.name), room, 15, 700), 15, weight=700)
    canvas.text(frame.margin, y + 36, fitted(row.values, room, 13), 13, fill="slate")
    if phone:
        canvas.text(frame.margin, y + frame.drop + 25, fitted(row.told, room, 13, 700), 13, weight=700)
    else:
        canvas.text(frame.width - frame.margin, y + frame.drop + 5,
                    fitted(row.told, frame.width - frame.margin - frame.right - 16, 14, 700), 14, weight=700,
                    anchor="end")


def _not_compared(canvas: Canvas, frame: _Frame, row: _Row, y: float) -> float:
    """A measure that may not be compared keeps its place, dotted, and says why."""
    phone = frame is _PHONE
    lines = wrapped(printable(row.told), frame.right - frame.left - 16, 13, 700)
    tall = max(frame.row - 12, 16 + 18 * len(lines)) if not phone else 16.0 + 18 * len(lines)
    top = y + 44 if phone else y + 4
    _words(canvas, frame, _Row(row.name, row.values, "", None), y)
    canvas.rect(frame.left, top, frame.right - frame.left, tall, fill="paper", stroke="ink", weight=1.6,
                dash=NOT_KNOWN, cap="round", name="unknown")
    unknown_words(canvas, frame.left, top, frame.right - frame.left, tall, [row.told], 13)
    return top + tall + 6


def _finding(label: str, rows: list[_Row]) -> str:
    """How many measures tell the tree from its kind."""
    if not rows:
        return say("comparison.finding_unread", tree=label)
    apart = sum(row.apart for row in rows)
    if not apart:
        return say("comparison.finding_same", tree=label)
    return say("comparison.finding", tree=sentence(label), count=apart, all=len(rows))


def _alt(label: str, rows: list[_Row], silent: list[_Row]) -> str:
    told = "; ".join(say("comparison.alt_row", name=row.name, told=row.told) for row in rows[:6])
    words = [say("comparison.alt", tree=short(label), rows=told or say("picture.not_known"))]
    if silent:
        words.append(say("comparison.alt_silent", names=", ".join(row.name for row in silent)))
    return " ".join(words)
