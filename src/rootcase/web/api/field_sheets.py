"""First-answer sheets for phones: which there are, each by its name, and the making of those that are missing."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Path, Request, Response

from rootcase.ground.words import say
from rootcase.records.first_answer import SheetsTold
from rootcase.services.first_answer import SheetsAtHand
from rootcase.web import first_answer_work
from rootcase.web.api.answers import answered, answers, sends
from rootcase.web.api.jobs import JobNow, job_now
from rootcase.web.phone import phone_of
from rootcase.web.refusals import NotThere
from rootcase.web.statics import shrunk
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter(prefix="/field/sheets")
Seer = Annotated[Visitor, Depends(may("see_trees"))]
Reader = Annotated[Visitor, Depends(may("take_readings"))]
SheetName = Annotated[str, Path(max_length=64)]
_AT_HAND = SheetsAtHand()
BYTES = "application/octet-stream"


@router.get("", summary="The first-answer sheets that are made", response_class=Response,
            responses=answers(SheetsTold, "A sheet's name is another wherever what decides it is another, so one that "
                              "is held under its name need not be fetched again."))
def sheets(request: Request, visitor: Seer) -> Response:
    phone_of(request, visitor)
    desk = desk_of(request)
    return shrunk(request, answered(_AT_HAND.told(desk.book(visitor.practice_id), desk.run(visitor.practice_id))))


@router.post("", summary="Have the missing first-answer sheets made", status_code=202, response_class=Response,
             responses=answers(JobNow, "The job; asked for twice it is one.", status=202))
def make(request: Request, visitor: Reader) -> Response:
    phone_of(request, visitor)
    desk = desk_of(request)
    started = desk.jobs.start(desk.tenant(visitor.practice_id), "first_answer", first_answer_work.first_answers,
                              desk.elsewhere(visitor.practice_id), desk.run(visitor.practice_id), leads_to="/field",
                              patient=True)
    return answered(job_now(started), status=202)


@router.get("/{name}", summary="A first-answer sheet", response_class=Response,
            responses=sends(BYTES, "A line of JSON and its tables, as docs/first-answer.md tells."))
def sheet(request: Request, visitor: Seer, name: SheetName) -> Response:
    phone_of(request, visitor)
    desk = desk_of(request)
    found = _AT_HAND.sent(desk.book(visitor.practice_id), desk.run(visitor.practice_id), name)
    if found is None:
        raise NotThere(say("field.sheet.none"), value=name, right=say("field.sheet.ask_again"))
    return Response(found, media_type=BYTES)
