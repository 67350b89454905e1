"""The waterfall as rows, for the report's column and for the phone."""

from __future__ import annotations

from dataclasses import dataclass

from rootcase.ground.words import say
from rootcase.report.lettering import Weight, fitted, printable, width_px
from rootcase.report.pictures.signs import Axis, gain, left_over, loss, span, span_key
from rootcase.report.pictures.waterfall.steps import Step, frame_of
from rootcase.report.svg import COMPUTED, NOT_KNOWN, Canvas, show


@dataclass(frozen=True, slots=True)
class RowFrame:
    """Measures of a row in px, from its upper edge."""

    width: float
    margin: float
    bars: float
    """Where the bars begin."""
    bars_width: float
    value: float
    """Right edge of the values."""
    words: float
    """Baseline of the words."""
    bar: float
    """Upper edge of the bar."""
    thick: float
    span: float
    pitch: float
    bare: float
    """Pitch of a row without a bar."""
    small: float
    size: float


COLUMN = RowFrame(680, 6, 204, 290, 568, 14, 3, 9, 17, 23, 19, 12, 13)
PHONE = RowFrame(360, 16, 16, 328, 252, 12, 20, 14, 42, 60, 32, 13, 14)


def draw_rows(canvas: Canvas, steps: tuple[Step, ...], frame: RowFrame, y: float) -> float:
    """Draw all rows; returns where the next thing may stand."""
    low, high, _ = frame_of(steps)
    unit = frame.bars_width / (high - low)
    axis = Axis(frame.bars - low * unit, unit)
    with canvas.group("steps", **{"data-px-per-point": f"{unit:.4f}"}):
        for step in steps:
            y = _row(canvas, step, frame, axis, (low, high), y)
            if step.parts:
                y = _parts(canvas, step.parts, frame, axis, (low, high), y)
    return y


def _row(canvas: Canvas, step: Step, frame: RowFrame, axis: Axis, ends: tuple[float, float], y: float) -> float:
    bare = step.kind == "same"
    with canvas.group(f"step {step.code}"):
        _words(canvas, step, frame, y, 700)
        if not bare:
            _bar(canvas, step, frame, axis, y + frame.bar)
        if step.estimate:
            span(canvas, step.estimate, axis, y + frame.span, shift=step.shift, sign=step.sign, radius=3.8, halo=False,
                 ends=ends)
    if bare or step.kind == "yardstick":
        return y + (frame.bare if bare else frame.bar + frame.thick + 10)
    return y + frame.pitch


def _words(canvas: Canvas, step: Step, frame: RowFrame, y: float, weight: Weight,
           inset: float = 0.0) -> None:
    phone = frame.bars == frame.margin
    size, value_size = (frame.size, frame.size + 1) if weight == 700 else (frame.small, frame.small)
    end = frame.value - width_px(step.value, value_size, 700) - 8 if phone else frame.bars - 6
    name = fitted(printable(step.name), end - frame.margin - inset, size, weight)
    canvas.text(frame.margin + inset, y + frame.words, name, size, weight=weight,
                fill="forest" if step.kind == "yardstick" else "ink")
    canvas.text(frame.value, y + frame.words, step.value, value_size, weight=700, fill=step.colour, anchor="end",
                name="value")
    if not (phone and step.kind == "yardstick"):
        canvas.text(frame.width - frame.margin, y + frame.words, step.interval, frame.small, fill="slate", anchor="end")


def _bar(canvas: Canvas, step: Step, frame: RowFrame, axis: Axis, y: float) -> None:
    start, end = axis.at(min(step.start, step.end)), axis.at(max(step.start, step.end))
    thick = frame.thick
    if step.kind == "yardstick":
        canvas.rect(start, y, end - start, thick, fill="forest", name="whole")
    elif step.kind == "measured" and step.estimate is None:
        canvas.rect(axis.at(0), y, axis.at(60) - axis.at(0), thick, fill="paper", stroke="ink", weight=1.6,
                    dash=NOT_KNOWN, cap="round", name="unknown")
    elif step.kind == "remainder" and step.estimate is None:
        canvas.rect(axis.at(0), y, start - axis.at(0), thick, fill="paper", stroke="ink", weight=1.6, dash=NOT_KNOWN,
                    cap="round", name="unknown")
    elif step.kind == "measured":
        canvas.rect(start, y, end - start, thick, fill="ink", name="whole")
    elif step.kind == "predicted":
        canvas.rect(start, y, end - start, thick, fill="mist", stroke="ink", weight=1.8, dash=COMPUTED, name="whole")
    else:
        left_over(canvas, min(axis.at(0), start), y, abs(start - axis.at(0)), thick)
        if step.kind == "loss":
            loss(canvas, start, y, end - start, thick)
        elif step.kind == "gain":
            gain(canvas, start, y, end - start, thick)
        else:
            canvas.rect(start, y, max(end - start, 1), thick, fill="paper", stroke="ink", weight=1.8, dash=NOT_KNOWN,
                        cap="round", name="remainder")


def _parts(canvas: Canvas, parts: tuple[Step, ...], frame: RowFrame, axis: Axis, ends: tuple[float, float],
           y: float) -> float:
    """The step of water once more, parted: under a bracket on the phone, in a line of words on paper."""
    if frame.bars != frame.margin:
        words = ", ".join(say("waterfall.part_words", part=part.name, points=part.value) for part in parts)
        room = frame.bars - 8 - frame.margin - 10
        canvas.text(frame.margin + 10, y + frame.words - 2, words, 12 if width_px(words, 12) <= room else 11)
        for part in parts:
            start, end = axis.at(min(part.start, part.end)), axis.at(max(part.start, part.end))
            if part.estimate:
                lost = part.end <= part.start
                canvas.rect(start, y + 3, end - start, 8, fill="madder_tint" if lost else "forest_tint",
                            stroke="madder" if lost else "forest", weight=1.4, name=f"part {part.code}")
        return y + 20
    first = y - 2
    for part in parts:
        with canvas.group(f"part {part.code}"):
            _words(canvas, part, frame, y, 400, inset=18)
            if part.estimate is None:
                y += 26
                continue
            start, end = axis.at(min(part.start, part.end)), axis.at(max(part.start, part.end))
            lost = part.end <= part.start
            canvas.rect(start, y + 19, end - start, 9, fill="madder_tint" if lost else "forest_tint",
                        stroke="madder" if lost else "forest", weight=1.7, name="loss" if lost else "gain")
            span(canvas, part.estimate, axis, y + 36, shift=part.shift, sign=-1.0, radius=3.5, halo=False, ends=ends)
            y += 50
    bracket = f"M{show(frame.margin + 12)} {show(first + 2)}h-8V{show(y - 8)}h8"
    canvas.path(bracket, stroke="ink", weight=1.6, name="bracket")
    return y + 4


def draw_phone_key(canvas: Canvas, y: float) -> float:
    canvas.line(PHONE.margin, y, PHONE.width - PHONE.margin, y, stroke="hair")
    span_key(canvas, PHONE.margin, y + 25, say("waterfall.key_phone"))
    return canvas.lines(PHONE.margin, y + 50, [say("waterfall.key_phone_ring"), say("waterfall.key_phone_bracket")], 13,
                        fill="slate")
