"""Below the ground line: the soil cut open, its roots, its hardness and the water in reach."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.explain import SoilColumn, SoilLayer
from rootcase.report.pictures.section.above import layer_look
from rootcase.report.pictures.section.frame import DEEPEST_M, Half
from rootcase.report.pictures.signs import HUMUS_PCT, both, hatch, in_both, unknown, unknown_words
from rootcase.report.pictures.trees import halton
from rootcase.report.svg import COMPUTED, Canvas, Point
from rootcase.report.svg import show as number

HARD_MPA = 2.0
"""Where the limit line stands: about 70 % of tree roots were found in softer soil (Sinnett and others 2008, memory)."""
_AXIS_MPA = 4.0
_THICKEST = 5.5


def draw_block(canvas: Canvas, half: Half) -> None:
    """The block of soil, joined by a wedge to the box of true size on the tree's ground line."""
    soil = half.side.soil
    with canvas.group(f"block {half.name}", **{"data-px-per-cm": f"{half.frame.px_per_cm:g}"}):
        _wedge(canvas, half)
        known = min(soil.known_to_m, DEEPEST_M)
        for layer in soil.layers:
            _layer(canvas, half, layer, known)
        if known:
            _pressed(canvas, half, known)
            _roots(canvas, half, known)
            canvas.rect(half.box_x(half.frame.block, half.frame.block_width), half.y(0), half.frame.block_width,
                        half.y(known) - half.y(0), stroke="ink", weight=2, name="read")
        _loose_cover(canvas, half)
        _blank(canvas, half, known)
        if known:
            _layer_names(canvas, half, known)
            if half.side.probed:
                _rod(canvas, half, known)
        _rootable(canvas, half)


def _wedge(canvas: Canvas, half: Half) -> None:
    frame = half.frame
    size = max(frame.block_width / (frame.px_per_cm * 100) * half.px_per_m, 3.0)
    size = min(size, frame.soil_strip or 10.0)
    box, block = half.box_x(frame.box, size), half.box_x(frame.block, frame.block_width)
    foot, top = frame.ground + size, half.y(0)
    canvas.shape([(box, foot), (block, top), (block + frame.block_width, top), (box + size, foot)], True, fill="mist")
    canvas.rect(box, frame.ground, size, size, stroke="ink", weight=1.6)
    canvas.line(box, foot, block, top, weight=1)
    canvas.line(box + size, foot, block + frame.block_width, top, weight=1)


def _layer(canvas: Canvas, half: Half, layer: SoilLayer, known: float) -> None:
    bottom = min(layer.bottom_m, known)
    if layer.top_m >= bottom:
        return
    tint, key = layer_look(layer.texture, layer.organic_matter_pct)
    x, wide = half.box_x(half.frame.block, half.frame.block_width), half.frame.block_width
    y, tall = half.y(layer.top_m), half.y(bottom) - half.y(layer.top_m)
    canvas.rect(x, y, wide, tall, fill=tint, name="layer")
    canvas.rect(x, y, wide, tall, fill=hatch(canvas, key))
    if layer.top_m:
        canvas.line(x, y, x + wide, y, weight=1.2)


def _pressed(canvas: Canvas, half: Half, known: float) -> None:
    """Bars where the soil is harder than the limit: the harder, the thicker."""
    frame = half.frame
    x = half.box_x(frame.block, frame.block_width)
    step_m = 11 / frame.px_per_cm / 100
    bar, gap = frame.block_width * 0.13, frame.block_width * 0.2
    depth, row = step_m / 2, 0
    with canvas.group("pressed"):
        while depth < known:
            over, y = resistance_at(half.side.soil, depth) - HARD_MPA, half.y(depth)
            for i in range(4 if over > 0 else 0):
                start = x + 6 + i * gap + row % 2 * 5
                canvas.line(start, y, start + bar, y, stroke="walnut", weight=min(_THICKEST, 1.2 + 2.6 * over),
                            name="press")
            depth, row = depth + step_m, row + 1


def resistance_at(soil: SoilColumn, depth_m: float) -> float:
    """Mean resistance at a depth, straight between the depths given."""
    curve = list(zip(soil.hardness_depth_m, (e.mean for e in soil.hardness_mpa), strict=True))
    if not curve:
        return next((layer.resistance_mpa.mean for layer in soil.layers if depth_m <= layer.bottom_m), 0.0)
    for (z0, p0), (z1, p1) in pairwise(curve):
        if z0 <= depth_m <= z1:
            return p0 + (p1 - p0) * (depth_m - z0) / (z1 - z0)
    return curve[0][1] if depth_m < curve[0][0] else curve[-1][1]


def _roots(canvas: Canvas, half: Half, known: float) -> None:
    """Fine roots: each stroke the same share of them, spread over the part of a layer where roots can live."""
    frame, soil = half.frame, half.side.soil
    x, wide = half.box_x(frame.block, frame.block_width) + 8, frame.block_width - 48
    with canvas.group("roots"):
        for k, layer in enumerate(soil.layers):
            reach = soil.rootable_depth_m.mean
            bottom = min(layer.bottom_m, known, reach if reach > layer.top_m else layer.bottom_m)
            if bottom <= layer.top_m:
                continue
            top, tall = half.y(layer.top_m), half.y(bottom) - half.y(layer.top_m)
            for i in range(round(frame.strokes * layer.root_share)):
                at = x + wide * halton(i + 1 + 13 * k, 2), top + 3 + max(tall - 6, 0) * halton(i + 1 + 13 * k, 3)
                turn = 1 if halton(i + 1, 5) < 0.5 else -1
                curl = f"M{number(at[0])} {number(at[1])}q4 {4 * turn} 8 {turn}t8 {3 * turn if i % 3 else -3 * turn}"
                canvas.path(curl, stroke="paper", weight=3.8, cap="round", opacity=0.85)
                canvas.path(curl, stroke="walnut", weight=1.7, cap="round", name="root")


def _loose_cover(canvas: Canvas, half: Half) -> None:
    """Litter and mulch on the block, at the block's own depth scale."""
    x, wide, top = half.box_x(half.frame.block, half.frame.block_width), half.frame.block_width, half.y(0)
    for kind, depth_m in (("litter", half.side.litter_m), ("mulch", half.side.mulch_m)):
        if depth_m <= 0:
            continue
        tall = max(100 * depth_m * half.frame.px_per_cm, 2.0)
        top -= tall
        canvas.rect(x, top, wide, tall, fill="loam", stroke="walnut", weight=1.2, name=f"loose {kind}")
        canvas.rect(x, top, wide, tall, fill=hatch(canvas, kind))


def _blank(canvas: Canvas, half: Half, known: float) -> None:
    """What was not read takes its room, dotted and blank, and says what would settle it."""
    if known >= DEEPEST_M:
        return
    frame = half.frame
    below = both(known, "m", half.system, "in", "cm")[0]
    if known:
        lines = [say("section.unknown_below", depth=below), say("section.unknown_rod" if half.side.probed else
                                                               "section.unknown_pit"), say("section.unknown_settle")]
    else:
        lines = [say("picture.not_known"), say("section.unknown_soil"), say("section.unknown_settle")]
    if not frame.tracks:
        lines = lines[:2]
    x, top, bottom = half.box_x(frame.block, frame.block_width), half.y(known), half.y(DEEPEST_M)
    unknown(canvas, x, top, frame.block_width, bottom - top, [], frame.small)
    if half.side.probed and half.side.soil.rootable_depth_m.mean > known - 0.1:
        words = _rootable_words_y(half)
        top, bottom = max(((top, words - 16), (max(words + 8, top), bottom)), key=lambda room: room[1] - room[0])
    unknown_words(canvas, x, top, frame.block_width, bottom - top, lines, frame.small)


def _layer_names(canvas: Canvas, half: Half, known: float) -> None:
    """Texture of each layer, where it leaves the words about the roots alone."""
    if not half.frame.tracks:
        return
    taken = [_rootable_words_y(half)]
    x, above = half.box_x(half.frame.block, half.frame.block_width), ""
    for layer in half.side.soil.layers:
        bottom = min(layer.bottom_m, known)
        dark = layer.organic_matter_pct >= HUMUS_PCT
        words = say(f"section.texture.{layer.texture}") + (say("section.dark") if dark else "")
        room = half.y(bottom) - half.y(layer.top_m) >= 20
        places = (half.y(bottom) - 8, half.y(layer.top_m) + 16)
        place = next((y for y in places if all(abs(y - other) > 20 for other in taken)), None)
        if words != above and room and place is not None:
            canvas.text(x + 9, place, words, 13, weight=700, plate=True)
            taken.append(place)
            above = words


def _rod(canvas: Canvas, half: Half, known: float) -> None:
    """The rod at its reach: hollow, its handle above the ground."""
    from_edge = 16 if half.frame.tracks else 12
    x = half.box_x(half.frame.block, half.frame.block_width) + half.frame.block_width - from_edge
    top, tip = half.y(0) - 14, half.y(known)
    canvas.rect(x - 2.5, top, 5, max(tip - top - 6, 2), fill="paper", stroke="ink", weight=1.6, name="rod")
    canvas.path(f"M{number(x - 4.5)} {number(tip - 6)}h9l-4.5 6z", fill="ink", name="rod-tip")
    canvas.line(x - 9, top, x + 9, top, weight=3)


def _rootable_words_y(half: Half) -> float:
    line = half.y(half.side.soil.rootable_depth_m.mean)
    low = line + 18 < half.y(DEEPEST_M) - 4 and half.side.soil.rootable_depth_m.mean < 0.5
    return line + 18 if low else line - 7


def _rootable(canvas: Canvas, half: Half) -> None:
    """How deep roots can live: a dashed line, a fat bar at the depth scale, and the words."""
    frame, soil = half.frame, half.side.soil
    if not half.side.probed:
        return
    depth = soil.rootable_depth_m.mean
    x, wide = half.box_x(frame.block, frame.block_width), frame.block_width
    bar = x - 9 if half.right else x + wide + 9
    canvas.line(x - 4, half.y(depth), x + wide + 4, half.y(depth), stroke=half.colour, weight=2.5, dash=COMPUTED,
                name="rootable")
    canvas.line(bar, half.y(0), bar, half.y(depth), stroke=half.colour, weight=7, name="rootable-bar")
    key = "rootable" if wide > 160 else "rootable_short"
    words = say(f"section.{key}", depth=in_both(depth, "m", half.system, "in", "cm"))
    size = frame.body if wide > 160 else 12
    canvas.text(x + 10, _rootable_words_y(half), words, size, weight=700, fill=half.colour, plate=True)


def draw_depth_scale(canvas: Canvas, half: Half) -> None:
    """Depths between the blocks, in the reader's own unit."""
    steps: tuple[int, ...]
    if half.frame.px_per_cm < 2:
        unit, steps = ("in", (0, 18, 36)) if half.system == "us" else ("cm", (0, 50, 100))
    else:
        unit, steps = ("in", (0, 10, 20, 30)) if half.system == "us" else ("cm", (0, 20, 40, 60, 80, 100))
    for step in steps:
        words = f"{step} {unit}" if step == 0 else str(step)
        canvas.text(half.frame.width / 2, half.y(convert(step, unit, "m")) + 5, words, 13 if half.frame.tracks else
                    half.frame.small, fill="slate", anchor="middle")


def draw_hardness(canvas: Canvas, half: Half) -> None:
    """Resistance by depth, its nine in ten as a band, the limit as a line."""
    soil, step, start = half.side.soil, 30.0, 315.0
    known = min(soil.known_to_m, DEEPEST_M) if half.side.probed else 0.0

    def x(mpa: float) -> float:
        return half.x(start - step * min(mpa, _AXIS_MPA + 0.15))

    left = min(x(0), x(_AXIS_MPA))
    with canvas.group(f"hardness {half.name}", **{"data-px-per-mpa": f"{step:g}"}):
        canvas.text(x(2), half.y(0) - 27, say("section.hardness"), 15, weight=700, anchor="middle")
        canvas.text(x(2), half.y(0) - 9, say("section.hardness_line"), 12, fill="slate", anchor="middle")
        if known:
            tall = half.y(known) - half.y(0)
            canvas.rect(left, half.y(0), 4 * step, tall, fill="mist")
            canvas.rect(min(x(HARD_MPA), x(_AXIS_MPA)), half.y(0), 2 * step, tall, fill=hatch(canvas, "past", "rule"))
            _hardness_curve(canvas, half, x, known)
            canvas.line(x(HARD_MPA), half.y(0), x(HARD_MPA), half.y(known), stroke="madder", weight=2, name="limit")
        if known < DEEPEST_M:
            unknown(canvas, left, half.y(known), 4 * step, half.y(DEEPEST_M) - half.y(known),
                    [say("picture.not_known")], 12)
        foot = half.y(DEEPEST_M)
        canvas.line(x(0), foot, x(_AXIS_MPA), foot, weight=1.3)
        unit = "psi" if half.system == "us" else "MPa"
        for mpa in (0, 2, 4):
            canvas.text(x(mpa), foot + 17, f"{convert(mpa, 'MPa', unit):.0f}", 12, fill="slate", anchor="middle")
        canvas.text(x(2), foot + 34, say(f"section.hardness_{half.system}"), 12, fill="slate", anchor="middle")


def _hardness_curve(canvas: Canvas, half: Half, x: Callable[[float], float], known: float) -> None:
    soil = half.side.soil
    rows = list(zip(soil.hardness_depth_m, soil.hardness_mpa, strict=True))
    last = next((i for i, (z, _) in enumerate(rows) if z >= known), len(rows) - 1)
    rows = [*rows[:last], (known, rows[last][1])] if rows else []
    band: list[Point] = [(x(e.low), half.y(z)) for z, e in rows] + [(x(e.high), half.y(z)) for z, e in reversed(rows)]
    canvas.shape(band, True, fill="rule", opacity=0.5, name="nine-in-ten")
    points = [(x(e.mean), half.y(z)) for z, e in rows]
    if "penetration_profile" in soil.read_kinds:
        canvas.shape(points, stroke=half.colour, weight=3, join="round", name="curve")
    else:
        canvas.shape(points, stroke=half.colour, weight=3, join="round", dash=COMPUTED, name="curve")


def draw_water(canvas: Canvas, half: Half) -> None:
    """Water by layer: the area of a bar is its water, the filled part is in reach of roots."""
    soil, start, step = half.side.soil, 172.0, 4.2
    known = min(soil.known_to_m, DEEPEST_M)
    with canvas.group(f"water {half.name}", **{"data-px-per-mm-dm": f"{step:g}"}):
        words = in_both(soil.water_in_reach_mm.mean, "mm", half.system, "in", "mm")
        canvas.text(half.x(112), half.y(0) - 27, say("section.water"), 15, weight=700, fill="woad", anchor="middle")
        canvas.text(half.x(112), half.y(0) - 9, words if half.side.probed else say("picture.not_known"), 15, weight=700,
                    fill="woad", anchor="middle")
        for layer in soil.layers:
            _water_layer(canvas, half, layer, known, start, step)
        canvas.line(half.x(start), half.y(0), half.x(start), half.y(known), weight=1.5, name="water-axis")
        if known < DEEPEST_M:
            unknown(canvas, half.box_x(start - 90, 90), half.y(known), 90, half.y(DEEPEST_M) - half.y(known),
                    [say("picture.not_known")], 12)


def _water_layer(canvas: Canvas, half: Half, layer: SoilLayer, known: float, start: float, step: float) -> None:
    bottom = min(layer.bottom_m, known)
    if bottom <= layer.top_m:
        return
    per_dm = layer.available_water_mm / (10 * (layer.bottom_m - layer.top_m))
    length = min(step * per_dm, 110.0)
    part = layer.water_in_reach_mm / layer.available_water_mm if layer.available_water_mm else 0.0
    y, tall = half.y(layer.top_m), half.y(bottom) - half.y(layer.top_m)
    canvas.rect(half.box_x(start - length, length), y, length, tall, stroke="woad", weight=1.5, dash=COMPUTED,
                name="there")
    if part > 0 and half.side.probed:
        x = half.box_x(start - length * part, length * part)
        canvas.rect(x, y, length * part, tall, fill="woad_middle", name="in-reach")
        canvas.rect(x, y, length * part, tall, fill=hatch(canvas, "water", "paper"))
        canvas.rect(x, y, length * part, tall, stroke="woad", weight=1.5)
