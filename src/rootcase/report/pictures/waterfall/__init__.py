"""The waterfall: from the yardstick's 100 down to the tree as measured, one step for each limit."""

from __future__ import annotations

from rootcase.ground.words import say
from rootcase.records.compare import TreeComparison
from rootcase.records.explain import Explanation
from rootcase.records.observe import PropertyRecord
from rootcase.report.pictures.signs import Layout, head, in_both, short
from rootcase.report.pictures.waterfall.rows import COLUMN, PHONE, draw_phone_key, draw_rows
from rootcase.report.pictures.waterfall.steps import Step, steps_of
from rootcase.report.pictures.waterfall.wide import WIDTH, draw_columns
from rootcase.report.svg import Canvas, Picture
from rootcase.report.text.cases import TreeCase
from rootcase.report.text.figures import sentence
from rootcase.report.text.takes import finding


def draw_waterfall(record: PropertyRecord, tree_id: str, comparison: TreeComparison, explanation: Explanation,
                   layout: Layout = "wide") -> Picture:
    """Draw which of six limits takes most of the growth of a tree, and what the soil leaves unexplained."""
    tree = next(tree for tree in record.trees if tree.id == tree_id)
    label, said = tree.label, finding(TreeCase(tree, comparison, explanation, None))
    steps = steps_of(record, comparison, explanation)
    title, alt = say("waterfall.title", tree=label), _alt(short(label), steps)
    under = _under(record, label, comparison, explanation)
    if layout == "wide":
        canvas = Canvas("waterfall-wide", WIDTH)
        top = head(canvas, said, under, 32, WIDTH - 64) + 22
        return canvas.finish(draw_columns(canvas, steps, top), title, alt)
    if layout == "column":
        canvas = Canvas("waterfall-column", COLUMN.width)
        return canvas.finish(draw_rows(canvas, steps, COLUMN, 2) + 2, title, alt)
    canvas = Canvas("waterfall-phone", PHONE.width)
    top = head(canvas, said, under, 16, 328, size=21, under_size=13, top=34)
    return canvas.finish(draw_phone_key(canvas, draw_rows(canvas, steps, PHONE, top + 12) + 6), title, alt)


def _under(record: PropertyRecord, label: str, comparison: TreeComparison, explanation: Explanation) -> str:
    years = explanation.growth_years
    parts = [say("waterfall.under", tree=sentence(label), first=min(years), last=max(years))]
    if comparison.yardstick_typical_mm:
        typical = in_both(comparison.yardstick_typical_mm.mean, "mm", record.property.system, "in", "cm")
        read = [year.year for year in comparison.years if year.yardstick_mm]
        form = "under_typical" if len(read) > 1 else "under_typical_one"
        parts.append(say(f"waterfall.{form}", typical=typical, first=min(read), last=max(read)) if read else "")
    if record.property.invented:
        parts.append(say("picture.invented"))
    return " ".join(filter(None, parts))


def _alt(label: str, steps: tuple[Step, ...]) -> str:
    changes = [say("waterfall.alt_step", name=s.name[:1].lower() + s.name[1:], value=s.value, interval=s.interval)
               for s in steps if s.kind in ("loss", "gain")]
    same = [s.name[:1].lower() + s.name[1:] for s in steps if s.kind == "same"]
    ends = [say("waterfall.alt_end", name=s.name[:1].lower() + s.name[1:], value=s.value, interval=s.interval)
            if s.interval else f"{s.name[:1].lower() + s.name[1:]} {s.value}"
            for s in steps if s.kind in ("predicted", "remainder", "measured")]
    words = [say("waterfall.alt", tree=label, changes=", ".join(changes) or say("waterfall.none"))]
    if same:
        words.append(say("waterfall.alt_same", names=", ".join(same)))
    return " ".join([*words, say("waterfall.alt_ends", ends=", ".join(ends))])
