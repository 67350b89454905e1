"""Above the ground line: the tree, its dead ends, its height, what covers the ground, one shoot year by year."""

from __future__ import annotations

from rootcase.ground.words import say
from rootcase.report.lettering import wrapped
from rootcase.report.pictures.section.frame import Half
from rootcase.report.pictures.signs import HUMUS_PCT, TEXTURE_HATCH, both, hatch
from rootcase.report.pictures.trees import CLUMPS, draw_tree, draw_unknown_crown
from rootcase.report.svg import NOT_KNOWN, Canvas, show

_UNREAD_HEIGHT = 0.6
"""Share of the room a tree takes that nobody measured."""


def draw_above(canvas: Canvas, half: Half) -> None:
    frame, side = half.frame, half.side
    with canvas.group(f"above {half.name}", **{"data-px-per-m": f"{half.px_per_m:.4f}"}):
        _strip(canvas, half)
        foot = (half.x(frame.foot), frame.ground)
        shape = side.shape
        if shape.height_m and shape.spread_m:
            draw_tree(canvas, foot, half.px_per_m, shape)
        else:
            tall = shape.height_m * half.px_per_m if shape.height_m else frame.crown_height * _UNREAD_HEIGHT
            wide = min(shape.spread_m * half.px_per_m / 2 if shape.spread_m else tall / 3, frame.crown_half)
            draw_unknown_crown(canvas, foot, tall, wide)
            _unknown_words(canvas, half, tall, wide)
        canvas.line(half.x(frame.margin), frame.ground, half.x(frame.ground_end), frame.ground, weight=3,
                    name="ground-line")
        _cover(canvas, half)
        _height(canvas, half)


def _unknown_words(canvas: Canvas, half: Half, tall: float, wide: float) -> None:
    key = "crown_unknown" if half.side.shape.height_m else "tree_unknown"
    size = half.frame.small
    lines = wrapped(say(f"section.{key}"), max(2 * wide - 10, 66), size, 700)
    y = half.frame.ground - tall * 0.6 - (len(lines) - 1) * size * 0.66
    canvas.lines(half.x(half.frame.foot), y, lines, size, weight=700, anchor="middle")


def _strip(canvas: Canvas, half: Half) -> None:
    """A strip of the soil the tree stands in, under its ground line."""
    frame = half.frame
    if not frame.soil_strip or not half.side.soil.known_to_m:
        return
    tint, key = layer_look(half.side.soil.layers[0].texture, half.side.soil.layers[0].organic_matter_pct)
    wide = frame.ground_end - frame.margin
    x = half.box_x(frame.margin, wide)
    canvas.rect(x, frame.ground, wide, frame.soil_strip, fill=tint)
    canvas.rect(x, frame.ground, wide, frame.soil_strip, fill=hatch(canvas, key))


def layer_look(texture: str, organic_pct: float) -> tuple[str, str]:
    """Tint and hatch of a layer; one that is rich in humus is dark."""
    if organic_pct >= HUMUS_PCT:
        return "humus", "humus"
    return TEXTURE_HATCH.get(texture, ("paper", "loam"))


def _cover(canvas: Canvas, half: Half) -> None:
    """What covers the ground, as lengths of the ground line from the trunk outward, in proportion to its share."""
    frame = half.frame
    order = ("litter", "mulch", "bare", "turf", "paved")
    shares = dict(half.side.soil.cover)
    for start, stop in ((frame.foot, frame.margin), (frame.foot, frame.ground_end)):
        x = half.x(start)
        for kind in order:
            length = shares.get(kind, 0.0) * (half.x(stop) - half.x(start))
            _cover_strokes(canvas, kind, x, x + length, frame.ground)
            x += length


def _cover_strokes(canvas: Canvas, kind: str, start: float, stop: float, ground: float) -> None:
    low, high = min(start, stop), max(start, stop)
    if kind == "bare" or high - low < 1:
        return
    with canvas.group(f"cover {kind}", **{"data-length": f"{high - low:.2f}"}):
        if kind == "paved":
            canvas.rect(low, ground - 7, high - low, 7, fill="paper", stroke="ink", weight=1.2)
            canvas.rect(low, ground - 7, high - low, 7, fill=hatch(canvas, "paving", "slate"))
            return
        data = []
        for i in range(max(int((high - low) // 7), 1)):
            x = low + 7 * i
            if kind == "turf":
                data.append(f"M{show(x)} {show(ground - 1)}l{show((i % 3 - 1) * 1.2)} -5")
            else:
                data.append(f"M{show(x)} {show(ground - 2 - i * 5 % 3)}l6 {(-1.5, 1.2, -0.4)[i % 3]}")
        stroke, weight = {"turf": ("forest", 1.4), "litter": ("walnut", 1.5), "mulch": ("walnut", 2.6)}[kind]
        canvas.path("".join(data), stroke=stroke, weight=weight)


def _height(canvas: Canvas, half: Half) -> None:
    """The height, dimensioned where there is room; one round number in both systems."""
    frame, height_m = half.frame, half.side.shape.height_m
    if height_m is None or frame.twig is None:
        return
    top = frame.ground - height_m * half.px_per_m
    first, second = both(height_m, "m", half.system, "ft", "m")
    if frame.dimension is None:
        y = frame.ground - 54
        x, anchor = half.x(frame.margin + 2), half.into
    else:
        x = half.x(frame.dimension)
        canvas.line(x, top, x, frame.ground - 8, weight=1.3, name="height")
        for y in (top, frame.ground - 8):
            canvas.line(x - 6, y, x + 6, y, weight=1.3)
        y = min((top + frame.ground) / 2, frame.ground - 40)
        x, anchor = x + half.outward * 9, half.out
    canvas.text(x, y, first, frame.body, weight=700, anchor=anchor, plate=frame.dimension is None)
    canvas.text(x, y + 17, second, frame.small, fill="slate", anchor=anchor, plate=frame.dimension is None)


def draw_names(canvas: Canvas, half: Half, y: float) -> None:
    """Whose half it is, what it stands in, and how much of the crown is dead."""
    frame, side = half.frame, half.side
    x = half.x(frame.margin)
    canvas.text(x, y, say("section.yardstick" if half.right else "section.this_tree"), 14, weight=700,
                fill="forest" if half.right else "ink", anchor=half.into)
    canvas.text(x, y + 18, say(f"section.cover.{side.chief_cover}"), frame.small, fill="slate", anchor=half.into)
    dieback = side.shape.dieback
    if frame.twig is None:
        words = (say("section.dead_unknown_short") if dieback is None else
                 say("section.dead_short", dead=round(dieback * CLUMPS)))
        canvas.text(x, y + 38, words, 13, weight=700, fill="ink" if dieback is None else "madder", anchor=half.into)
        return
    if dieback is None:
        canvas.text(x, y + 50, say("section.dead_unknown"), frame.small, fill="slate", anchor=half.into)
        canvas.text(x, y + 67, say("picture.not_known"), frame.small, weight=700, anchor=half.into)
        return
    canvas.text(x, y + 50, say("section.dead", dead=round(dieback * CLUMPS)), 14 if frame.dimension is None else 16,
                weight=700, fill="madder", anchor=half.into)
    canvas.text(x, y + 67, say("section.dead_unit"), frame.small, fill="slate", anchor=half.into)


def draw_twig(canvas: Canvas, half: Half) -> None:
    """One typical shoot: a segment a year, a cross mark at each ring of bud scars."""
    frame, side = half.frame, half.side
    if frame.twig is None:
        return
    x = half.x(frame.twig)
    y = frame.ground - 6
    with canvas.group(f"twig {half.name}", **{"data-px-per-mm": f"{half.px_per_mm:.5f}"}):
        if side.shoots_total_mm is None and half.right:
            return
        if side.shoots_total_mm is None:
            canvas.line(x, y, x, y - 90, weight=1.6, dash=NOT_KNOWN, cap="round")
            _twig_words(canvas, half, y - 90, say("section.shoots"), say("picture.not_known"))
            return
        for i, (year, length_mm) in enumerate(side.shoots_mm):
            length = length_mm * half.px_per_mm
            canvas.line(x, y, x, y - length, stroke=half.colour, weight=max(7.5 - 1.05 * i, 2.5), name="year")
            canvas.line(x - 6, y - length, x + 6, y - length, stroke=half.colour, weight=2)
            if length >= 13 and frame.tracks:
                canvas.text(x + half.outward * 12, y - length / 2 + 5, str(year), frame.small, fill="slate",
                            anchor=half.out)
            y -= length
        canvas.path(f"M{show(x - 4)} {show(y)}q4 -12 8 0z", fill=half.colour, name="bud")
        _twig_words(canvas, half, y, *both(side.shoots_total_mm, "mm", half.system, "in", "cm"))


def _twig_words(canvas: Canvas, half: Half, top: float, first: str, second: str) -> None:
    assert half.frame.twig is not None
    x = half.x(half.frame.twig) + (-16 if half.right else 16)
    if not half.frame.tracks:
        x = half.x(half.frame.twig) + (-8 if half.right else 8)
    canvas.text(x, top - 34, first, half.frame.body + (3 if half.frame.tracks else 1), weight=700, fill=half.colour,
                anchor="start" if half.right else "end")
    canvas.text(x, top - 16, second, half.frame.small, fill="slate", anchor="start" if half.right else "end")
