"""Work in hand: what it has come to, and its end."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import RedirectResponse, Response

from rootcase.web.showing import page
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()


@router.post("/properties/{property_id}/compute")
def compute(request: Request, property_id: str,
            visitor: Annotated[Visitor, Depends(may("compute"))]) -> RedirectResponse:
    desk = desk_of(request)
    job = desk.compute(visitor.practice_id, desk.ground(visitor.practice_id, property_id))
    return RedirectResponse(f"/jobs/{job.id}", 303)


@router.get("/jobs/{job_id}")
def job(request: Request, job_id: str, visitor: Annotated[Visitor, Depends(may("see_trees"))]) -> Response:
    desk = desk_of(request)
    found = desk.jobs.job(desk.tenant(visitor.practice_id), job_id)
    if found.state == "done":
        return RedirectResponse(found.leads_to, 303)
    of = desk.ground(visitor.practice_id, found.property_id).name if found.property_id else ""
    return page(request, "job.html", visitor, place="trees", job=found, of=of)


@router.post("/jobs/{job_id}/cancel")
def cancel(request: Request, job_id: str,
           visitor: Annotated[Visitor, Depends(may("compute"))]) -> RedirectResponse:
    desk = desk_of(request)
    ended = desk.jobs.cancel(desk.tenant(visitor.practice_id), job_id)
    return RedirectResponse(f"/jobs/{ended.id}", 303)
