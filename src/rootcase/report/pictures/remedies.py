"""What could be done for one tree: each choice as a row, its gain on top of what the tree grows now."""

from __future__ import annotations

from rootcase.ground.words import say
from rootcase.records.compare import TreeComparison
from rootcase.records.estimate import Estimate
from rootcase.records.explain import Explanation
from rootcase.records.observe import PropertyRecord
from rootcase.records.prescribe import RemedyOutcome, TreePrescription
from rootcase.report.lettering import fitted, printable, wrapped
from rootcase.report.pictures.signs import Axis, Layout, points, points_interval, remedy_bar, short, span
from rootcase.report.svg import NOT_KNOWN, Canvas, Picture
from rootcase.report.text.figures import sentence
from rootcase.report.text.naming import month_of, remedy_name

_BARS, _BARS_WIDTH, _GAIN, _INTERVAL = 204.0, 256.0, 504.0, 586.0


def draw_remedies(record: PropertyRecord, tree_id: str, comparison: TreeComparison, explanation: Explanation,
                  prescription: TreePrescription, layout: Layout = "column") -> Picture:
    """Draw the choices for one tree, "leave it alone" first; a gain that is not known keeps its place, dotted."""
    label = next(tree.label for tree in record.trees if tree.id == tree_id)
    now = 100 * (comparison.share or explanation.predicted_share).mean
    width = 680.0 if layout != "phone" else 360.0
    canvas = Canvas(f"remedies-{layout}", width)
    highest = max([100.0, now, *(now + o.gain_points.high for o in prescription.remedies if o.gain_points)])
    bars, bars_width = (_BARS, _BARS_WIDTH) if layout != "phone" else (16.0, 328.0)
    axis = Axis(bars, bars_width / highest)
    y = 4.0
    if layout != "phone":
        canvas.text(_GAIN, 14, say("remedies.head_gain"), 12, fill="slate", anchor="end")
        cost = say("remedies.head_cost", currency=record.property.currency)
        canvas.text(674, 14, cost, 12, fill="slate", anchor="end")
        y = 18.0
    with canvas.group("remedies", **{"data-px-per-point": f"{bars_width / highest:.4f}"}):
        for outcome in prescription.remedies:
            y = _row(canvas, outcome, prescription, axis, now, y, layout)
    return canvas.finish(y + 4, say("remedies.title", tree=label), _alt(label, prescription))


def _row(canvas: Canvas, outcome: RemedyOutcome, prescription: TreePrescription, axis: Axis, now: float, y: float,
         layout: Layout) -> float:
    phone = layout == "phone"
    margin = 16.0 if phone else 6.0
    room = (canvas.width - 130 if phone else _BARS - 8) - margin
    name = sentence(remedy_name(outcome.remedy))
    if outcome.verdict == "chosen":
        name = say("remedies.proposed", name=name)
    if outcome.remedy == "nothing":
        under = say("remedies.look_again", month=month_of(prescription.look_again))
    else:
        under = say(f"remedies.verdict.{outcome.verdict.replace(' ', '_')}")
    with canvas.group("remedy", **{"data-remedy": outcome.remedy}):
        lines = wrapped(printable(name), room, 13, 700, most=3)
        foot = canvas.lines(margin, y + 15, lines, 13, weight=700, line_height=1.2)
        canvas.text(margin, foot, fitted(under, room, 12), 12, fill="slate")
        bar = foot + 10 if phone else y + 5
        canvas.rect(axis.at(0), bar, axis.at(now) - axis.at(0), 12, fill="ink", name="now")
        if outcome.gain_points is None:
            canvas.rect(axis.at(now), bar, 60, 12, fill="paper", stroke="ink", weight=1.6, dash=NOT_KNOWN, cap="round",
                        name="unknown")
        elif outcome.remedy != "nothing":
            _gain(canvas, axis, now, outcome.gain_points, bar)
        _numbers(canvas, outcome.gain_points, outcome, y, phone)
    return (bar + 34 if phone else foot + 6)


def _gain(canvas: Canvas, axis: Axis, now: float, gain: Estimate, bar: float) -> None:
    start, end = axis.at(min(now, now + gain.mean)), axis.at(max(now, now + gain.mean))
    remedy_bar(canvas, start, bar, max(end - start, 0.5), 12)
    span(canvas, gain, axis, bar + 20, shift=now, radius=3.8, halo=False, ends=(0.0, 1e9))


def _numbers(canvas: Canvas, gain: Estimate | None, outcome: RemedyOutcome, y: float, phone: bool) -> None:
    """Gain, its interval and the cost, each in its own column."""
    base = outcome.remedy == "nothing"
    value = say("picture.not_known") if gain is None else points(gain.mean)
    interval = "" if gain is None else say("remedies.base") if base else points_interval(gain.low, gain.high)
    if phone:
        canvas.text(344, y + 15, value, 14, weight=700, anchor="end")
        canvas.text(344, y + 31, interval, 12, fill="slate", anchor="end")
        return
    cost = say("remedies.no_price") if outcome.cost is None else f"{outcome.cost:,.0f}"
    canvas.text(_GAIN if gain else _INTERVAL, y + 15, value, 14 if gain else 12, weight=700, anchor="end", name="value")
    canvas.text(_INTERVAL, y + 15, interval, 12, fill="slate", anchor="end")
    canvas.text(674, y + 15, cost, 12, weight=400 if outcome.cost is None else 700, anchor="end")


def _alt(label: str, prescription: TreePrescription) -> str:
    rows = []
    for outcome in prescription.remedies[:6]:
        gain = outcome.gain_points
        value = say("picture.not_known") if gain is None else (
            f"{points(gain.mean)} ({points_interval(gain.low, gain.high)})" if outcome.remedy != "nothing" else "0")
        rows.append(f"{remedy_name(outcome.remedy)} {value}")
    return say("remedies.alt", tree=short(label), rows=", ".join(rows))
