"""An offer tree by tree, a line each: what is done, why and how sure that is, where it stands in five years."""

from __future__ import annotations

from rootcase.ground.words import say
from rootcase.records.estimate import Estimate
from rootcase.records.explain import Explanation
from rootcase.records.prescribe import NOT_JUDGED, TreePrescription
from rootcase.report.text.causes import larger_sentence, main_cause
from rootcase.report.text.figures import known, percent, sentence
from rootcase.report.text.naming import names, remedy_name
from rootcase.report.text.offer import Shown
from rootcase.report.text.signs import odds

_TOLD_TOGETHER = {"like_its_kind": "alike", NOT_JUDGED: "not_judged"}
"""Reasons that are the same for every tree at which nothing is done for them."""


def tree_lines(shown: Shown) -> list[str]:
    """Return a line for each tree, those that are worked at first; trees that grow well or were not read in one."""
    explained = {each.tree_id: each for each in shown.explanations}
    done = {item.tree_id: item.remedy for item in shown.done.items}
    lot = {pair.untreated for arms in shown.arms if not arms.apart for pair in arms.pairs}
    working, alone = [], []
    together: dict[str, list[str]] = {}
    for tree in shown.plan.trees:
        if tree.tree_id in done:
            working.append(_worked_at(tree, done[tree.tree_id], explained.get(tree.tree_id), shown))
        elif tree.reason in _TOLD_TOGETHER and tree.tree_id not in lot:
            together.setdefault(tree.reason, []).append(shown.labels[tree.tree_id])
        else:
            alone.append(_left_alone(tree, explained.get(tree.tree_id), shown, by_lot=tree.tree_id in lot))
    return [*working, *alone, *(say(f"offer.tree.{_TOLD_TOGETHER[reason]}", trees=names(labels),
                                    why=say(f"prescribe.verdict.{reason}")) for reason, labels in together.items())]


def _worked_at(tree: TreePrescription, course: str, explained: Explanation | None, shown: Shown) -> str:
    words = {"tree": sentence(shown.labels[tree.tree_id]), "what": remedy_name(course)}
    since = f"offer.tree.since_{tree.reason}"
    head = say("offer.tree.done_since", why=say(since), **words) if course == tree.chosen and known(since) else say(
        "offer.tree.done", **words)
    ahead = ""
    if course == tree.chosen and tree.share_if_chosen and tree.share_if_nothing:
        ahead = say("offer.tree.then", then=_share(tree.share_if_chosen[-1]), alone=_share(tree.share_if_nothing[-1]))
    return " ".join(filter(None, (head, _why(explained), ahead or _ahead_alone(tree))))


def _left_alone(tree: TreePrescription, explained: Explanation | None, shown: Shown, *, by_lot: bool) -> str:
    head = say("offer.tree.by_lot" if by_lot else "offer.tree.alone", tree=sentence(shown.labels[tree.tree_id]))
    reason = say(f"prescribe.verdict.{tree.reason}") if tree.reason and not by_lot else ""
    return " ".join(filter(None, (head, reason, _why(explained), _ahead_alone(tree))))


def _why(explained: Explanation | None) -> str:
    """What holds the tree back and how sure that is; empty where it was not reckoned."""
    if explained is None or explained.observed_share is None:
        return ""
    cause = main_cause(explained)
    if cause.word == "not known":
        return say("report.cause.not_known")
    why = say("offer.tree.why", cause=sentence(say(f"report.cause.name.{cause.name}")),
              word=say(f"signs.word.{cause.word}"), odds=odds(cause.chance))
    return f"{why} {larger_sentence(explained, cause)}".strip()


def _ahead_alone(tree: TreePrescription) -> str:
    return say("offer.tree.then_alone", alone=_share(tree.share_if_nothing[-1])) if tree.share_if_nothing else ""


def _share(share: Estimate) -> str:
    return say("offer.tree.share", share=(told := percent(share))[0], interval=told[1])
