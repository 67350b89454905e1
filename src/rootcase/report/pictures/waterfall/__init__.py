"""The waterfall: from the yardstick's 100 down to the tree as measured, one step for each limit."""

from __future__ import annotations

from rootcase.ground.words import say
from rootcase.records.compare import TreeComparison
from rootcase.records.explain import Explanation
from rootcase.records.observe import PropertyRecord
from rootcase.report.pictures.signs import Layout, head, in_both, short
from rootcase.report.pictures.waterfall.rows import COLUMN, PHONE, draw_phone_key, draw_rows
from rootcase.report.pictures.waterfall.steps import Step, in_order, steps_of
from rootcase.report.pictures.waterfall.wide import WIDTH, draw_columns
from rootcase.report.svg import Canvas, Picture
from rootcase.report.text.figures import sentence
from rootcase.report.text.naming import limit_name
from rootcase.report.text.shares import plain

_WORTH_SAYING = 5.0
"""Points from which a limit stands in the finding. JUDGEMENT."""
_LIKE_ITS_KIND, _MORE = 0.9, 1.25
_SURE = 2.0
"""A loss whose nine in ten begin below this many points only "may" take. JUDGEMENT."""


def draw_waterfall(record: PropertyRecord, tree_id: str, comparison: TreeComparison, explanation: Explanation,
                   layout: Layout = "wide") -> Picture:
    """Draw which of six limits takes most of the growth of a tree, and what the soil leaves unexplained."""
    label = next(tree.label for tree in record.trees if tree.id == tree_id)
    steps = steps_of(record, comparison, explanation)
    title, alt = say("waterfall.title", tree=label), _alt(short(label), steps)
    under = _under(record, label, comparison, explanation)
    if layout == "wide":
        canvas = Canvas("waterfall-wide", WIDTH)
        top = head(canvas, _finding(label, explanation), under, 32, WIDTH - 64) + 22
        return canvas.finish(draw_columns(canvas, steps, top), title, alt)
    if layout == "column":
        canvas = Canvas("waterfall-column", COLUMN.width)
        return canvas.finish(draw_rows(canvas, steps, COLUMN, 2) + 2, title, alt)
    canvas = Canvas("waterfall-phone", PHONE.width)
    top = head(canvas, _finding(label, explanation), under, 16, 328, size=21, under_size=13, top=34)
    return canvas.finish(draw_phone_key(canvas, draw_rows(canvas, steps, PHONE, top + 12) + 6), title, alt)


def _finding(label: str, explanation: Explanation) -> str:
    """The picture's one point as a sentence; "we cannot tell" is one too."""
    limits = in_order(explanation.limits)
    losses = [x for x in limits if x.points.mean >= _WORTH_SAYING and not x.same_as_yardstick]
    gains = [x for x in limits if x.points.mean <= -_WORTH_SAYING]
    share = explanation.observed_share or explanation.predicted_share
    named = sentence(label)
    rest = explanation.unexplained_points
    if gains and share.mean >= _MORE:
        return say("waterfall.finding_more", tree=named, gain=say(f"waterfall.gain_short.{gains[-1].limit}"))
    if gains and share.mean >= _LIKE_ITS_KIND:
        return say("waterfall.finding_gives", tree=named, gain=say(f"waterfall.gain_short.{gains[-1].limit}"))
    if rest and rest.mean > max([15.0, *(x.points.mean for x in losses)]):
        return say("waterfall.finding_other", fraction=plain(rest.mean / 100))
    if not losses:
        return say("waterfall.finding_none")
    first = losses[0]
    words = {"limit": sentence(limit_name(first.limit)), "fraction": plain(first.points.mean / 100)}
    if first.points.low < _SURE or not first.rests_on:
        return say("waterfall.finding_may", **words)
    if len(losses) > 1 and losses[1].points.mean >= 2 * _WORTH_SAYING:
        return say("waterfall.finding_two", **words, second=say(f"waterfall.short.{losses[1].limit}"),
                   second_fraction=plain(losses[1].points.mean / 100))
    return say("waterfall.finding_one", **words)


def _under(record: PropertyRecord, label: str, comparison: TreeComparison, explanation: Explanation) -> str:
    years = explanation.growth_years
    parts = [say("waterfall.under", tree=sentence(label), first=min(years), last=max(years))]
    if comparison.yardstick_typical_mm:
        typical = in_both(comparison.yardstick_typical_mm.mean, "mm", record.property.system, "in", "cm")
        parts.append(say("waterfall.under_typical", typical=typical))
    if record.property.invented:
        parts.append(say("picture.invented"))
    return " ".join(parts)


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
