"""What takes the growth of a tree, in one sentence that never says more than the finding about the tree does."""

from __future__ import annotations

from rootcase.ground.words import say
from rootcase.records.explain import Explanation, LimitShare
from rootcase.report.text.cases import TreeCase
from rootcase.report.text.causes import WORTH_SAYING, Cause, larger_on_the_mean, main_cause, surely_takes
from rootcase.report.text.figures import sentence
from rootcase.report.text.naming import limit_name
from rootcase.report.text.one_tree import headline
from rootcase.report.text.shares import at_most, between, plain

_LIKE_ITS_KIND, _MORE = 0.9, 1.25


def finding(case: TreeCase) -> str:
    """Return the waterfall's one point; "we cannot tell" is one too.

    The cause is the one the finding about the tree names. Only of a tree that is behind is it said that something takes
    growth, and that it takes so much only where it was read and its interval is clear of nothing.
    """
    explanation, label = case.explanation, sentence(case.tree.label)
    assert explanation is not None
    if case.share is None:
        expected = explanation.predicted_share
        return say("waterfall.finding_unread", tree=label, interval=between(expected.low, expected.high))
    if not case.behind:
        return _as_its_kind(case, explanation, label)
    cause = main_cause(explanation)
    if cause.word == "not known":
        return _unknown(cause, explanation)
    return _outside(explanation) if cause.name == "other" else _takes(cause, explanation)


def limit_takes(step: LimitShare) -> str:
    """Return what one limit takes, with its interval."""
    words = {"limit": sentence(limit_name(step.limit)), "fraction": plain(step.points.mean / 100)}
    low, high = step.points.low / 100, step.points.high / 100
    if not step.rests_on:
        return say("waterfall.takes_unread", **words, interval=between(max(low, 0.0), high))
    if not surely_takes(step):
        return say("waterfall.finding_may", **words, most=at_most(high))
    return say("waterfall.finding_one", **words, interval=between(low, high))


def _as_its_kind(case: TreeCase, explanation: Explanation, label: str) -> str:
    gain = min(explanation.limits, key=lambda step: step.points.mean)
    gives = gain.points.mean <= -WORTH_SAYING
    if case.share and gives and case.share.mean >= _LIKE_ITS_KIND:
        form = "more" if case.share.mean >= _MORE else "gives"
        return say(f"waterfall.finding_{form}", tree=label, gain=say(f"waterfall.gain_short.{gain.limit}"))
    if not _losses(explanation):
        return say("waterfall.finding_none")
    return headline(case)[0]


def _unknown(cause: Cause, explanation: Explanation) -> str:
    step = next((each for each in explanation.limits if each.limit == cause.name), None)
    return say("waterfall.finding_unknown_unread" if step and not step.rests_on else "waterfall.finding_unknown",
               cause=say(f"report.cause.name.{cause.name}"))


def _outside(explanation: Explanation) -> str:
    rest = explanation.unexplained_points
    if rest and rest.low >= WORTH_SAYING:
        return say("waterfall.finding_other", fraction=plain(rest.mean / 100))
    return say("waterfall.finding_other_may")


def _takes(cause: Cause, explanation: Explanation) -> str:
    first = next(step for step in explanation.limits if step.limit == cause.name)
    second = next((step for step in _losses(explanation) if step is not first), None)
    if second and surely_takes(first) and surely_takes(second) and second.points.mean >= 2 * WORTH_SAYING:
        key = "finding_two_larger" if larger_on_the_mean(explanation, cause) else "finding_two"
        return say(f"waterfall.{key}", limit=sentence(limit_name(first.limit)),
                   fraction=plain(first.points.mean / 100), second=say(f"waterfall.short.{second.limit}"),
                   second_fraction=plain(second.points.mean / 100))
    return limit_takes(first)


def _losses(explanation: Explanation) -> list[LimitShare]:
    return sorted((step for step in explanation.limits if step.points.mean >= WORTH_SAYING
                   and not step.same_as_yardstick), key=lambda step: -step.points.mean)
