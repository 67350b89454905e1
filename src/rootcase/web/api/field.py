"""What a phone asks for when it has signal: who it is, its jobs, the ground of each; and what it brings sealed."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from fastapi import APIRouter, Depends, File, Request, Response, UploadFile

from rootcase.fieldbook.people.phones import heard
from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.records.field import FieldGround, FieldJob, FieldPerson, FieldProperties, FieldStart, NamedGround
from rootcase.records.field_round import FieldRounds
from rootcase.records.observe import Property
from rootcase.services.field import days_at, field_ground, field_start, take_on
from rootcase.services.field_day import field_map, field_rounds
from rootcase.services.people import actions_of
from rootcase.services.sealing import SealedTaken, take_sealed
from rootcase.web.api.answers import PropertyId, answered, answers, sends
from rootcase.web.phone import asked_by, phone_of
from rootcase.web.refusals import NotThere
from rootcase.web.statics import shrunk
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter(prefix="/field")
Seer = Annotated[Visitor, Depends(may("see_trees"))]
Reader = Annotated[Visitor, Depends(may("take_readings"))]
Planner = Annotated[Visitor, Depends(may("assign_jobs"))]
GENERATION = "fieldbook-generation"


@router.get("/start", summary="Who has signed in on this phone, and what belongs on it", response_class=Response,
            responses=answers(FieldStart, "The phone says its id in the head `Rootcase-Phone` and is known from then "
                              "on; one that is marked lost is refused by 403 with where `Rootcase-Phone`.") | answers(
                                  {"$ref": "#/components/schemas/Refusal"}, "No phone is named.", status=422))
def start(request: Request, visitor: Seer) -> Response:
    desk, asked = desk_of(request), asked_by(request)
    if asked is None:
        raise Missing(say("phones.not_named"), right=say("phones.name_it"))
    book = desk.book(visitor.practice_id)
    phone = heard(book.store, asked, visitor.code, desk.now())
    who = FieldPerson(visitor.code, visitor.name, visitor.role, actions_of(visitor.role, may_sign=visitor.may_sign))
    told = field_start(book, who, visitor.system, phone, desk.now(), jobs=_jobs(request, visitor),
                       held_day=desk.today(visitor.practice_id) if desk.demo else None)
    return _told(request, visitor, told)


@router.get("/properties", summary="The properties that belong on this person's phone", response_class=Response,
            responses=answers(FieldProperties, "Those they are assigned to; the names of the others, where they assign "
                              "them."))
def properties(request: Request, visitor: Seer) -> Response:
    phone_of(request, visitor)
    jobs = _jobs(request, visitor)
    known = {job.id for job in jobs}
    others = tuple(NamedGround(each.id, each.name) for each in desk_of(request).grounds(visitor.practice_id).values()
                   if each.id not in known and visitor.may("assign_jobs"))
    return _told(request, visitor, FieldProperties(jobs, others))


@router.get("/properties/{property_id}", summary="A property for a phone", response_class=Response,
            responses=answers(FieldGround, "As it stands; of each thing the last readings of each kind. Gate codes and "
                              "contacts only where its person stops there today."))
def one_property(request: Request, visitor: Seer, property_id: PropertyId) -> Response:
    phone_of(request, visitor)
    desk = desk_of(request)
    ground = _job_ground(request, visitor, property_id)
    days = _days(request, visitor)[ground.id]
    told = field_ground(desk.book(visitor.practice_id), desk.file(visitor.practice_id, ground), visitor.system,
                        desk.now(), see=visitor.seen,
                        stop=desk.today(visitor.practice_id) if desk.today(visitor.practice_id) in days else None)
    return _told(request, visitor, told)


@router.get("/properties/{property_id}/map", summary="The map of a property for a phone", response_class=Response,
            responses=sends("image/svg+xml", "Places, trees, drawn lines and areas, as it stands."))
def one_map(request: Request, visitor: Seer, property_id: PropertyId) -> Response:
    phone_of(request, visitor)
    desk = desk_of(request)
    ground = _job_ground(request, visitor, property_id)
    drawn = field_map(desk.file(visitor.practice_id, ground), visitor.system, desk.today(visitor.practice_id),
                      see=visitor.seen)
    return shrunk(request, Response(drawn.svg, media_type="image/svg+xml"))


@router.get("/rounds", summary="The rounds of today and tomorrow of who has signed in", response_class=Response,
            responses=answers(FieldRounds, "Those that were given to their crew, with all that a stop asks without "
                              "signal; none where no round was given to them."))
def rounds(request: Request, visitor: Seer) -> Response:
    phone_of(request, visitor)
    desk = desk_of(request)
    grounds = desk.grounds(visitor.practice_id)
    told = field_rounds(desk.book(visitor.practice_id), visitor.code,
                        lambda an_id: desk.file(visitor.practice_id, grounds[an_id]) if an_id in grounds else None,
                        visitor.system, desk.today(visitor.practice_id), see=visitor.seen)
    return _told(request, visitor, told)


@router.post("/properties/{property_id}/take-on", summary="Put a property on one's own phone", status_code=204,
             response_class=Response, responses={204: {"description": "It is theirs, on any day."}})
def put_on_phone(request: Request, visitor: Planner, property_id: PropertyId) -> Response:
    phone_of(request, visitor)
    desk = desk_of(request)
    take_on(desk.book(visitor.practice_id), desk.ground(visitor.practice_id, property_id), visitor.code, desk.now())
    return Response(status_code=204)


@router.post("/sealed", summary="Bring what was sealed on a phone when somebody left it", response_class=Response,
             responses=answers(SealedTaken, "Each entry by its id, as POST /api/events answers; and the photo. It is "
                               "taken as of who sealed it."))
def sealed(request: Request, visitor: Reader, file: Annotated[UploadFile, File()]) -> Response:
    phone_of(request, visitor)
    desk = desk_of(request)
    taken = take_sealed(desk.book(visitor.practice_id), file.file.read(), visitor.bounds, desk.now())
    return _told(request, visitor, taken)


def _job_ground(request: Request, visitor: Visitor, property_id: str) -> Property:
    """A property that is theirs; any other is not sent."""
    ground = desk_of(request).ground(visitor.practice_id, property_id)
    if ground.id not in _days(request, visitor):
        raise NotThere(say("phones.not_assigned"), value=ground.name, right=say("phones.who_assigns"))
    return ground


def _days(request: Request, visitor: Visitor) -> dict[str, tuple[date, ...]]:
    """Where this person goes; at the invented data everywhere, today."""
    desk = desk_of(request)
    if desk.demo:
        return dict.fromkeys(desk.grounds(visitor.practice_id), (desk.today(visitor.practice_id),))
    return days_at(desk.book(visitor.practice_id), visitor.code, desk.today(visitor.practice_id))


def _jobs(request: Request, visitor: Visitor) -> tuple[FieldJob, ...]:
    desk, days = desk_of(request), _days(request, visitor)

    def job(ground: Property) -> FieldJob:
        trees = len(desk.file(visitor.practice_id, ground).record.trees)
        return FieldJob(ground.id, ground.name, trees, days[ground.id],
                        desk.today(visitor.practice_id) in days[ground.id])

    return tuple(job(each) for each in desk.grounds(visitor.practice_id).values() if each.id in days)


def _told(request: Request, visitor: Visitor, told: object) -> Response:
    """An answer that names the fieldbook it comes from."""
    answer = shrunk(request, answered(told))
    answer.headers[GENERATION] = desk_of(request).book(visitor.practice_id).store.generation
    return answer
