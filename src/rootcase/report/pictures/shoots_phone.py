"""The shoots on a phone: a row a year, lengths to the right, each shoot a stroke before the band of the yardstick's."""

from __future__ import annotations

from typing import Unpack

from rootcase.ground.quantity import number
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.compare import ShootYear
from rootcase.records.observe import System
from rootcase.report.lettering import fitted
from rootcase.report.pictures.signs import Axis, unknown
from rootcase.report.svg import Canvas, Style

WIDTH, _MARGIN, _ROW = 360.0, 16.0, 62.0


def draw_rows(canvas: Canvas, years: list[ShootYear], top: float, highest: float, system: System) -> float:
    """Draw the newest year first; returns the height of the picture."""
    axis = Axis(_MARGIN + 4, (WIDTH - 2 * _MARGIN - 8) / highest)
    unit = "in" if system == "us" else "cm"
    if not years:
        unknown(canvas, _MARGIN, top, WIDTH - 2 * _MARGIN, 90, [say("picture.not_known"), say("shoots.none_read")], 14)
        return top + 106
    with canvas.group("years", **{"data-px-per-mm": f"{axis.step:.5f}"}):
        for i, year in enumerate(sorted(years, key=lambda each: -each.year)):
            _row(canvas, year, axis, top + i * _ROW, unit)
    y = top + len(years) * _ROW + 4
    canvas.line(axis.at(0), top - 2, axis.at(0), y - 10, weight=4, name="ground-line")
    _scale(canvas, axis, y + 6, highest, unit)
    return canvas.paragraph(_MARGIN, y + 30, say("shoots.key_phone"), WIDTH - 2 * _MARGIN, 12, fill="slate") + 2


def _row(canvas: Canvas, year: ShootYear, axis: Axis, y: float, unit: str) -> None:
    with canvas.group("year", **{"data-year": str(year.year)}):
        values = [number(convert(e.median, "mm", unit)) if e else say("picture.not_known")
                  for e in (year.tree_mm, year.yardstick_mm)]
        canvas.text(_MARGIN + 10, y + 14, str(year.year), 14, weight=700)
        words = say("shoots.of", here=values[0], there=values[1], unit=unit)
        canvas.text(WIDTH - _MARGIN, y + 14, fitted(words, WIDTH - 2 * _MARGIN - 60, 14), 14, anchor="end")
        if shoots := year.yardstick_shoots_mm:
            _band(canvas, axis, y, shoots.low, shoots.high, fill="forest_tint", name="nine-in-ten")
            _band(canvas, axis, y, shoots.inner_low, shoots.inner_high, fill="forest_middle", opacity=0.75, name="half")
        if year.yardstick_mm:
            x = axis.at(year.yardstick_mm.median)
            canvas.line(x, y + 22, x, y + 50, stroke="forest", weight=3.5, name="yardstick-mean")
        for length_mm in year.lengths_mm:
            x = axis.at(length_mm)
            canvas.line(x, y + 28, x, y + 44, stroke="paper", weight=5, name="halo")
            canvas.line(x, y + 28, x, y + 44, weight=2.6, name="shoot")
        if year.not_read:
            canvas.text(WIDTH - _MARGIN, y + 42, say("shoots.not_read", count=year.not_read), 12, weight=700,
                        anchor="end", plate=True)


def _band(canvas: Canvas, axis: Axis, y: float, low: float, high: float, **style: Unpack[Style]) -> None:
    canvas.rect(axis.at(low), y + 22, axis.at(high) - axis.at(low), 28, **style)


def _scale(canvas: Canvas, axis: Axis, y: float, highest: float, unit: str) -> None:
    """Round lengths along the foot."""
    longest = convert(highest, "mm", unit)
    step = next(s for k in range(6) for s in (10**k, 2 * 10**k, 5 * 10**k) if longest / s <= 5)
    for i in range(1, int(longest / step) + 1):
        x = axis.at(convert(i * step, unit, "mm"))
        canvas.line(x, y - 16, x, y - 10, stroke="rule")
        if x < WIDTH - _MARGIN - 14:
            canvas.text(x, y + 2, f"{i * step:,} {unit}", 12, fill="slate", anchor="middle")
