"""The place Proof: what the practice's own trials say, who was drawn to stay untreated, and when what is measured."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse
from markupsafe import Markup

from rootcase.ground.quantity import System
from rootcase.ground.words import say
from rootcase.records.observe import Property
from rootcase.records.prove import Proof
from rootcase.report.pictures import draw_proof
from rootcase.report.pictures.signs import Layout
from rootcase.report.text.naming import month_of
from rootcase.report.text.naming import names as listed
from rootcase.report.text.proof import left_alone_line, proof_finding, proof_lines, proof_rows
from rootcase.report.text.signed import pairs_lines, signature, tree_names
from rootcase.services.proof import left_alone_at, proofs
from rootcase.services.standing import Standing
from rootcase.web.picture import both
from rootcase.web.showing import page
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
_LAYOUTS: tuple[Layout, ...] = ("wide", "phone")


@router.get("/proof")
def proof(request: Request, visitor: Annotated[Visitor, Depends(may("see_trees"))], at: str = "") -> HTMLResponse:
    """at: id of the property whose trees the pictures show; else the one with most pairs of each thing in doubt."""
    desk = desk_of(request)
    grounds = desk.grounds(visitor.practice_id)
    standings = [desk.standing(visitor.practice_id, ground) for ground in grounds.values()]
    labels = {tree.id: tree.label for each in standings for tree in each.record.trees}
    names = {an_id: ground.name for an_id, ground in grounds.items()}
    found = [{"remedy": each.remedy, "finding": proof_finding(each), "lines": list(proof_lines(each, names, labels)),
              "picture": _picture(each, grounds, at, visitor.system), "rows": proof_rows(each, names)}
             for each in proofs(desk.book(visitor.practice_id), grounds)]
    return page(request, "proof.html", visitor, place="proof", proofs=found, at=at,
                alone=[left_alone_line(each, names) for each in left_alone_at(desk.book(visitor.practice_id), grounds)],
                trials=[trial for each in standings for trial in _trials(each)])


def _picture(proof: Proof, grounds: Mapping[str, Property], at: str, system: System) -> Markup | None:
    """Of one thing in doubt; None while its trees were not read again."""
    if not proof.look:
        return None
    here = max(proof.properties, key=lambda each: (each.property_id == at, each.pairs)).property_id
    names = {an_id: ground.name for an_id, ground in grounds.items()}
    wide, phone = (draw_proof(proof, names, here, system, invented=any(
        grounds[each.property_id].invented for each in proof.properties), layout=layout) for layout in _LAYOUTS)
    return both(wide, phone, proof.remedy)


def _trials(standing: Standing) -> list[dict[str, Any]]:
    """Each thing in doubt with its pairs, and the looks that are booked for their trees."""
    plan = standing.signed
    if plan is None:
        return []
    labels = tree_names(standing.record, plan)
    looks = {tree.tree_id: tree.look_again for tree in plan.signing.plan.trees}
    order = {tree.id: at for at, tree in enumerate(standing.record.trees)}
    found = []
    for arms in (arms for arms in plan.signing.arms if arms.pairs):
        doubt, *lines = pairs_lines(arms, labels)
        months: dict[str, list[str]] = {}
        for tree_id in sorted((tree for pair in arms.pairs for tree in (pair.treated, pair.untreated)),
                              key=lambda tree: (looks[tree], order.get(tree, 0))):
            months.setdefault(month_of(looks[tree_id]), []).append(labels[tree_id])
        found.append({"ground": standing.ground, "doubt": doubt, "lines": lines, "signed": signature(plan), "looks": [
            say("plans.measured", month=month, trees=listed(trees)) for month, trees in months.items()]})
    return found
