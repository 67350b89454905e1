"""The section: the tree and its soil cut open, to scale, beside its yardstick."""

from __future__ import annotations

from rootcase.ground.dates import show_date
from rootcase.ground.quantity import System, show
from rootcase.ground.words import say
from rootcase.records.compare import TreeComparison
from rootcase.records.explain import Explanation
from rootcase.records.observe import PropertyRecord
from rootcase.report.pictures.section.above import draw_above, draw_names, draw_twig
from rootcase.report.pictures.section.below import draw_block, draw_depth_scale, draw_hardness, draw_water
from rootcase.report.pictures.section.facts import Side, two_sides
from rootcase.report.pictures.section.frame import COLUMN, PHONE, WIDE, Frame, Half, halves
from rootcase.report.pictures.signs import Layout, both, head, in_both, line_key, scale_bar, short
from rootcase.report.svg import COMPUTED, Canvas, Picture
from rootcase.report.svg import show as written
from rootcase.report.text.figures import listed, sentence
from rootcase.report.text.naming import kind_name

_NEARLY = 0.85
"""From this share of the yardstick's depth on, the finding says "as deep". JUDGEMENT."""
_FRAMES: dict[Layout, Frame] = {"wide": WIDE, "column": COLUMN, "phone": PHONE}


def draw_section(record: PropertyRecord, tree_id: str, comparison: TreeComparison, explanation: Explanation,
                 layout: Layout = "wide") -> Picture:
    """Draw one tree above and below the ground beside its yardstick; every mark is computed from a number."""
    frame = _FRAMES[layout]
    tree = next(tree for tree in record.trees if tree.id == tree_id)
    here, there = two_sides(record, tree_id, comparison, explanation)
    system = record.property.system
    finding = _finding(here, there, system)
    canvas = Canvas(f"section-{layout}", frame.width)
    below_head = _head(canvas, layout, frame, finding, _under(record, tree_id, tree.label, comparison))
    left, right = halves(frame, here, there, below_head + frame.crown_height + frame.heading, system)
    for half in (left, right):
        draw_names(canvas, half, below_head + 14)
        draw_above(canvas, half)
        draw_twig(canvas, half)
        draw_block(canvas, half)
        if frame.tracks:
            draw_hardness(canvas, half)
            draw_water(canvas, half)
        elif layout == "column":
            _water_words(canvas, half)
    draw_depth_scale(canvas, left)
    bottom = left.y(1.0)
    if layout == "wide":
        _captions(canvas, left)
        bottom = _key(canvas, frame, bottom + 74)
    elif layout == "column":
        bottom = _captions_column(canvas, left, bottom + 20)
    else:
        bottom = _numbers(canvas, left, right, bottom + 30)
    bottom = _assumed(canvas, frame, left, right, bottom + 22)
    return canvas.finish(bottom, say("section.title", tree=tree.label), _alt(short(tree.label), here, there, system))


def _head(canvas: Canvas, layout: Layout, frame: Frame, finding: str, under: str) -> float:
    if layout == "column":
        return 4.0
    room = frame.width - 2 * frame.margin
    if layout == "phone":
        return head(canvas, finding, under, frame.margin, room, size=21, under_size=13, top=34)
    return head(canvas, finding, under, frame.margin, room)


def _finding(here: Side, there: Side, system: System) -> str:
    where = say("section.in_wood" if there.woodland else "section.at_yardstick")
    first = [both(side.soil.rootable_depth_m.mean, "m", system, "in", "cm")[0] for side in (here, there)]
    if not here.probed and not there.probed:
        return say("section.finding_neither")
    if not here.probed:
        return say("section.finding_unknown", where=where, there=first[1])
    if not there.probed:
        return say("section.finding_alone", here=first[0])
    if here.soil.rootable_depth_m.mean >= _NEARLY * there.soil.rootable_depth_m.mean:
        return say("section.finding_same", here=first[0], where=where, there=first[1])
    return say("section.finding", here=first[0], where=sentence(where), there=first[1])


def _under(record: PropertyRecord, tree_id: str, label: str, comparison: TreeComparison) -> str:
    days = [r.day for r in record.readings if r.of == tree_id]
    yardstick = next((y for y in record.yardsticks if y.id == comparison.yardstick_id), None)
    parts = [say("section.under_tree", tree=sentence(label), property=record.property.name)]
    if days:
        parts.append(say("section.under_day", day=show_date(max(days))))
    if yardstick:
        parts.append(say("section.under_yardstick", yardstick=yardstick.label, count=len(yardstick.tree_ids)))
    else:
        parts.append(say("section.under_no_yardstick"))
    return ", ".join(parts) + "." + (" " + say("picture.invented") if record.property.invented else "")


def _captions(canvas: Canvas, left: Half) -> None:
    """What the shoots and the blocks are drawn at, and the trees' scale."""
    frame, centre = left.frame, left.frame.width / 2
    y = frame.ground + 44
    years = len(left.side.shoots_mm)
    if left.px_per_mm:
        canvas.text(centre, y, say("section.shoot_years", years=years), 12, fill="slate", anchor="middle")
        canvas.text(centre, y + 16, say("section.shoot_times", times=_times(left.px_per_mm * 1000 / left.px_per_m)), 12,
                    fill="slate", anchor="middle")
    canvas.text(centre, y + 38, say("section.box_times", times=_times(100 * frame.px_per_cm / left.px_per_m)), 12,
                fill="slate", anchor="middle")
    scale_bar(canvas, frame.margin, frame.ground + 46, left.px_per_m, 130, left.system)


def _captions_column(canvas: Canvas, left: Half, y: float) -> float:
    frame = left.frame
    scale_bar(canvas, frame.margin, frame.ground + 24, left.px_per_m, 64, left.system, frame.small)
    words = say("section.box_note", times=_times(100 * frame.px_per_cm / left.px_per_m))
    if left.px_per_mm:
        times = _times(left.px_per_mm * 1000 / left.px_per_m)
        words += " " + say("section.shoot_note", years=len(left.side.shoots_mm), times=times)
    canvas.text(frame.margin, y, words, frame.small, fill="slate")
    return y


def _times(ratio: float) -> str:
    return f"{ratio:,.0f}" if ratio >= 2 else f"{ratio:.1f}"


def _water_words(canvas: Canvas, half: Half) -> None:
    """Water in reach, in words beside the block."""
    frame = half.frame
    x, y = half.x(frame.block - 8), half.y(0) + 26
    words = [say("section.water_first"), say("section.water_second")]
    canvas.lines(x, y, words, frame.small, fill="slate", anchor=half.out)
    first, second = both(_water_mm(half.side), "mm", half.system, "in", "mm")
    canvas.text(x, y + 34, first, 14, weight=700, fill="woad", anchor=half.out)
    canvas.text(x, y + 50, second, frame.small, fill="slate", anchor=half.out)


def _water_mm(side: Side) -> float | None:
    """Water in reach, known only where somebody tried how deep roots can go."""
    return side.soil.water_in_reach_mm.mean if side.probed else None


def _numbers(canvas: Canvas, left: Half, right: Half, y: float) -> float:
    """The phone's two rows of numbers: water in reach, and the shoots of the years read."""
    margin, width = left.frame.margin, left.frame.width
    sides = left.side, right.side
    rows = ((say("section.height_row"),
             [in_both(s.shape.height_m, "m", left.system, "ft", "m") for s in sides]),
            (say("section.water_row"), [in_both(_water_mm(s), "mm", left.system, "in", "mm") for s in sides]),
            (say("section.shoots_row", years=len(left.side.shoots_mm)),
             [in_both(s.shoots_total_mm, "mm", left.system, "in", "cm") for s in sides]))
    for words, (first, second) in rows:
        canvas.text(margin, y, first, 14, weight=700)
        canvas.text(width - margin, y, second, 14, weight=700, fill="forest", anchor="end")
        canvas.text(width / 2, y + 19, words, 13, fill="slate", anchor="middle")
        canvas.line(margin, y + 29, width - margin, y + 29, stroke="hair")
        y += 52
    times = say("section.phone_note", times=_times(100 * left.frame.px_per_cm / left.px_per_m))
    return canvas.paragraph(margin, y, times, width - 2 * margin, 13, fill="slate") - 12


def _key(canvas: Canvas, frame: Frame, y: float) -> float:
    canvas.line(frame.margin, y - 30, frame.width - frame.margin, y - 30, stroke="hair")
    x = line_key(canvas, frame.margin, y, gap=16) + 4
    canvas.path(f"M{written(x)} {written(y - 4)}q4 4 8 1t8 3", stroke="walnut", weight=1.7, cap="round")
    x = canvas.text(x + 24, y, say("section.key_root", strokes=frame.strokes), 13, fill="slate") + 16
    for i in range(3):
        canvas.line(x, y - 10 + i * 6, x + 26, y - 10 + i * 6, stroke="walnut", weight=2 + i * 1.4)
    x = canvas.text(x + 34, y, say("section.key_pressed"), 13, fill="slate") + 16
    canvas.rect(x, y - 13, 22, 14, stroke="woad", weight=1.3, dash=COMPUTED)
    x = canvas.text(x + 29, y, say("section.key_water"), 13, fill="slate") + 16
    canvas.rect(x, y - 13, 22, 14, fill="rule", opacity=0.5)
    canvas.text(x + 29, y, say("section.key_hardness"), 13, fill="slate")
    return y


def _assumed(canvas: Canvas, frame: Frame, left: Half, right: Half, y: float) -> float:
    """Name what is not known and drawn as usual, and what was left out, so that nothing is guessed in silence."""
    for half in (left, right):
        parts = half.side.shape.assumed if half.side.shape.height_m and half.side.shape.spread_m else ()
        told = [say(f"section.assumed_{half.name}", parts=", ".join(say(f"section.part.{part}") for part in parts))
                ] if parts else []
        if half.side.left_out:
            told.append(say(f"section.left_out_{half.name}", kinds=listed([kind_name(k) for k in half.side.left_out])))
        for words in told:
            y = canvas.paragraph(frame.margin, y, words, frame.width - 2 * frame.margin, 12, fill="slate")
    return y - 10


def _alt(label: str, here: Side, there: Side, system: System) -> str:
    sentences = []
    for key, side in (("here", here), ("there", there)):
        roots_m = side.soil.rootable_depth_m.mean if side.probed else None
        facts = {"height": in_both(side.shape.height_m, "m", system, "ft", "m"),
                 "dead": show(side.shape.dieback, "1", system),
                 "roots": in_both(roots_m, "m", system, "in", "cm"),
                 "water": in_both(_water_mm(side), "mm", system, "in", "mm"),
                 "known": in_both(side.soil.known_to_m or None, "m", system, "in", "cm")}
        sentences.append(say(f"section.alt_{key}", tree=label, **facts))
    return " ".join(sentences)
