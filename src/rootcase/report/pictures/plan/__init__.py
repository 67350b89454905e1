"""The plan of the property: its ground, its trees, what is done where, and what is not known."""

from __future__ import annotations

from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord
from rootcase.records.offer import Arms
from rootcase.records.prescribe import Plan
from rootcase.report.pictures.plan.drawn import draw_keep_off, draw_lines, name_drawn
from rootcase.report.pictures.plan.ground import (
    draw_frame,
    draw_north,
    draw_places,
    draw_trees,
    name_places,
    name_trees,
)
from rootcase.report.pictures.plan.key import draw_key, idle, lines_known, lines_marked, named, trial_lines
from rootcase.report.pictures.plan.sheet import sheet_of, spots_of
from rootcase.report.pictures.signs import Layout, head, scale_bar, short, unknown
from rootcase.report.svg import Canvas, Picture
from rootcase.report.text.figures import sentence
from rootcase.report.text.naming import remedy_name
from rootcase.report.text.signed import laid_out

_DENSE = 25
"""From so many trees on, the plan carries numbers and the rows the names."""
_NO_MAP = 100.0
"""Height of what stands in the map's place where nothing has a position. [px]"""
_WIDTH: dict[Layout, float] = {"wide": 1240.0, "column": 680.0, "phone": 360.0}


def draw_plan(record: PropertyRecord, plan: Plan, layout: Layout = "wide", arms: tuple[Arms, ...] = ()) -> Picture:
    """Draw the property from above, north up, with the chosen remedies at their true area; a trial by its arms."""
    plan = laid_out(plan, arms)
    width = _WIDTH[layout]
    canvas = Canvas(f"plan-{layout}", width)
    margin = {"wide": 32.0, "column": 6.0, "phone": 16.0}[layout]
    top = 8.0
    if layout != "column":
        size, under_size, first = (27.0, 16.0, 46.0) if layout == "wide" else (21.0, 13.0, 34.0)
        top = head(canvas, _finding(plan), _under(record), margin, width - 2 * margin, size=size, under_size=under_size,
                   top=first) + 4
    room = (830.0, 560.0) if layout == "wide" else (width - 2 * margin, 420.0 if layout == "column" else 300.0)
    spots, places = spots_of(record, plan, arms), record.places + record.outlines
    sheet = sheet_of(places, spots, margin, top, *room, record.lines, record.keep_off)
    left_out: list[str] = []
    if sheet is None:
        unknown(canvas, margin, top, room[0], _NO_MAP, [say("plan.no_positions"), say("plan.to_have_a_map")], 14)
        bottom = top + _NO_MAP + 20
    else:
        draw_places(canvas, sheet, places)
        draw_keep_off(canvas, sheet, record.keep_off)
        draw_trees(canvas, sheet, spots)
        draw_lines(canvas, sheet, record.lines)
        draw_frame(canvas, sheet, record.property.system)
        left_out = name_trees(canvas, sheet, spots, layout == "phone" or len(spots) > _DENSE)
        left_out += name_drawn(canvas, sheet, record.lines, record.keep_off, record.property.system)
        left_out += name_places(canvas, sheet, places, spots)
        bottom = sheet.top + sheet.height + 56
        scale_bar(canvas, margin, bottom - 10, sheet.px_per_m, 150, record.property.system)
        draw_north(canvas, sheet.left + sheet.width - 12, bottom - 10)
    if layout == "wide":
        x = margin + room[0] + 36
        foot = draw_key(canvas, record, plan, arms, left_out, x, top + 8, width - x - 24, 1)
        bottom = max(bottom + 12, foot)
    else:
        bottom = draw_key(canvas, record, plan, arms, left_out, margin, bottom + 26, width - 2 * margin,
                          3 if layout == "column" else 1)
    return canvas.finish(bottom + 8, say("plan.title", property=record.property.name), _alt(record, plan, arms))


def on_the_map(record: PropertyRecord) -> bool:
    """Return whether anything of a property has a position, so that there is a plan to draw."""
    return bool(record.outlines or record.lines or record.keep_off or any(place.outline_m for place in record.places)
                or any(tree.east_m is not None and tree.north_m is not None for tree in record.trees))


def _finding(plan: Plan) -> str:
    working = {item.tree_id for item in plan.items}
    if not working:
        return say("plan.finding_none")
    if len(working) == len(plan.trees):
        return say("plan.finding_all", all=len(plan.trees))
    alone, unread = idle(plan)
    rest = "both" if alone and unread else "not_judged" if unread else "left"
    return say("plan.finding", count=len(working), all=len(plan.trees), others=say(f"plan.others_{rest}",
                                                                               unread=len(unread)))


def _under(record: PropertyRecord) -> str:
    words = say("plan.under", property=record.property.name)
    return words + (" " + say("picture.invented") if record.property.invented else "")


def _alt(record: PropertyRecord, plan: Plan, arms: tuple[Arms, ...]) -> str:
    labels = {tree.id: short(tree.label) for tree in record.trees}
    words = [say("plan.alt", property=short(record.property.name))]
    for remedy in list(dict.fromkeys(item.remedy for item in plan.items))[:4]:
        names = [labels[item.tree_id] for item in plan.items if item.remedy == remedy]
        words.append(say("plan.alt_work", remedy=remedy_name(remedy), names=named(names[:5])))
    words += [" ".join(trial_lines(each, labels)) for each in arms]
    alone, unread = idle(plan)
    words.append(say("plan.alt_left", count=len(alone)))
    words += [say("plan.alt_not_judged", count=len(unread))] if unread else []
    if not lines_marked(record):
        lines = lines_known(record)
        words.append(f"{sentence(lines)}." if lines else say("plan.alt_lines"))
    return " ".join(words)
