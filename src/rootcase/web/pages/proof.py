"""The place Proof: what the practice's own trials say, who was drawn to stay untreated, and when what is measured."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse

from rootcase.ground.words import say
from rootcase.report.text.naming import month_of
from rootcase.report.text.naming import names as listed
from rootcase.report.text.proof import proof_finding, proof_lines
from rootcase.report.text.signed import pairs_lines, signature, tree_names
from rootcase.services.proof import proofs
from rootcase.services.standing import Standing
from rootcase.web.showing import page
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()


@router.get("/proof")
def proof(request: Request, visitor: Annotated[Visitor, Depends(may("see_trees"))]) -> HTMLResponse:
    desk = desk_of(request)
    grounds = desk.grounds(visitor.practice_id)
    standings = [desk.standing(visitor.practice_id, ground) for ground in grounds.values()]
    labels = {tree.id: tree.label for each in standings for tree in each.record.trees}
    names = {an_id: ground.name for an_id, ground in grounds.items()}
    found = [{"remedy": each.remedy, "finding": proof_finding(each), "lines": list(proof_lines(each, names, labels))}
             for each in proofs(desk.book(visitor.practice_id), grounds)]
    return page(request, "proof.html", visitor, place="proof", proofs=found,
                trials=[trial for each in standings for trial in _trials(each)])


def _trials(standing: Standing) -> list[dict[str, Any]]:
    """Each thing in doubt with its pairs, and the looks that are booked for their trees."""
    plan = standing.signed
    if plan is None:
        return []
    labels = tree_names(standing.record, plan)
    looks = {tree.tree_id: tree.look_again for tree in plan.signing.plan.trees}
    found = []
    for arms in (arms for arms in plan.signing.arms if arms.pairs):
        doubt, *lines = pairs_lines(arms, labels)
        months: dict[str, list[str]] = {}
        for tree_id in sorted((tree for pair in arms.pairs for tree in (pair.treated, pair.untreated)),
                              key=lambda tree: (looks[tree], labels[tree])):
            months.setdefault(month_of(looks[tree_id]), []).append(labels[tree_id])
        found.append({"ground": standing.ground, "doubt": doubt, "lines": lines, "signed": signature(plan), "looks": [
            say("plans.measured", month=month, trees=listed(trees)) for month, trees in months.items()]})
    return found
