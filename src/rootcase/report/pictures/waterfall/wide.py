"""The waterfall as columns standing on one ground line."""

from __future__ import annotations

from rootcase.ground.words import say
from rootcase.report.lettering import Weight, printable, width_px, wrapped
from rootcase.report.pictures.signs import Axis, gain, hatch, left_over, loss, span, span_key
from rootcase.report.pictures.waterfall.steps import Step, frame_of
from rootcase.report.svg import COMPUTED, NOT_KNOWN, Canvas, show

WIDTH = 1240.0
_MARGIN, _FIRST, _COLUMN, _PITCH, _PART, _PART_PITCH, _TALL = 32.0, 104.0, 60.0, 95.0, 30.0, 66.0, 410.0


def draw_columns(canvas: Canvas, steps: tuple[Step, ...], top: float) -> float:
    """Draw all columns, their words and the key; returns the height of the picture."""
    low, high, grid = frame_of(steps)
    unit = _TALL / (high - low)
    axis = Axis(top + _TALL + low * unit, -unit)
    bottom = top + _TALL
    places = _places(steps)
    end = places[-1] + _COLUMN + 8
    _grid(canvas, axis, low, high, grid, end)
    with canvas.group("steps", **{"data-px-per-point": f"{unit:.4f}"}):
        for i, (step, x) in enumerate(zip(steps, places, strict=True)):
            if i:
                _connector(canvas, steps[i - 1], places[i - 1], x, axis)
            _column(canvas, step, x, axis, (low, high))
            for k, part in enumerate(step.parts):
                _part(canvas, part, _part_x(x, k), axis, (low, high), _part_x(x, k - 1) + _PART if k else x + _COLUMN)
    canvas.line(_MARGIN, axis.at(0), WIDTH - _MARGIN, axis.at(0), weight=4, name="ground-line")
    foot = _words(canvas, steps, places, bottom)
    canvas.line(_MARGIN, foot, WIDTH - _MARGIN, foot, stroke="hair")
    span_key(canvas, _MARGIN, foot + 30, say("picture.span"))
    canvas.text(WIDTH - _MARGIN, foot + 30, say("waterfall.lines"), 13, fill="slate", anchor="end")
    return canvas.paragraph(_MARGIN, foot + 54, say("waterfall.note"), WIDTH - 2 * _MARGIN, 13, fill="slate") + 2


def _places(steps: tuple[Step, ...]) -> list[float]:
    x, places = _FIRST, []
    for step in steps:
        places.append(x)
        x += _PITCH if not step.parts else _COLUMN + 22 + _PART_PITCH * len(step.parts) - 6
    return places


def _part_x(x: float, k: int) -> float:
    return x + _COLUMN + 22 + _PART_PITCH * k


def _grid(canvas: Canvas, axis: Axis, low: float, high: float, grid: float, end: float) -> None:
    for k in range(round(low / grid), int(high / grid + 1e-9) + 1):
        y = axis.at(k * grid)
        if k:
            canvas.line(_FIRST - 20, y, end, y, stroke="hair")
            words = say("waterfall.percent", share=f"{k * grid:,.0f}")
            canvas.text(_FIRST - 28, y + 5, words, 13, fill="slate", anchor="end")


def _connector(canvas: Canvas, before: Step, x_before: float, x: float, axis: Axis) -> None:
    """The level carried over to the next column."""
    start = _part_x(x_before, len(before.parts) - 1) + _PART if before.parts else x_before + _COLUMN
    y = axis.at(before.end)
    if before.kind == "remainder" and before.estimate is None:
        return
    if before.kind == "remainder":
        canvas.line(start, y, x, y, weight=1.4)
    else:
        canvas.line(start, y, x, y, weight=1.4, dash=COMPUTED)


def _column(canvas: Canvas, step: Step, x: float, axis: Axis, ends: tuple[float, float]) -> None:
    with canvas.group(f"step {step.code}"):
        upper, lower = axis.at(max(step.start, step.end)), axis.at(min(step.start, step.end))
        if step.kind == "yardstick":
            canvas.rect(x, axis.at(100), _COLUMN, axis.at(0) - axis.at(100), fill="forest", name="whole")
        elif step.kind == "measured" and step.estimate is None:
            canvas.rect(x, axis.at(60), _COLUMN, axis.at(0) - axis.at(60), fill="paper", stroke="ink", weight=2,
                        dash=NOT_KNOWN, cap="round", name="unknown")
        elif step.kind == "remainder" and step.estimate is None:
            canvas.rect(x, upper, _COLUMN, axis.at(0) - upper, fill="paper", stroke="ink", weight=2, dash=NOT_KNOWN,
                        cap="round", name="unknown")
        elif step.kind == "measured":
            canvas.rect(x, upper, _COLUMN, lower - upper, fill="ink", name="whole")
        elif step.kind == "predicted":
            canvas.rect(x, upper, _COLUMN, lower - upper, fill="mist", stroke="ink", weight=2.2, dash=COMPUTED,
                        name="whole")
        else:
            base = min(step.start, step.end)
            left_over(canvas, x, min(axis.at(base), axis.at(0)), _COLUMN, abs(axis.at(0) - axis.at(base)))
            _change(canvas, step, x, upper, lower)
        if step.estimate:
            span(canvas, step.estimate, axis, x + _COLUMN / 2, upright=True, shift=step.shift, sign=step.sign,
                 ends=ends)


def _change(canvas: Canvas, step: Step, x: float, upper: float, lower: float) -> None:
    if step.kind == "same":
        canvas.line(x, upper, x + _COLUMN, upper, weight=2.5, name="same")
    elif step.kind == "loss":
        loss(canvas, x, upper, _COLUMN, lower - upper)
    elif step.kind == "gain":
        gain(canvas, x, upper, _COLUMN, lower - upper)
    else:
        canvas.rect(x, upper, _COLUMN, max(lower - upper, 1), fill="paper", stroke="ink", weight=2.2, dash=NOT_KNOWN,
                    cap="round", name="remainder")


def _part(canvas: Canvas, part: Step, x: float, axis: Axis, ends: tuple[float, float], before: float) -> None:
    """A narrow block: the same step of water once more, parted."""
    canvas.line(before, axis.at(part.start), x + _PART, axis.at(part.start), weight=1.1, dash=COMPUTED)
    upper, lower = axis.at(max(part.start, part.end)), axis.at(min(part.start, part.end))
    with canvas.group(f"part {part.code}"):
        if part.estimate is None:
            canvas.line(x, upper, x + _PART, upper, weight=2.5, name="same")
            return
        if part.end <= part.start:
            canvas.rect(x, upper, _PART, lower - upper, fill="madder_tint", stroke="madder", weight=1.8, name="loss")
        else:
            canvas.rect(x, upper, _PART, lower - upper, fill="forest_tint")
            canvas.rect(x, upper, _PART, lower - upper, fill=hatch(canvas, "up", "forest"), opacity=0.7)
            canvas.rect(x, upper, _PART, lower - upper, stroke="forest", weight=2, name="gain")
        span(canvas, part.estimate, axis, x + _PART / 2, upright=True, shift=part.shift, sign=-1.0, radius=4, ends=ends)


def _words(canvas: Canvas, steps: tuple[Step, ...], places: list[float], bottom: float) -> float:
    """Value, interval and name under every column; returns where the line below them stands."""
    cells = [(step, x + _COLUMN / 2, _PITCH - 1) for step, x in zip(steps, places, strict=True)]
    cells[0] = (steps[0], places[0] + _COLUMN / 2 - 6, _PITCH + 12)
    parts = [(part, _part_x(x, k) + _PART / 2, _PART_PITCH - 2) for step, x in zip(steps, places, strict=True)
             for k, part in enumerate(step.parts)]
    for step, x in zip(steps, places, strict=True):
        if step.parts:
            first, last = _part_x(x, 0) - 8, _part_x(x, len(step.parts) - 1) + _PART + 8
            bracket = f"M{show(first)} {show(bottom + 22)}v-8H{show(last)}v8"
            canvas.path(bracket, stroke="ink", weight=1.6, name="bracket")
    lowest, interval_lines = 0.0, [wrapped(printable(step.interval), room, 13) for step, _, room in cells + parts]
    drop = 17.0 * (max(len(lines) for lines in interval_lines) - 1)
    for (step, x, room), lines in zip(cells + parts, interval_lines, strict=True):
        big = step.kind != "part"
        size = next(s for s in (25 if big else 17, 17, 15, 13, 12) if width_px(step.value, s, 700) <= room or s == 12)
        canvas.text(x, bottom + 42, step.value, size, weight=700, fill=step.colour, anchor="middle", name="value")
        canvas.lines(x, bottom + 63, lines, 13, fill="slate", anchor="middle")
        weight: Weight = 700 if big else 400
        names = wrapped(printable(step.name), min(room, _PITCH - 1), 14 if big else 13, weight, most=4)
        foot = canvas.lines(x, bottom + 88 + drop, names, 14 if big else 13, weight=weight,
                            fill="forest" if step.kind == "yardstick" else "ink", anchor="middle")
        lowest = max(lowest, foot)
    return lowest + 12
