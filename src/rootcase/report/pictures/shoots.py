"""The shoots: every shoot that was read, year by year, before the band of the yardstick's."""

from __future__ import annotations

from rootcase.ground.dates import show_date
from rootcase.ground.quantity import number
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.compare import ShootYear, TreeComparison
from rootcase.records.observe import PropertyRecord
from rootcase.report.lettering import fitted, printable
from rootcase.report.pictures import shoots_phone
from rootcase.report.pictures.signs import Axis, Layout, both, head, short, unknown
from rootcase.report.svg import NOT_KNOWN, Canvas, Picture, show
from rootcase.report.text.figures import sentence
from rootcase.report.text.shares import plain

_WIDTH, _MARGIN, _TALL, _LEFT, _RIGHT = 1120.0, 32.0, 428.0, 92.0, 1010.0
_WORTH_SAYING = 0.9


def draw_shoots(record: PropertyRecord, tree_id: str, comparison: TreeComparison, layout: Layout = "wide") -> Picture:
    """Draw each shoot of a tree at its length, year by year, and the yardstick of the same year behind it."""
    label = next(tree.label for tree in record.trees if tree.id == tree_id)
    system = record.property.system
    years = sorted(comparison.years, key=lambda y: y.year)
    title, alt = say("shoots.title", tree=label), _alt(short(label), years, record)
    if layout == "phone":
        canvas = Canvas("shoots-phone", shoots_phone.WIDTH)
        top = head(canvas, _finding(label, comparison), _under(record, tree_id), 16, 328, size=21, under_size=13,
                   top=34)
        return canvas.finish(shoots_phone.draw_rows(canvas, years, top + 12, _highest(years), system), title, alt)
    width = _WIDTH if layout == "wide" else 680.0
    canvas = Canvas(f"shoots-{layout}", width)
    top = 26.0
    if layout == "wide":
        top = head(canvas, _finding(label, comparison), _under(record, tree_id), _MARGIN, _WIDTH - 2 * _MARGIN) + 14
    left, right = (_LEFT, _RIGHT) if layout == "wide" else (74.0, 606.0)
    tall = _TALL if layout == "wide" else 200.0
    bottom = top + tall
    axis = Axis(bottom, -tall / _highest(years))
    if years:
        _grid(canvas, axis, left, right, _highest(years), system == "us")
        with canvas.group("years", **{"data-px-per-mm": f"{tall / _highest(years):.5f}"}):
            for i, year in enumerate(years):
                step = (right - left) / len(years)
                _year(canvas, year, axis, left + i * step + 0.07 * step, left + (i + 1) * step - 0.07 * step, record)
    else:
        unknown(canvas, left, top, right - left, tall, [say("picture.not_known"), say("shoots.none_read")], 14)
    canvas.line(left, bottom, right, bottom, weight=4, name="ground-line")
    foot = _key(canvas, bottom + 62, layout)
    return canvas.finish(foot, title, alt)


def _highest(years: list[ShootYear]) -> float:
    ends = [e.high for y in years if (e := y.yardstick_shoots_mm)] + [v for y in years for v in y.lengths_mm]
    return 1.04 * max(ends, default=100.0)


def _grid(canvas: Canvas, axis: Axis, left: float, right: float, highest: float, us_first: bool) -> None:
    """Both units on one zero: the reader's at the left with gridlines, the other at the right."""
    for unit, own in (("in", us_first), ("cm", not us_first)):
        top = convert(highest, "mm", unit)
        step = next(s for k in range(6) for s in (10**k, 2 * 10**k, 5 * 10**k) if top / s <= 5)
        for i in range(int(top / step) + 1):
            y = axis.at(convert(i * step, unit, "mm"))
            words = f"{i * step:,} {unit}" if i else "0"
            if own and i:
                canvas.line(left, y, right, y, stroke="hair")
            if own:
                canvas.text(left - 10, y + 5, words, 13, fill="slate", anchor="end")
            else:
                canvas.text(right + 10, y + 5, words, 13, fill="slate")


def _year(canvas: Canvas, year: ShootYear, axis: Axis, left: float, right: float, record: PropertyRecord) -> None:
    with canvas.group("year", **{"data-year": str(year.year)}):
        _band(canvas, year, axis, left, right)
        count = len(year.lengths_mm) + year.not_read
        for k, length_mm in enumerate(sorted(year.lengths_mm, reverse=True)):
            _shoot(canvas, left + (k + 0.5) * (right - left) / max(count, 1), axis, length_mm)
        for k in range(len(year.lengths_mm), count):
            x = left + (k + 0.5) * (right - left) / count
            canvas.line(x, axis.at(0), x, axis.at(0) - 60, weight=2, dash=NOT_KNOWN, cap="round", name="not-read")
        if year.not_read:
            words = say("shoots.not_read", count=year.not_read)
            canvas.text(right, axis.at(0) - 70, words, 12, weight=700, anchor="end", plate=True)
        centre, unit = (left + right) / 2, "in" if record.property.system == "us" else "cm"
        canvas.text(centre, axis.at(0) + 24, str(year.year), 15, weight=700, anchor="middle")
        values = [number(convert(e.median, "mm", unit)) if e else say("picture.not_known")
                  for e in (year.tree_mm, year.yardstick_mm)]
        words = say("shoots.of", here=values[0], there=values[1], unit=unit)
        canvas.text(centre, axis.at(0) + 46, fitted(words, (right - left) * 1.12, 15 if right - left > 120 else 12),
                    15 if right - left > 120 else 12, fill="slate", anchor="middle")


def _band(canvas: Canvas, year: ShootYear, axis: Axis, left: float, right: float) -> None:
    """The yardstick of the year: nine in ten of its shoots, half of them, its mean, and the means of its trees."""
    shoots, mean = year.yardstick_shoots_mm, year.yardstick_mm
    if shoots:
        for low, high, fill, opacity, name in ((shoots.low, shoots.high, "forest_tint", 1.0, "nine-in-ten"),
                                               (shoots.inner_low, shoots.inner_high, "forest_middle", 0.75, "half")):
            canvas.rect(left, axis.at(high), right - left, axis.at(low) - axis.at(high), fill=fill, opacity=opacity,
                        name=name)
    if mean:
        canvas.line(left, axis.at(mean.median), right, axis.at(mean.median), stroke="forest", weight=3.5,
                    name="yardstick-mean")
    for tree_mm in year.yardstick_tree_means_mm:
        canvas.line(right - 10, axis.at(tree_mm), right, axis.at(tree_mm), weight=2, name="yardstick-tree")


def _shoot(canvas: Canvas, x: float, axis: Axis, length_mm: float) -> None:
    """One shoot with its ring of bud scars at the foot and its bud at the tip."""
    tip = axis.at(length_mm)
    canvas.line(x, axis.at(0), x, tip, stroke="paper", weight=6, name="halo")
    canvas.line(x, axis.at(0), x, tip, weight=3.4, name="shoot")
    canvas.path(f"M{show(x - 3)} {show(min(tip + 6, axis.at(0)))}q3 -11 6 0z", fill="ink", name="bud")
    canvas.line(x - 4.5, axis.at(0) - 3, x + 4.5, axis.at(0) - 3, weight=1.5)


def _key(canvas: Canvas, y: float, layout: Layout) -> float:
    margin = _MARGIN if layout == "wide" else 6.0
    canvas.line(margin, y, canvas.width - margin, y, stroke="hair")
    x, y = margin, y + 28
    gap, size = (22.0, 13.0) if layout == "wide" else (12.0, 11.0)
    canvas.line(x + 4, y + 3, x + 4, y - 13, weight=4)
    x = canvas.text(x + 14, y, say("shoots.key_one"), size, fill="slate") + gap
    canvas.line(x, y - 4, x + 26, y - 4, stroke="forest", weight=3.5)
    x = canvas.text(x + 33, y, say("shoots.key_mean"), size, fill="slate") + gap
    for fill, opacity, key in (("forest_middle", 0.75, "half"), ("forest_tint", 1.0, "nine")):
        canvas.rect(x, y - 13, 26, 16, fill=fill, opacity=opacity)
        x = canvas.text(x + 33, y, say(f"shoots.key_{key}"), size, fill="slate") + gap
    for k in range(3):
        canvas.line(x, y - 10 + 5 * k, x + 10, y - 10 + 5 * k, weight=2)
    canvas.text(x + 17, y, say("shoots.key_tree"), size, fill="slate")
    return y + 16


def _finding(label: str, comparison: TreeComparison) -> str:
    named = sentence(label)
    if comparison.share is None or not comparison.years:
        return say("shoots.finding_unknown", tree=named)
    less = [y for y in comparison.years if y.tree_mm and y.yardstick_mm and y.tree_mm.mean < y.yardstick_mm.mean]
    if comparison.share.mean >= _WORTH_SAYING:
        return say("shoots.finding_same", tree=named)
    key = "finding_every" if len(less) == len(comparison.years) > 1 else "finding"
    return say(f"shoots.{key}", tree=named, years=len(comparison.years), fraction=plain(comparison.share.mean))


def _under(record: PropertyRecord, tree_id: str) -> str:
    days = [r.day for r in record.of(tree_id, kind="shoot_length_by_year")]
    words = say("shoots.under", day=show_date(max(days))) if days else say("shoots.under_none")
    return words + (" " + say("picture.invented") if record.property.invented else "")


def _alt(label: str, years: list[ShootYear], record: PropertyRecord) -> str:
    if not years:
        return say("shoots.alt_none", tree=label)
    rows = []
    for year in years:
        here, there = (both(e.median if e else None, "mm", record.property.system, "in", "cm")[0]
                       for e in (year.tree_mm, year.yardstick_mm))
        rows.append(say("shoots.alt_year", year=year.year, here=here, there=there))
    missing = sum(y.not_read for y in years)
    return say("shoots.alt", tree=printable(label), rows=", ".join(rows), missing=missing)
