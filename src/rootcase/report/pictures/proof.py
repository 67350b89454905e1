"""The proof: each tree of the pairs before and after, and how much more the treated grew, everywhere."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil, exp, expm1, floor

from rootcase.ground.quantity import System
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.estimate import Estimate
from rootcase.records.prove import LeftOut, Proof, PropertyTrial, TreeInTrial
from rootcase.report.lettering import Weight, fitted, printable
from rootcase.report.pictures.signs import Axis, Layout, head, points, short, span, span_key
from rootcase.report.svg import NOT_KNOWN, Canvas, Picture
from rootcase.report.text.figures import sentence
from rootcase.report.text.naming import remedy_name
from rootcase.report.text.proof import interval, proof_finding

_LEAST, _MOST = -100.0, 300.0
"""Ends of the widest scale, percent; a span past them is cut there, and its figures stand beside it."""
_PAST = 10.0
"""Log ratio that lies past every scale."""
_STEPS = (10.0, 20.0, 50.0, 100.0)


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where things stand across the page, px."""

    width: float
    margin: float
    ground_left: float
    ground_right: float
    tall: float
    """Of the trees' part."""
    spans_left: float
    """Where the names of properties begin."""
    axis_left: float
    axis_right: float
    row: float
    drop: float
    """From the top of a row to the middle of its span."""
    most_ticks: int


_WIDE = _Frame(1120, 32, 86, 446, 400, 536, 694, 928, 46, 20, 5)
_PHONE = _Frame(360, 16, 58, 312, 250, 16, 30, 330, 62, 40, 5)


def draw_proof(proof: Proof, names: Mapping[str, str], here: str, system: System, *, invented: bool,
               layout: Layout = "wide") -> Picture:
    """Draw the trees of one property before and after, and each property's effect above the one of all together.

    proof: with an answer. names: of properties by id. here: id of the property whose trees are drawn.
    """
    phone = layout == "phone"
    frame = _PHONE if phone else _WIDE
    canvas = Canvas(f"proof-{layout}", frame.width)
    trial = next(each for each in proof.properties if each.property_id == here)
    name = printable(names.get(here, here))
    size = {"size": 21.0, "under_size": 13.0, "top": 34.0} if phone else {}
    top = head(canvas, proof_finding(proof), _under(proof, name, invented), frame.margin,
               frame.width - 2 * frame.margin, **size) + 22
    foot = _trees(canvas, frame, trial, top, system)
    rows = _spans(canvas, frame, proof, names, here, foot + 34 if phone else top)
    y = max(foot, rows) + 20
    canvas.line(frame.margin, y, frame.width - frame.margin, y, stroke="hair")
    y = _key(canvas, frame, y + 28)
    return canvas.finish(y, say("proof.picture.title", remedy=remedy_name(proof.remedy), property=short(name)),
                         _alt(proof, names))


def _under(proof: Proof, name: str, invented: bool) -> str:
    words = say("proof.picture.under", remedy=sentence(remedy_name(proof.remedy)), property=name)
    return words + (" " + say("picture.invented") if invented else "")


def _trees(canvas: Canvas, frame: _Frame, trial: PropertyTrial, top: float, system: System) -> float:
    """Each tree as a line from before to after, treated at the left; of a tree that is gone only where it began."""
    gone = [each for each in trial.left_out if each.before is not None]
    lengths = [exp(value) for tree in trial.trees for value in (tree.before, tree.after)]
    highest = 1.08 * max([*lengths, *(exp(each.before or 0.0) for each in gone)], default=100.0)
    bottom = top + 24 + frame.tall
    axis = Axis(bottom, -frame.tall / highest)
    _grid(canvas, frame, axis, highest, system)
    half = (frame.ground_right - frame.ground_left) / 2
    with canvas.group("trees", **{"data-px-per-mm": f"{frame.tall / highest:.5f}"}):
        for treated in (True, False):
            left = frame.ground_left + (0.0 if treated else half)
            _arm(canvas, axis, (left + 0.16 * half, left + 0.84 * half), top + 14, treated,
                 [tree for tree in trial.trees if tree.treated is treated],
                 [each for each in gone if each.treated is treated])
    canvas.line(frame.ground_left, bottom, frame.ground_right, bottom, weight=4, name="ground-line")
    return bottom + 48


def _arm(canvas: Canvas, axis: Axis, ends: tuple[float, float], top: float, treated: bool,
         trees: list[TreeInTrial], gone: list[LeftOut]) -> None:
    before, after = ends
    middle = (before + after) / 2
    canvas.text(middle, top, say(f"proof.picture.{'treated' if treated else 'untreated'}"), 15, weight=700,
                anchor="middle")
    fill = "weld" if treated else "paper"
    weight, name = (5.5, "treated") if treated else (2.0, "untreated")
    for tree in trees:
        first, last = axis.at(exp(tree.before)), axis.at(exp(tree.after))
        canvas.line(before, first, after, last, weight=weight, name=name)
        if treated:
            canvas.line(before, first, after, last, stroke="weld", weight=2.4)
    for each in gone:
        y = axis.at(exp(each.before or 0.0))
        canvas.line(before, y, middle, y, weight=1.6, dash=NOT_KNOWN, cap="round", name="gone")
        canvas.circle(before, y, 5, fill=fill, stroke="ink", weight=2)
    for tree in trees:
        for x, value in ((before, tree.before), (after, tree.after)):
            canvas.circle(x, axis.at(exp(value)), 5, fill=fill, stroke="ink", weight=2)
    for x, key in ((before, "before"), (after, "after")):
        canvas.text(x, axis.zero + 22, say(f"proof.picture.{key}"), 13, fill="slate", anchor="middle")
    count = say("proof.picture.count", count=len(trees)) if not gone else say(
        "proof.picture.count_gone", count=len(trees), gone=len(gone))
    canvas.text(middle, axis.zero + 42, count, 13, fill="slate", anchor="middle")


def _grid(canvas: Canvas, frame: _Frame, axis: Axis, highest: float, system: System) -> None:
    """The reader's unit at the left with gridlines, the other at the right."""
    for unit, own in (("in", system == "us"), ("cm", system != "us")):
        top = convert(highest, "mm", unit)
        step = next(s for k in range(6) for s in (10**k, 2 * 10**k, 5 * 10**k) if top / s <= 5)
        for i in range(int(top / step) + 1):
            y = axis.at(convert(float(i * step), unit, "mm"))
            words = say("proof.picture.length", amount=f"{i * step:,}", unit=unit) if i else "0"
            if own and i:
                canvas.line(frame.ground_left, y, frame.ground_right, y, stroke="hair")
            if own:
                canvas.text(frame.ground_left - 8, y + 4, words, 12, fill="slate", anchor="end")
            elif i:
                canvas.text(frame.ground_right + 6, y + 4, words, 12, fill="slate")


def _spans(canvas: Canvas, frame: _Frame, proof: Proof, names: Mapping[str, str], here: str, top: float) -> float:
    """Each property on a line of its own, all of them together below, the place of no effect through all."""
    phone = frame is _PHONE
    canvas.text(frame.spans_left, top + 14, say("proof.picture.more"), 15, weight=700)
    together = _percent(proof.effect, proof.low, proof.high, proof.inner)
    told = {each.property_id: _percent(each.fit.effect, each.fit.low, each.fit.high, each.inner)
            for each in proof.properties if each.fit and each.inner}
    low, high, step = _scale([*told.values(), together], frame.most_ticks)
    axis = Axis(frame.axis_left - low * (frame.axis_right - frame.axis_left) / (high - low),
                (frame.axis_right - frame.axis_left) / (high - low))
    ticks = [k * step for k in range(ceil(low / step), floor(high / step) + 1)]
    y = top + 30
    with canvas.group("spans", **{"data-px-per-point": f"{axis.step:.4f}"}):
        for each in proof.properties:
            with canvas.group("property"):
                found = told.get(each.property_id)
                words = interval(each.fit.effect, each.fit.low, each.fit.high) if each.fit and found else ""
                _row(canvas, frame, axis, y, (names.get(each.property_id, each.property_id),
                     say("proof.picture.pairs", count=each.pairs), words or say("picture.not_known")),
                     ticks, (low, high), found, bold=each.property_id == here)
            y += frame.row
        canvas.line(frame.spans_left, y, frame.width - frame.margin, y, weight=1.6)
        y = _together(canvas, frame, axis, y + 8, proof, together, ticks, (low, high))
        for value in ticks:
            words = say("waterfall.percent", share=points(value)) if value else "0"
            canvas.text(axis.at(value), y + 14, words, 12, weight=700 if value == 0 else 400,
                        fill="madder" if value == 0 else "slate", anchor="middle")
        canvas.text(axis.at(0), y + 32, say("proof.picture.no_effect"), 13, weight=700, fill="madder", anchor="middle")
    return y + 36 if not phone else y + 40


def _row(canvas: Canvas, frame: _Frame, axis: Axis, y: float, words: tuple[str, str, str], ticks: list[float],
         ends: tuple[float, float], found: Estimate | None, *, bold: bool) -> None:
    name, pairs, told = words
    weight: Weight = 700 if bold else 400
    phone = frame is _PHONE
    across = y + frame.drop
    _lines(canvas, axis, ticks, y if not phone else across - 13, across + 13 if phone else y + frame.row)
    room = frame.axis_left - frame.spans_left - 12 if not phone else 168.0
    canvas.text(frame.spans_left, y + 17, fitted(printable(name), room, 14, weight), 14, weight=weight)
    if phone:
        canvas.text(frame.width - frame.margin, y + 17, told, 13, weight=weight, anchor="end")
    else:
        canvas.text(frame.spans_left, y + 34, pairs, 12, fill="slate")
        canvas.text(frame.width - frame.margin, across + 5, told, 13, weight=weight, anchor="end")
    if found:
        span(canvas, found, axis, across, ends=ends)
    else:
        canvas.line(frame.axis_left, across, frame.axis_right, across, weight=1.6, dash=NOT_KNOWN, cap="round",
                    name="unknown")


def _together(canvas: Canvas, frame: _Frame, axis: Axis, y: float, proof: Proof, together: Estimate,
              ticks: list[float], ends: tuple[float, float]) -> float:
    """All properties together: a span in a cased box, its figures beside it."""
    phone = frame is _PHONE
    across = y + (48 if phone else 30)
    bottom = across + 24
    _lines(canvas, axis, ticks, across - 22, bottom)
    count = sum(each.fit is not None for each in proof.properties)
    name = say("proof.picture.together" if count != 1 else "proof.picture.believed")
    told = interval(proof.effect, proof.low, proof.high)
    if phone:
        canvas.text(frame.spans_left, y + 14, name, 14, weight=700)
        canvas.text(frame.width - frame.margin, y + 14, told, 13, weight=700, anchor="end")
    else:
        canvas.text(frame.spans_left, across + 5, name, 15, weight=700)
        canvas.text(frame.width - frame.margin, across + 5, told, 14, weight=700, anchor="end")
    first, last = (axis.at(min(max(value, ends[0]), ends[1])) for value in (together.low, together.high))
    canvas.rect(first, across - 14, last - first, 28, fill="weld", stroke="ink", weight=2, name="together")
    span(canvas, together, axis, across, halo=False, ends=ends)
    return bottom + 6


def _lines(canvas: Canvas, axis: Axis, ticks: list[float], top: float, bottom: float) -> None:
    for value in ticks:
        if value:
            canvas.line(axis.at(value), top, axis.at(value), bottom, stroke="hair")
    canvas.line(axis.at(0), top, axis.at(0), bottom, stroke="madder", weight=3, name="no-effect")


def _scale(spans: list[Estimate], most: int) -> tuple[float, float, float]:
    """Both ends in percent, zero among them, and the step of its marks."""
    low = max(min([-10.0, *(each.low for each in spans)]), _LEAST)
    high = min(max([10.0, *(each.high for each in spans)]), _MOST)
    step = next(step for step in _STEPS if (high - low) / step <= most - 1)
    return max(step * floor(low / step), _LEAST), step * ceil(high / step), step


def _percent(effect: float, low: float, high: float, inner: tuple[float, float]) -> Estimate:
    mean, *ends = (100.0 * expm1(min(value, _PAST)) for value in (effect, low, high, *inner))
    return Estimate(mean, mean, *ends)


def _key(canvas: Canvas, frame: _Frame, y: float) -> float:
    phone = frame is _PHONE
    span_key(canvas, frame.margin, y, "")
    if phone:
        y = canvas.paragraph(frame.margin + 100, y, say("proof.picture.key"), frame.width - 2 * frame.margin - 100, 13,
                             fill="slate")
        x = frame.margin
    else:
        x = canvas.text(frame.margin + 100, y, say("proof.picture.key"), 13, fill="slate") + 40
    canvas.line(x, y - 4, x + 30, y - 4, weight=1.6, dash=NOT_KNOWN, cap="round")
    canvas.text(x + 38, y, say("proof.picture.key_gone"), 13, fill="slate")
    return canvas.paragraph(frame.margin, y + 22, say("proof.picture.key_kinds"), frame.width - 2 * frame.margin, 13,
                            fill="slate")


def _alt(proof: Proof, names: Mapping[str, str]) -> str:
    rows = "; ".join(say("proof.picture.alt_row", property=short(names.get(each.property_id, each.property_id)),
                         told=interval(each.fit.effect, each.fit.low, each.fit.high))
                     for each in proof.properties[:6] if each.fit)
    return say("proof.picture.alt", finding=proof_finding(proof), rows=rows or say("picture.not_known"))
