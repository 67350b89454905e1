"""What was thought of a property: the newest that was kept, as the command line's --json writes it; nothing waits."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Path, Request, Response
from fastapi.concurrency import run_in_threadpool

from rootcase.ground.words import say
from rootcase.records.compare import Comparison
from rootcase.records.explain import Explanation
from rootcase.records.pests import Pests
from rootcase.records.prescribe import Plan
from rootcase.records.report import Author
from rootcase.report.casework_json import casework_json, stage_json
from rootcase.services.kept import Kept
from rootcase.services.report import pictures_of
from rootcase.web import plan_work
from rootcase.web.api.answers import JSON, PropertyId, answers, sends
from rootcase.web.api.casework_schema import CASEWORK
from rootcase.web.refusals import NotReady, NotThere
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
Seer = Annotated[Visitor, Depends(may("see_trees"))]
PlanSeer = Annotated[Visitor, Depends(may("see_prices"))]  # what each tree costs stands in all of these
_CASEWORK = "casework.json"
_SVG, _PDF = "image/svg+xml", "application/pdf"


@router.get("/properties/{property_id}/compare", summary="Every tree beside its yardstick", response_class=Response,
            responses=answers(Comparison, "The same as compare --json."))
def compare(request: Request, visitor: Seer, property_id: PropertyId) -> Response:
    return _stage(request, visitor, property_id, "comparison")


@router.get("/properties/{property_id}/explain", summary="What takes the growth away, tree by tree",
            response_class=Response, responses=answers(tuple[Explanation, ...], "The same as explain --json."))
def explain(request: Request, visitor: Seer, property_id: PropertyId) -> Response:
    return _stage(request, visitor, property_id, "explanations")


@router.get("/properties/{property_id}/pests", summary="What was counted of pests, and which look is due",
            response_class=Response, responses=answers(Pests, "The same as pests --json on the day it was made."))
def pests(request: Request, visitor: Seer, property_id: PropertyId) -> Response:
    return _stage(request, visitor, property_id, "pests")


@router.get("/properties/{property_id}/prescribe", summary="The plan inside wishes and money",
            response_class=Response, responses=answers(Plan, "The same as prescribe --json."))
def prescribe(request: Request, visitor: PlanSeer, property_id: PropertyId) -> Response:
    return _stage(request, visitor, property_id, "plan")


@router.get("/properties/{property_id}/casework", summary="Everything thought about a property",
            response_class=Response, responses=answers(CASEWORK, "The same as report --json."))
async def casework(request: Request, visitor: PlanSeer, property_id: PropertyId) -> Response:
    # What programs ask for most costs no way to another thread and back where it is at hand.
    kept = desk_of(request).kept_at_hand(visitor.practice_id, property_id)
    if kept is not None and _CASEWORK in kept.forms:
        return _told(kept, kept.forms[_CASEWORK], JSON)
    return await run_in_threadpool(_casework, request, visitor, property_id)


def _casework(request: Request, visitor: Visitor, property_id: str) -> Response:
    kept = _kept(request, visitor, property_id)
    return _told(kept, kept.form(_CASEWORK, casework_json), JSON)


@router.get("/properties/{property_id}/pictures", summary="The names of the pictures", response_class=Response,
            responses=answers({"type": "array", "items": {"type": "string"}}, "Three of the property, four a tree."))
def pictures(request: Request, visitor: PlanSeer, property_id: PropertyId) -> Response:
    kept = _kept(request, visitor, property_id)
    return _told(kept, stage_json(sorted(kept.form("pictures", pictures_of))), JSON)


@router.get("/properties/{property_id}/pictures/{name}.svg", summary="One picture", response_class=Response,
            responses=sends(_SVG, "With its title and description."))
def picture(request: Request, visitor: PlanSeer, property_id: PropertyId,
            name: Annotated[str, Path(max_length=200)]) -> Response:
    kept = _kept(request, visitor, property_id)
    drawn = kept.form("pictures", pictures_of).get(name)
    if drawn is None:
        raise NotThere(say("api.no_picture"), value=name, right=say("api.see_pictures"))
    return _told(kept, drawn.svg, _SVG)


@router.get("/properties/{property_id}/report.pdf", summary="The client's report", response_class=Response,
            responses=sends(_PDF, "Tagged and accessible; with the head of the record of work and the trials there."))
def report(request: Request, visitor: PlanSeer, property_id: PropertyId) -> Response:
    kept, desk = _kept(request, visitor, property_id), desk_of(request)
    return _told(kept, desk.jobs.call(plan_work.report_paper, desk.elsewhere(visitor.practice_id), property_id,
                                      desk.run(visitor.practice_id), Author()), _PDF)


def _kept(request: Request, visitor: Visitor, property_id: str) -> Kept:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    kept = desk.kept(visitor.practice_id, ground)
    if kept.casework is None:
        raise NotReady(say("api.not_made"), where=ground.name, right=say("api.make_it", property=ground.id))
    return kept


def _stage(request: Request, visitor: Visitor, property_id: str, name: str) -> Response:
    kept = _kept(request, visitor, property_id)
    return _told(kept, kept.form(f"{name}.json", lambda made: stage_json(getattr(made, name))), JSON)


def _told(kept: Kept, body: bytes, media_type: str) -> Response:
    """With when it was made, and whether anything that decides it came since."""
    return Response(body, media_type=media_type, headers={
        "casework-made-on": str(kept.made_on), "casework-current": "yes" if kept.current else "no"})
