"""Next year's effect of a remedy in doubt: before and after its trials, what that moves in the plans, the signature."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import RedirectResponse, Response

from rootcase.ground.errors import Missing, RootcaseError
from rootcase.ground.words import say
from rootcase.report.text.feed import after_lines, before_line, moved_lines, standing_line
from rootcase.report.text.figures import sentence
from rootcase.report.text.naming import remedy_name
from rootcase.report.text.proof import proof_finding
from rootcase.services.feed import Fed, feed, sign_effect
from rootcase.web import plan_work
from rootcase.web.refusals import NotThere
from rootcase.web.showing import page
from rootcase.web.typed import Typed
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
Reader = Annotated[Visitor, Depends(may("see_plans"))]
Planner = Annotated[Visitor, Depends(may("make_plans"))]
Signer = Annotated[Visitor, Depends(may("sign_plans"))]
AT = "/proof/{remedy}"


@router.get(AT)
def look(request: Request, remedy: str, visitor: Reader) -> Response:
    return _effect(request, visitor, _fed(request, visitor, remedy))


@router.get(AT + "/plans")
def plans(request: Request, remedy: str, visitor: Planner) -> Response:
    desk = desk_of(request)
    fed = _fed(request, visitor, remedy)
    if fed.after is None:
        return _effect(request, visitor, fed, wrong=fed.against)
    found = desk.jobs.call(plan_work.replanned_by, desk.elsewhere(visitor.practice_id), desk.run(visitor.practice_id),
                           remedy, fed.after)
    return _effect(request, visitor, fed, changes=[
        list(moved_lines(each.record, each.old, each.new, each.moved())) for each in found])


@router.post(AT)
def sign(request: Request, remedy: str, visitor: Signer, typed: Typed) -> Response:
    desk, fed = desk_of(request), _fed(request, visitor, remedy)
    book = desk.book(visitor.practice_id)
    try:
        if typed.get("handbook"):
            book.proving.give_back(remedy, by=visitor.code, day=desk.today(visitor.practice_id))
        elif typed.get("shown") != _shown(fed):
            raise Missing(say("feed.other_now"))
        else:
            sign_effect(book, fed, by=visitor.code, day=desk.today(visitor.practice_id))
    except RootcaseError as error:
        return _effect(request, visitor, fed, wrong=str(error))
    return RedirectResponse(f"/proof/{remedy}", 303)


def _fed(request: Request, visitor: Visitor, remedy: str) -> Fed:
    desk = desk_of(request)
    found = feed(desk.book(visitor.practice_id), desk.grounds(visitor.practice_id), desk.today(visitor.practice_id))
    fed = next((each for each in found if each.proof.remedy == remedy), None)
    if fed is None:
        raise NotThere(say("feed.no_trial"), value=remedy)
    return fed


def _shown(fed: Fed) -> str:
    """What a signature is meant for: nobody signs figures that have changed since they were shown."""
    return f"{fed.after.mean:.9g} {fed.after.sd:.9g}" if fed.after else ""


def _effect(request: Request, visitor: Visitor, fed: Fed, *, changes: list[list[str]] | None = None,
            wrong: str = "") -> Response:
    after = [*after_lines(fed.after, fed.proof.heard, fed.before)] if fed.after else [say("feed.cannot",
                                                                                          why=fed.against)]
    return page(request, "feed.html", visitor, place="proof", status=422 if wrong else 200, wrong=wrong,
                remedy=fed.proof.remedy, name=sentence(remedy_name(fed.proof.remedy)),
                finding=proof_finding(fed.proof), before=before_line(fed.before), after=after, shown=_shown(fed),
                stands=standing_line(fed.stands) if fed.stands else "", changes=changes)
