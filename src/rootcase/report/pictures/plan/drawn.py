"""What is drawn on the ground of a property beside its places: buried lines, and ground to keep off."""

from __future__ import annotations

from itertools import pairwise
from math import dist

from rootcase.ground.quantity import System
from rootcase.ground.words import say
from rootcase.records.observe import BuriedLine, KeepOff
from rootcase.report.lettering import fitted, printable
from rootcase.report.pictures.plan.sheet import Sheet, inner_points
from rootcase.report.pictures.signs import hatch, in_both
from rootcase.report.svg import BURIED, Canvas, Point, path_through

_LONGEST = 220.0


def draw_keep_off(canvas: Canvas, sheet: Sheet, areas: tuple[KeepOff, ...]) -> None:
    """Hatch each area and so much round it as was said, edged at that distance; the area itself has its own line."""
    if not areas:
        return
    window = canvas.window(sheet.left, sheet.top, sheet.width, sheet.height)
    with canvas.group("keep-off", **{"clip-path": window}):
        for area in areas:
            data = path_through([sheet.at(*corner) for corner in area.outline_m], True)
            around = area.distance_m * sheet.px_per_m
            canvas.path(data, fill=hatch(canvas, "past", "madder"), stroke=hatch(canvas, "past", "madder"),
                        weight=2 * around, join="round", name="held-off")
            edge = canvas.outside(data, canvas.width, sheet.top + sheet.height, around)
            with canvas.group("edge", mask=edge):
                canvas.path(data, stroke="paper", weight=2 * around + 8, join="round")
                canvas.path(data, stroke="madder", weight=2 * around + 5, join="round", name="edge")
            canvas.path(data, stroke="madder", weight=1.4, name="area")


def draw_lines(canvas: Canvas, sheet: Sheet, lines: tuple[BuriedLine, ...]) -> None:
    """Each buried line in its own dashes, over a halo."""
    if not lines:
        return
    window = canvas.window(sheet.left, sheet.top, sheet.width, sheet.height)
    with canvas.group("lines", **{"clip-path": window}):
        for line in lines:
            points = [sheet.at(*point) for point in line.points_m]
            stroke = "woad" if line.kind in ("water", "irrigation") else "ink"
            canvas.shape(points, stroke="paper", weight=6)
            canvas.shape(points, stroke=stroke, weight=2.4, dash=BURIED, name=f"line {line.kind}")


def name_drawn(canvas: Canvas, sheet: Sheet, lines: tuple[BuriedLine, ...], areas: tuple[KeepOff, ...],
               system: System) -> list[str]:
    """Write what each is; returns those that found no room."""
    named = [(words_of_area(area, system), [sheet.at(*point) for point in inner_points(area.outline_m, [], 12)] or [
        sheet.at(*corner) for corner in area.outline_m]) for area in areas]
    named += [(words_of_line(line), _along([sheet.at(*point) for point in line.points_m])) for line in lines]
    left_out = []
    for words, places in named:
        shown = fitted(printable(words), _LONGEST, 12, 700)
        free = sheet.room_for(shown, 12, places)
        if free is None:
            left_out.append(words)
        else:
            canvas.text(*free, shown, 12, weight=700, anchor="middle", plate=True, name="drawn-name")
    return left_out


def words_of_area(area: KeepOff, system: System) -> str:
    """What is kept off, and how far."""
    far = in_both(area.distance_m, "m", system, "ft", "m") if area.distance_m else ""
    return say("plan.keep_off_far" if far else "plan.keep_off", name=area.name, far=far)


def words_of_line(line: BuriedLine) -> str:
    return say("plan.line", kind=say(f"plan.line_kind.{line.kind}"), name=line.name)


def _along(points: list[Point]) -> list[Point]:
    """Where words may stand along a line: beside its stretches, the longest first."""
    stretches = sorted(pairwise(points), key=lambda ends: -dist(*ends))
    middles = [((x1 + x2) / 2, (y1 + y2) / 2) for (x1, y1), (x2, y2) in stretches]
    return [(x, y + shift) for x, y in middles for shift in (-8, 20)]
