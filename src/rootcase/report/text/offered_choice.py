"""What an offer, an answer and a what-if say of a choice against the advice, and of what has changed since signing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord
from rootcase.records.offer import Change, SignedPlan
from rootcase.records.outlook import NOTHING
from rootcase.records.prescribe import WISHED, RemedyOutcome, TreePrescription
from rootcase.report.text.figures import change, money, sentence
from rootcase.report.text.naming import remedy_name
from rootcase.report.text.signed import change_lines

_MOST_CHANGES = 4
_READ = ("reading", "wish")


def since_signing(record: PropertyRecord, changes: Sequence[Change]) -> str:
    """Return what has been read or has changed since a plan was signed; empty where nothing has."""
    if not changes:
        return ""
    lines = change_lines(record, changes)
    more = len(lines) - _MOST_CHANGES
    shown = lines[:_MOST_CHANGES] + ([say("offer.more_changes", count=more)] if more > 0 else [])
    form = "read" if all(each.kind in _READ for each in changes) else "changed"
    return say(f"offer.since.{form}", changes=" ".join(shown))


def chosen_against(signed: SignedPlan | None, labels: Mapping[str, str], currency: str) -> list[str]:
    """Return each choice of a signed plan against the advice: what, why, what is known of it, whose wish it crosses."""
    if signed is None or not signed.signing.against:
        return []
    signing = signed.signing
    trees = {tree.tree_id: tree for tree in signing.plan.trees}
    found = []
    for each in signing.against:
        head = say("offer.against.is", tree=sentence(labels.get(each.tree_id, each.tree_id)), taken=_named(each.taken),
                   advised=_named(each.advised), reason=signing.reason)
        outcome = _outcome(trees.get(each.tree_id), each.taken)
        gain = ""
        if outcome is not None and outcome.gain_points is not None and each.taken != NOTHING:
            mean, interval = change(outcome.gain_points)
            gain = say("offer.against.gain", gain=mean, interval=interval, cost=money(outcome.cost, currency))
        found.append(" ".join(filter(None, (head, gain, *known_of(trees.get(each.tree_id), each.taken)))))
    return found


def known_of(tree: TreePrescription | None, code: str) -> Iterable[str]:
    """Return the evidence of a course at a tree, and the client's own wish against it."""
    outcome = _outcome(tree, code)
    if outcome is None or code == NOTHING:
        return
    yield say(f"report.evidence.{outcome.evidence.replace(' ', '_')}")
    if outcome.reason in WISHED:
        yield say("offer.against.own_wish", wish=say(f"prescribe.reason.{outcome.reason}"))


def _outcome(tree: TreePrescription | None, code: str) -> RemedyOutcome | None:
    return next((outcome for outcome in tree.remedies if outcome.remedy == code), None) if tree else None


def _named(code: str) -> str:
    return say("sign.leave_alone") if code == NOTHING else remedy_name(code)
