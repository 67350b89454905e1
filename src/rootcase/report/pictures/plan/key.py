"""The words beside the plan: what is done to which tree, what is left, what the client wishes, what is not known."""

from __future__ import annotations

from rootcase.ground.quantity import show
from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord
from rootcase.records.prescribe import Plan, PlanItem
from rootcase.report.pictures.plan.ground import treated_ground
from rootcase.report.pictures.signs import in_both, unknown
from rootcase.report.svg import Canvas
from rootcase.report.text.figures import sentence
from rootcase.report.text.naming import remedy_name
from rootcase.report.text.wishes import wishes_by_place, wishes_not_asked

_NAMES = 12


def draw_key(canvas: Canvas, record: PropertyRecord, plan: Plan, left_out: list[str], x: float, y: float,
             width: float, columns: int) -> float:
    """Draw the key in one column or two; returns where it ends."""
    wide = (width - 28 * (columns - 1)) / columns
    with canvas.group("key"):
        foot = _work(canvas, record, plan, x, y, wide)
        if columns == 1:
            return _unknown(canvas, record, plan, x, _others(canvas, record, plan, left_out, x, foot, wide), wide)
        foot = _unknown(canvas, record, plan, x, foot, wide)
        return max(foot, _others(canvas, record, plan, left_out, x + wide + 28, y, wide))


def _others(canvas: Canvas, record: PropertyRecord, plan: Plan, left_out: list[str], x: float, y: float,
            width: float) -> float:
    """Trees that are left, the yardstick, the client's wishes, and what found no place on the plan."""
    labels = {tree.id: tree.label for tree in record.trees}
    working = {item.tree_id for item in plan.items}
    groups = (("left", [labels[t.tree_id] for t in plan.trees if t.tree_id not in working]),
              ("yardstick", [labels[i] for group in record.yardsticks for i in group.tree_ids if i in labels]))
    for key, names in groups:
        if names:
            y = _heading(canvas, say(f"plan.{key}"), x, y, width)
            y = canvas.paragraph(x, y, named(names), width, 13, fill="slate") + 8
    y = _wishes(canvas, record, plan, x, y, width)
    missing = [tree.label for tree in record.trees if tree.east_m is None or tree.north_m is None]
    for key, names in (("not_placed", missing), ("no_room", left_out)):
        if names:
            y = canvas.paragraph(x, y, say(f"plan.{key}", names=named(names)), width, 13, fill="slate") + 4
    return y


def named(names: list[str]) -> str:
    more = say("plan.more", count=len(names) - _NAMES) if len(names) > _NAMES else ""
    return ", ".join(names[:_NAMES]) + more


def _heading(canvas: Canvas, words: str, x: float, y: float, width: float) -> float:
    return canvas.paragraph(x, y + 8, words, width, 16, weight=700) + 2


def _work(canvas: Canvas, record: PropertyRecord, plan: Plan, x: float, y: float, width: float) -> float:
    """A row for each remedy of the plan: its sign, its name, its trees, the ground and the stuff it takes."""
    labels = {tree.id: tree.label for tree in record.trees}
    if not plan.items:
        return _heading(canvas, say("plan.no_work"), x, y, width) + 4
    y = _heading(canvas, say("plan.work"), x, y, width) + 4
    for remedy in dict.fromkeys(item.remedy for item in plan.items):
        items = [item for item in plan.items if item.remedy == remedy]
        treated_ground(canvas, x + 20, y + 6, 15, remedy)
        foot = canvas.paragraph(x + 50, y, sentence(remedy_name(remedy)), width - 50, 14, weight=700)
        for words in (named([labels[item.tree_id] for item in items]), *_amounts(items, record)):
            foot = canvas.paragraph(x + 50, foot, words, width - 50, 13, fill="slate")
        y = max(foot, y + 44) + 6
    return y


def _amounts(items: list[PlanItem], record: PropertyRecord) -> list[str]:
    system = record.property.system
    lines = [in_both(sum(item.dose.area_m2 for item in items), "m2", system, "ft2", "m2")]
    volumes = [item.dose.volume_m3 for item in items if item.dose.volume_m3]
    if volumes:
        lines.append(show(sum(volumes), "m3", system))
    return lines


def _wishes(canvas: Canvas, record: PropertyRecord, plan: Plan, x: float, y: float, width: float) -> float:
    if not plan.wishes:
        return y
    y = _heading(canvas, say("plan.wishes"), x, y, width)
    for line in wishes_by_place(plan, record):
        y = canvas.paragraph(x, y, line, width, 13, fill="slate") + 2
    return y + 8


def lines_marked(record: PropertyRecord) -> bool:
    """Somebody had the buried lines marked."""
    return any(reading.kind == "locate_ticket" and reading.nothing is None for reading in record.readings)


def _unknown(canvas: Canvas, record: PropertyRecord, plan: Plan, x: float, y: float, width: float) -> float:
    """What nobody asked or looked for stands under its own dotted line."""
    sentences = []
    if not lines_marked(record):
        sentences += [say("plan.lines_unknown"), say("plan.lines_settle")]
    if not_asked := wishes_not_asked(plan):
        sentences.append(not_asked)
    if not sentences:
        return y
    tall = 26.0 + 18 * sum(1 + int(len(words) * 6.6 > width) for words in sentences)
    unknown(canvas, x, y, width, tall, sentences, 13)
    return y + tall + 12
