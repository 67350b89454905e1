"""Signing: the paper before it is signed, the signature, what stands signed and what has changed under it."""

from __future__ import annotations

from collections.abc import Mapping
from secrets import randbelow
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Request
from fastapi.responses import RedirectResponse, Response

from rootcase.ground.errors import RootcaseError
from rootcase.ground.words import say
from rootcase.records.offer import SignedPlan, Signing
from rootcase.records.prescribe import TreePrescription
from rootcase.records.report import Casework
from rootcase.report.text.figures import money, sentence
from rootcase.report.text.naming import remedy_name
from rootcase.report.text.plan import to_insist_on
from rootcase.report.text.signed import change_lines, mark_shown, revised_lines, signature, tree_names
from rootcase.report.text.signed_paper import signed_paper, with_power
from rootcase.services.sign import Signed, Wanted
from rootcase.services.trial_power import trials_ahead
from rootcase.web import plan_work
from rootcase.web.desk import Desk
from rootcase.web.showing import page
from rootcase.web.typed import Typed
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
Signer = Annotated[Visitor, Depends(may("sign_plans"))]
Reader = Annotated[Visitor, Depends(may("see_plans"))]
AT = "/properties/{property_id}"
MOST_LOT = 2**31


@router.get(AT + "/sign")
def look(request: Request, property_id: str, visitor: Signer) -> Response:
    return _paper(request, visitor, property_id, request.query_params, "")


@router.post(AT + "/sign")
def sign(request: Request, property_id: str, visitor: Signer, typed: Typed) -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    wanted = _wanted(typed, visitor, lot=randbelow(MOST_LOT), mark=typed.get("mark", ""))
    if not desk.kept(visitor.practice_id, ground).current:
        return _paper(request, visitor, property_id, typed, say("plans.explain_first"))
    try:
        desk.jobs.call(plan_work.sign, desk.elsewhere(visitor.practice_id), property_id, desk.run(visitor.practice_id),
                       wanted)
    except RootcaseError as error:
        return _paper(request, visitor, property_id, typed, str(error))
    return RedirectResponse(f"/properties/{property_id}/signed", 303)


@router.get(AT + "/signed")
def signed(request: Request, property_id: str, visitor: Reader) -> Response:
    return _signed(request, visitor, property_id, {})


@router.post(AT + "/withdraw")
def withdraw(request: Request, property_id: str, visitor: Signer, typed: Typed) -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    reason = typed.get("reason", "").strip()
    if not reason:
        return _signed(request, visitor, property_id, {"reason": say("plans.why_withdrawn")})
    try:
        desk.book(visitor.practice_id).withdraw_plan(ground.id, by=visitor.code, day=desk.today(visitor.practice_id),
                                                     reason=reason,
                                                     mark=typed.get("mark", ""))
    except RootcaseError as error:
        return _signed(request, visitor, property_id, {"reason": str(error)}, reason)
    return RedirectResponse(f"/properties/{property_id}/signed", 303)


def _paper(request: Request, visitor: Visitor, property_id: str, typed: Mapping[str, str], wrong: str) -> Response:
    """What would be signed, with the choices as they were made."""
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    kept = desk.kept(visitor.practice_id, ground)
    paper, casework = None, kept.casework
    if casework and kept.current and not wrong:
        try:
            paper = _to_sign(desk, visitor, casework, _wanted(typed, visitor))
        except RootcaseError as error:
            wrong = str(error)
    return page(request, "sign.html", visitor, place="plans", status=422 if wrong else 200, ground=ground, kept=kept,
                jobs=desk.jobs.of(desk.tenant(visitor.practice_id), property_id), property_id=property_id, wrong=wrong,
                typed=typed, paper=paper, trees=_choices(casework) if casework else [],
                mark=casework.plan_mark if casework else "")


def _to_sign(desk: Desk, visitor: Visitor, casework: Casework, wanted: Wanted) -> Any:
    ground = casework.record.property
    signing: Signing = desk.jobs.call(plan_work.to_be_signed, desk.elsewhere(visitor.practice_id), ground.id,
                                      desk.run(visitor.practice_id), wanted)
    drawn = [pair for arms in (casework.signed.signing.arms if casework.signed else ()) for pair in arms.pairs]
    paper = signed_paper(SignedPlan("", "", visitor.code, desk.today(visitor.practice_id), signing, "standing"),
                         casework.record, drawn)
    return with_power(paper, trials_ahead(desk.book(visitor.practice_id), casework.record, signing.arms))


def _choices(casework: Casework) -> list[tuple[str, str, list[tuple[str, str]]]]:
    """At each tree every course that may be insisted on; what is advised is said so, and is the empty choice."""
    labels = {tree.id: tree.label for tree in casework.record.trees}
    return [(f"tree-{tree.tree_id}", sentence(labels[tree.tree_id]), _courses(tree, casework.plan.currency))
            for tree in casework.plan.trees]


def _courses(tree: TreePrescription, currency: str) -> list[tuple[str, str]]:
    others = [(each.remedy, say("plans.choice", remedy=sentence(remedy_name(each.remedy)),
                                cost=money(each.cost, currency))) for each in to_insist_on(tree)]
    advised = say("plans.advised", remedy=sentence(remedy_name(tree.chosen or "nothing")))
    return [("", advised if tree.judged else say("plans.not_judged")), *others]


def _wanted(typed: Mapping[str, str], visitor: Visitor, lot: int = 0, mark: str = "") -> Wanted:
    against = tuple(f"{name.removeprefix('tree-')}={course}" for name, course in typed.items()
                    if name.startswith("tree-") and course)
    return Wanted(by=visitor.code, reason=typed.get("reason", ""), against=against,
                  untreated=typed.get("trial", "yes") == "yes",
                  tried=("extract",) if typed.get("extract") == "yes" else (), lot=lot, mark=mark)


def _signed(request: Request, visitor: Visitor, property_id: str, faults: Mapping[str, str],
            reason: str = "") -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    kept = desk.kept(visitor.practice_id, ground)
    found: Signed = kept.form("signed", lambda made: desk.jobs.call(
        plan_work.signed, desk.elsewhere(visitor.practice_id), property_id,
        desk.run(visitor.practice_id))) if kept.current else Signed(
            desk.book(visitor.practice_id).record(property_id),
            desk.book(visitor.practice_id).signed_plans(property_id), None)
    standing = next((each for each in found.plans if each.standing == "standing"), None)
    return page(request, "signed.html", visitor, place="plans", status=422 if faults else 200, ground=ground, kept=kept,
                jobs=desk.jobs.of(desk.tenant(visitor.practice_id), property_id), property_id=property_id,
                faults=faults, reason=reason, standing=standing, signature=signature(standing) if standing else "",
                paper=signed_paper(standing, found.record) if standing else None, changes=_changes(found, standing),
                older=[(mark_shown(each.mark), each) for each in found.plans if each is not standing])


def _changes(found: Signed, standing: SignedPlan | None) -> tuple[list[str], list[str]]:
    """What has changed under the plan that stands, and what each tree would have instead."""
    if found.outdated is None or standing is None:
        return [], []
    return (change_lines(found.record, found.outdated.changes),
            revised_lines(found.record, found.outdated, tree_names(found.record, standing),
                          standing.signing.plan.currency))
