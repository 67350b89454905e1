"""The words beside the plan: what is done to which tree, what is left, what the client wishes, what is not known."""

from __future__ import annotations

from rootcase.ground.quantity import show
from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord
from rootcase.records.offer import Arms
from rootcase.records.prescribe import Plan, PlanItem, TreePrescription
from rootcase.report.lettering import wrapped
from rootcase.report.pictures.plan.drawn import words_of_line
from rootcase.report.pictures.plan.ground import treated_ground
from rootcase.report.pictures.signs import unknown
from rootcase.report.svg import LINE_HEIGHT, Canvas
from rootcase.report.text.figures import sentence
from rootcase.report.text.naming import choice_meaning, remedy_name
from rootcase.report.text.wishes import wishes_by_place, wishes_not_asked

_NAMES = 12


def draw_key(canvas: Canvas, record: PropertyRecord, plan: Plan, arms: tuple[Arms, ...], left_out: list[str], x: float,
             y: float, width: float, columns: int) -> float:
    """Draw the key in one column, or work, trees and wishes side by side in three; returns where it ends."""
    gap = 24 if columns > 1 else 0
    wide = (width - gap * (columns - 1)) / columns
    with canvas.group("key"):
        if columns == 1:
            y = _trial(canvas, record, arms, x, _work(canvas, record, plan, x, y, wide), wide)
            y = _trees(canvas, record, plan, left_out, x, y, wide)
            return _unknown(canvas, record, plan, x, _wishes(canvas, record, plan, x, y, wide), wide)
        second, third = x + wide + gap, x + 2 * (wide + gap)
        foot = _trial(canvas, record, arms, x, _work(canvas, record, plan, x, y, wide), wide)
        foot = max(foot, _trees(canvas, record, plan, left_out, second, y, wide),
                   _wishes(canvas, record, plan, third, y, wide))
        return _unknown(canvas, record, plan, x, foot, width)


def _trees(canvas: Canvas, record: PropertyRecord, plan: Plan, left_out: list[str], x: float, y: float,
           width: float) -> float:
    """Trees that are left, the yardstick, and what found no place on the plan."""
    labels = {tree.id: tree.label for tree in record.trees}
    alone, unread = ([labels[tree.tree_id] for tree in trees] for trees in idle(plan))
    groups = (("left", alone), ("not_judged", unread),
              ("yardstick", [labels[i] for group in record.yardsticks for i in group.tree_ids if i in labels]))
    for key, names in groups:
        if names:
            y = _heading(canvas, say(f"plan.{key}"), x, y, width)
            y = canvas.paragraph(x, y, named(names), width, 13, fill="slate") + 8
    missing = [tree.label for tree in record.trees if tree.east_m is None or tree.north_m is None]
    for key, names in (("not_placed", missing), ("no_room", left_out)):
        if names:
            y = canvas.paragraph(x, y, say(f"plan.{key}", names=named(names)), width, 13, fill="slate") + 4
    return y


def idle(plan: Plan) -> tuple[list[TreePrescription], list[TreePrescription]]:
    """The trees that get no work: left as they are, and not judged since nobody read their growth."""
    working = {item.tree_id for item in plan.items}
    rest = [tree for tree in plan.trees if tree.tree_id not in working]
    return [tree for tree in rest if tree.judged], [tree for tree in rest if not tree.judged]


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


def trial_lines(arms: Arms, labels: dict[str, str]) -> list[str]:
    """What is in doubt, who gets it, who goes without."""
    return [say("plan.trial", thing=sentence(remedy_name(arms.doubt))),
            say("plan.get_it", names=named([labels[pair.treated] for pair in arms.pairs])),
            say("plan.go_without", names=named([labels[pair.untreated] for pair in arms.pairs]))]


def _trial(canvas: Canvas, record: PropertyRecord, arms: tuple[Arms, ...], x: float, y: float, width: float) -> float:
    labels = {tree.id: tree.label for tree in record.trees}
    for each in arms:
        heading, *lines = trial_lines(each, labels)
        y = _heading(canvas, heading, x, y, width)
        for line in lines:
            y = canvas.paragraph(x, y, line, width, 13, fill="slate") + 2
        y += 6
    return y


def _amounts(items: list[PlanItem], record: PropertyRecord) -> list[str]:
    system = record.property.system
    lines = [show(sum(item.dose.area_m2 for item in items), "m2", system)]
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


def lines_known(record: PropertyRecord) -> str:
    """The buried lines somebody drew, and the private ones told of, place by place; empty where nobody has."""
    told = [words_of_line(line) for line in record.lines]
    for place in record.places:
        readings = [each for each in record.of(place.id, kind="private_lines") if each.choice and not each.nothing]
        if readings and (choice := readings[-1].choice) not in ("none_known", "not_asked"):
            told.append(say("plan.line_at", place=place.name, lines=choice_meaning("private_lines", choice or "")))
    return say("plan.lines_told", told="; ".join(told)) if told else ""


def _unknown(canvas: Canvas, record: PropertyRecord, plan: Plan, x: float, y: float, width: float) -> float:
    """What nobody asked or looked for stands under its own dotted line."""
    sentences = []
    if not lines_marked(record):
        sentences += [lines_known(record) or say("plan.lines_unknown"), say("plan.lines_settle")]
    if not_asked := wishes_not_asked(plan, record):
        sentences.append(not_asked)
    if not sentences:
        return y
    tall = 22.0 + 13 * LINE_HEIGHT * sum(len(wrapped(words, width - 8, 13, 700)) for words in sentences)
    unknown(canvas, x, y, width, tall, sentences, 13)
    return y + tall + 12
