"""Long work: asked for, looked at, ended."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Depends, Path, Request, Response
from pydantic import BaseModel, ConfigDict, Field

from rootcase.ground.words import say
from rootcase.records.what_if import WhatIf
from rootcase.services.what_if import Supposed
from rootcase.web import work
from rootcase.web.api.answers import JSON, PropertyId, answered, answers
from rootcase.web.jobs import Job, State
from rootcase.web.refusals import NotReady
from rootcase.web.telling import job_told
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
Seer = Annotated[Visitor, Depends(may("see_trees"))]
Planner = Annotated[Visitor, Depends(may("make_plans"))]
JobId = Annotated[str, Path(max_length=64)]
_MOST_SAID = 50
Words = Annotated[list[Annotated[str, Field(max_length=200)]], Field(max_length=_MOST_SAID)]
Sum = Annotated[float, Field(ge=0, le=1e12, allow_inf_nan=False)]


@dataclass(frozen=True, slots=True)
class JobNow:
    """A job as it stands now."""

    id: str
    work: str
    property_id: str
    state: State
    stage: str
    done: int
    of: int
    told: str
    """All that in a line of words."""
    error: str
    asked_at: datetime
    leads_to: str
    """Address of the page that shows what comes of it."""


class Turned(BaseModel):
    """What is to be otherwise, in the words of the command line."""

    model_config = ConfigDict(extra="forbid")
    budget: Sum | None = None
    crew_hours: Sum | None = None
    machine_hours: Sum | None = None
    wishes: Words = Field([], examples=[["wish_lawn=free@front lawn"]])
    prices: Words = Field([], examples=[["mulch=9.50/m2"]])
    without: Words = Field([], description="Codes of remedies.")
    tree: str | None = Field(None, max_length=200)
    course: str | None = Field(None, max_length=200)
    worth_m2: Sum | None = None


@router.get("/jobs", summary="The practice's jobs", response_class=Response,
            responses=answers(tuple[JobNow, ...], "The newest first."))
def jobs(request: Request, visitor: Seer) -> Response:
    desk = desk_of(request)
    return answered(tuple(map(job_now, desk.jobs.of(desk.tenant(visitor.practice_id)))))


@router.get("/jobs/{job_id}", summary="How far a job is", response_class=Response,
            responses=answers(JobNow, "Its state, and in words."))
def job(request: Request, visitor: Seer, job_id: JobId) -> Response:
    desk = desk_of(request)
    return answered(job_now(desk.jobs.job(desk.tenant(visitor.practice_id), job_id)))


@router.get("/jobs/{job_id}/result", summary="What came of a what-if", response_class=Response,
            responses=answers(WhatIf, "The same as prescribe what-if --json."))
def result(request: Request, visitor: Planner, job_id: JobId) -> Response:
    desk = desk_of(request)
    found = desk.jobs.job(desk.tenant(visitor.practice_id), job_id)
    if found.state != "done" or not isinstance(found.result, bytes):
        raise NotReady(say("api.no_result"), value=found.state, right=say("api.ask_later"))
    return Response(found.result, media_type=JSON)


@router.delete("/jobs/{job_id}", summary="End a job at once", response_class=Response,
               responses=answers(JobNow, "What was kept before still stands."))
def cancel(request: Request, visitor: Annotated[Visitor, Depends(may("compute"))], job_id: JobId) -> Response:
    desk = desk_of(request)
    return answered(job_now(desk.jobs.cancel(desk.tenant(visitor.practice_id), job_id)))


@router.post("/properties/{property_id}/casework", summary="Have a property thought through", status_code=202,
             response_class=Response, responses=answers(JobNow, "The job; the same work asked for twice is one.",
                                                        status=202))
def compute(request: Request, visitor: Annotated[Visitor, Depends(may("compute"))],
            property_id: PropertyId) -> Response:
    desk = desk_of(request)
    started = desk.compute(visitor.practice_id, desk.ground(visitor.practice_id, property_id))
    return answered(job_now(started), status=202)


@router.post("/properties/{property_id}/what-if", summary="The plan, were something otherwise", status_code=202,
             response_class=Response, responses=answers(JobNow, "The job; nothing of it is kept in the fieldbook.",
                                                        status=202))
def what_if(request: Request, visitor: Planner, property_id: PropertyId, turned: Turned) -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    sums = ((name, getattr(turned, name)) for name in ("budget", "crew_hours", "machine_hours"))
    supposed = Supposed(tuple((name, figure) for name, figure in sums if figure is not None), tuple(turned.wishes),
                        tuple(turned.prices), tuple(turned.without), turned.tree, turned.course, turned.worth_m2)
    started = desk.jobs.start(desk.tenant(visitor.practice_id), "what_if", work.what_if,
                              desk.elsewhere(visitor.practice_id), ground.id, desk.run(visitor.practice_id), supposed,
                              property_id=ground.id, leads_to=f"/properties/{ground.id}")
    return answered(job_now(started), status=202)


def job_now(of: Job) -> JobNow:
    return JobNow(of.id, of.work, of.property_id, of.state, of.stage, of.done, of.of, job_told(of), of.error,
                  of.asked_at, of.leads_to)
