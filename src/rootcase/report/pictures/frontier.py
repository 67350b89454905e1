"""What each sum of money buys: the best plan for every budget, and where this one stands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from rootcase.ground.dates import show_date
from rootcase.ground.quantity import number
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord
from rootcase.records.prescribe import FrontierPoint, Plan
from rootcase.report.lettering import Weight, printable, width_px
from rootcase.report.pictures.signs import Axis, Layout, head, short, unknown
from rootcase.report.svg import COMPUTED, Anchor, Canvas, Label, Picture
from rootcase.report.text.figures import money

_WIDTH: dict[Layout, float] = {"wide": 1120.0, "column": 400.0, "phone": 360.0}
_TALL: dict[Layout, float] = {"wide": 380.0, "column": 170.0, "phone": 240.0}
"""In the report the picture stands beside its table."""
_ROOM_RIGHT = 1.06
"""Of the dearest plan: how far the money goes to the right."""
_FAR = 1.5
"""A ceiling so many times the dearest plan is told and not drawn: the picture would be empty. JUDGEMENT."""


@dataclass(slots=True)
class _Sheet:
    """The frame, and what stands in it already, so that a label that finds no room is left to the table."""

    canvas: Canvas
    left: float
    right: float
    top: float
    bottom: float
    across: Axis
    up: Axis
    taken: list[Label] = field(default_factory=list)

    def keep_clear(self, x: float, y: float, half_wide: float, half_tall: float) -> None:
        self.taken.append(Label(x - half_wide, y - half_tall, x + half_wide, y + half_tall, ""))

    def label(self, x: float, y: float, words: str, weight: Weight) -> None:
        """Words above and left of a point, else below and right of it; none where neither has room."""
        words, size = printable(words), 13.0
        length = width_px(words, size, weight)
        places: tuple[tuple[float, float, Anchor], ...] = ((x - 11, y - 9, "end"), (x + 13, y + 19, "start"))
        for at, base, anchor in places:
            left = at - (length if anchor == "end" else 0.0)
            box = Label(left - 2, base - size, left + length + 2, base + 4, words)
            inside = self.left <= box.left and box.right <= self.right and self.top <= box.top
            if inside and box.bottom <= self.bottom - 4 and not any(box.touches(other) for other in self.taken):
                self.canvas.text(at, base, words, size, weight=weight, anchor=anchor, plate=True,
                                 name="label")
                self.taken.append(box)
                return


def draw_frontier(record: PropertyRecord, plan: Plan, layout: Layout = "column") -> Picture:
    """Draw the best gain for every sum of this year's money, the plan's place on it and the client's ceiling."""
    canvas = Canvas(f"frontier-{layout}", _WIDTH[layout])
    margin = {"wide": 32.0, "column": 6.0, "phone": 16.0}[layout]
    top = 12.0
    if layout != "column":
        size, under_size, first = (27.0, 16.0, 46.0) if layout == "wide" else (21.0, 13.0, 34.0)
        top = head(canvas, _finding(plan), _under(record, plan), margin, canvas.width - 2 * margin, size=size,
                   under_size=under_size, top=first) + 8
    left, right = margin + 52, canvas.width - margin - 8
    points = _steps(plan.frontier)
    bottom = top + 30 + _TALL[layout]
    if points:
        dearest = max(points[-1].first_year_cost, plan.first_year_cost)
        near = plan.budget is not None and plan.budget <= _FAR * dearest
        most_money = _ROOM_RIGHT * max(dearest, plan.budget if near and plan.budget else 0.0, 1.0)
        sheet = _Sheet(canvas, left, right, top + 22, bottom, Axis(left, (right - left) / most_money),
                       Axis(bottom, -_TALL[layout] / (1.08 * _most(plan))))
        _grid(sheet, plan, most_money)
        _ceiling(sheet, plan, near, top)
        _stairs(sheet, points, plan)
    else:
        unknown(canvas, left, top, right - left, bottom - top, [say("frontier.nothing")], 14)
    canvas.line(margin, bottom, canvas.width - margin, bottom, weight=4, name="ground-line")
    canvas.text(right, bottom + 42, say("frontier.across", currency=plan.currency), 13, fill="slate", anchor="end")
    y = canvas.paragraph(margin, bottom + 68, _scale(record, plan), canvas.width - 2 * margin, 12, fill="slate")
    return canvas.finish(y, say("frontier.title", property=record.property.name), _alt(record, plan))


def _steps(frontier: Sequence[FrontierPoint]) -> list[FrontierPoint]:
    """The points at which more is gained than by any cheaper one, rising."""
    found: list[FrontierPoint] = []
    for point in sorted(frontier, key=lambda each: (each.first_year_cost, -each.gain_points_m2)):
        if point.treated and point.gain_points_m2 > (found[-1].gain_points_m2 if found else 0.0):
            found.append(point)
    return found


def _most(plan: Plan) -> float:
    return max([plan.gain_points_m2, *(point.gain_points_m2 for point in plan.frontier)], default=0.0) or 1.0


def _grid(sheet: _Sheet, plan: Plan, most_money: float) -> None:
    """Quarters of the most that money buys, and round sums of money."""
    canvas = sheet.canvas
    for quarter in range(5):
        y = sheet.up.at(_most(plan) * quarter / 4)
        if quarter:
            canvas.line(sheet.left, y, sheet.right, y, stroke="hair")
        canvas.text(sheet.left - 8, y + (5 if quarter else -6), f"{25 * quarter} %", 13, fill="slate", anchor="end")
    widest = width_px(f"{most_money:,.0f}", 13) + 16
    room = (sheet.right - sheet.left) / widest
    step = next(s for power in range(13) for s in (10**power, 2 * 10**power, 5 * 10**power)
                if most_money / s <= min(room, 6))
    for i in range(int(most_money / step) + 1):
        x = sheet.across.at(i * step)
        canvas.line(x, sheet.bottom, x, sheet.bottom + 7, stroke="rule", weight=1.2)
        canvas.text(min(x, sheet.right - width_px(f"{i * step:,}", 13) / 2), sheet.bottom + 22, f"{i * step:,}", 13,
                    fill="slate", anchor="middle")


def _ceiling(sheet: _Sheet, plan: Plan, near: bool, top: float) -> None:
    canvas = sheet.canvas
    if plan.budget is None:
        canvas.text(sheet.right, top + 12, say("frontier.no_ceiling"), 13, fill="slate", anchor="end")
        return
    words = say("frontier.ceiling" if near else "frontier.far_ceiling", sum=money(plan.budget, plan.currency))
    if not near:
        canvas.text(sheet.right, top + 12, words, 13, weight=700, anchor="end", name="ceiling-words")
        return
    x = sheet.across.at(plan.budget)
    canvas.line(x, top + 18, x, sheet.bottom, stroke="madder", weight=2.5, name="ceiling")
    sheet.keep_clear(x, (top + sheet.bottom) / 2, 4, sheet.bottom - top)
    half = width_px(words, 13, 700) / 2
    canvas.text(min(max(x, sheet.left + half), sheet.right - half), top + 12, words, 13, weight=700, anchor="middle",
                name="ceiling-words")


def _stairs(sheet: _Sheet, points: Sequence[FrontierPoint], plan: Plan) -> None:
    """The best gain from each sum to the next, a ring where the choice becomes another, the plan cased in ink."""
    canvas = sheet.canvas
    line = [(sheet.across.at(0), sheet.up.at(0))]
    for point in points:
        x = sheet.across.at(point.first_year_cost)
        line += [(x, line[-1][1]), (x, sheet.up.at(point.gain_points_m2))]
    with canvas.group("frontier", **{"data-px-per-money": f"{sheet.across.step:.6g}",
                                     "data-px-per-gain": f"{-sheet.up.step:.6g}"}):
        canvas.shape([*line, (sheet.right, line[-1][1])], stroke="ink", weight=2.2, dash=COMPUTED, name="stairs")
        for x, y in line[2::2]:
            canvas.circle(x, y, 5, fill="paper", stroke="ink", weight=2.5, name="budget")
            sheet.keep_clear(x, y, 6, 6)
    chosen = sheet.across.at(plan.first_year_cost), sheet.up.at(plan.gain_points_m2)
    if plan.items:
        canvas.circle(*chosen, 8, fill="weld", stroke="ink", weight=2.5, name="plan")
        sheet.keep_clear(*chosen, 9, 9)
        sheet.label(*chosen, say("frontier.plan", trees=_planned(plan)), 700)
    for at in _from_the_ends(len(points)):
        x, y = line[2 + 2 * at]
        if abs(x - chosen[0]) + abs(y - chosen[1]) > 1 or not plan.items:
            words = say("frontier.point", trees=_trees(len(points[at].treated)), sum=money(points[at].first_year_cost))
            sheet.label(x, y, words, 400)


def _from_the_ends(count: int) -> list[int]:
    """The last and the first are labelled first, then what lies between."""
    return list(dict.fromkeys([count - 1, 0, *range(count)])) if count else []


def _trees(count: int) -> str:
    return say("frontier.one_tree") if count == 1 else say("frontier.trees", count=f"{count:,}")


def _planned(plan: Plan) -> str:
    return _trees(len({item.tree_id for item in plan.items}))


def _finding(plan: Plan) -> str:
    points = _steps(plan.frontier)
    if not points:
        return say("frontier.finding_nothing")
    if not plan.items:
        return say("frontier.finding_none", least=money(points[0].first_year_cost, plan.currency))
    share = 100 * plan.gain_points_m2 / _most(plan)
    if share >= 99.5:
        return say("frontier.finding_all", sum=money(plan.first_year_cost, plan.currency))
    return say("frontier.finding", sum=money(plan.first_year_cost, plan.currency), share=f"{share:.0f}",
               whole=money(points[-1].first_year_cost, plan.currency))


def _under(record: PropertyRecord, plan: Plan) -> str:
    words = say("frontier.under", property=record.property.name, day=show_date(plan.made_on))
    return words + (" " + say("picture.invented") if record.property.invented else "")


def _scale(record: PropertyRecord, plan: Plan) -> str:
    """What 100 % is, in both systems, and how well each point is known to be the best."""
    most = _most(plan)
    metric, us = (say("frontier.ground", figure=number(amount, 3), unit=unit) for amount, unit in
                  ((most, "m²"), (convert(most, "m2", "ft2"), "ft²")))
    first, second = (us, metric) if record.property.system == "us" else (metric, us)
    words = [say("frontier.scale", first=first, second=second)] if plan.frontier else []
    if plan.items and plan.frontier:
        words.append(say("frontier.key", trees=_planned(plan)))
    gaps = [point.best_bound / point.gain_points_m2 - 1 for point in plan.frontier if point.gain_points_m2 > 0]
    if gaps:
        words.append(say("frontier.gap", gap=number(max(100 * max(gaps), 0.01), 1)))
    return " ".join(words)


def _alt(record: PropertyRecord, plan: Plan) -> str:
    points = _steps(plan.frontier)
    words = [f"{say('frontier.title', property=short(record.property.name))}.", _finding(plan)]
    shown = [points[at] for at in sorted(_from_the_ends(len(points))[:4])]
    rows = [say("frontier.alt_point", sum=money(point.first_year_cost), trees=_trees(len(point.treated)),
                share=f"{100 * point.gain_points_m2 / _most(plan):.0f}") for point in shown]
    if rows:
        words.append(say("frontier.alt_points", rows="; ".join(rows)))
    words.append(say("frontier.no_ceiling") + "." if plan.budget is None else
                 say("frontier.alt_ceiling", sum=money(plan.budget, plan.currency)))
    return " ".join(words)
