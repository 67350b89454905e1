"""What a client asks of a trial: who went without and why, and what came of it, harm as plainly as good."""

from __future__ import annotations

from collections.abc import Mapping

from rootcase.ground.words import say
from rootcase.records.prove import Proof, PropertyTrial, TreeInTrial
from rootcase.report.text.figures import sentence
from rootcase.report.text.naming import names as listed
from rootcase.report.text.naming import remedy_name
from rootcase.report.text.proof import happened_line, interval, without_line


def tried_lines(proof: Proof, trial: PropertyTrial, labels: Mapping[str, str]) -> list[str]:
    """Return who went without, why, what came of it, and which trees say nothing.

    proof: of this property alone, so that what is believed is the picture's.
    """
    named = {arm: _named([tree for tree in trial.trees if tree.treated is arm], labels) for arm in (True, False)}
    lines = [say("tried.why", remedy=sentence(remedy_name(proof.remedy)))]
    if trial.trees:
        lines.append(say("tried.who", treated=named[True], untreated=named[False]))
    fit = trial.fit
    if fit is None:
        lines.append(say("tried.too_little"))
    else:
        key = "more" if fit.low > 0 else "less" if fit.high < 0 else "not_told"
        lines.append(say(f"tried.{key}", effect=interval(fit.effect, fit.low, fit.high)))
        believed = "more" if proof.low > 0 else "less" if proof.high < 0 else "not_told"
        lines.append(say(f"tried.believed_{believed}", effect=interval(proof.effect, proof.low, proof.high)))
    for one in trial.left_out:
        gone = one.why in ("removed", "dead")
        arm = "treated" if one.treated else "untreated"
        tree, partner = (labels.get(tree_id, tree_id) for tree_id in (one.tree_id, one.partner_id))
        lines.append(say(f"tried.gone_{arm}" if gone else "tried.left_out", tree=sentence(tree), partner=partner,
                         note=one.note or say(f"tried.{one.why}" if gone else "tried.unsaid")))
    lines += [happened_line(one, labels) for one in trial.happened]
    return lines + ([without_line(proof, proof.without)] if proof.without else [])


def _named(trees: list[TreeInTrial], labels: Mapping[str, str]) -> str:
    return listed([labels.get(tree.tree_id, tree.tree_id) for tree in trees])
