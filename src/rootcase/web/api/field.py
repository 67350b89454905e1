"""What a phone asks for when it has signal: who it is, its jobs, and the ground of each."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response

from rootcase.records.field import (
    FieldGround,
    FieldJob,
    FieldPerson,
    FieldPhone,
    FieldPractice,
    FieldStart,
    SealingKey,
)
from rootcase.services.field import field_ground
from rootcase.services.people import actions_of
from rootcase.web.api.answers import PropertyId, answered, answers
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter(prefix="/field")
Seer = Annotated[Visitor, Depends(may("see_trees"))]


@router.get("/start", summary="Who has signed in on this phone, and what belongs on it", response_class=Response,
            responses=answers(FieldStart, "Asked at every start with signal."))
def start(request: Request, visitor: Seer) -> Response:
    desk = desk_of(request)
    grounds = desk.grounds(visitor.practice_id).values()
    jobs = tuple(FieldJob(each.id, each.name, len(desk.file(visitor.practice_id, each).record.trees), (), True)
                 for each in grounds)
    who = FieldPerson(visitor.code, visitor.name, visitor.role, actions_of(visitor.role, may_sign=visitor.may_sign))
    practice = FieldPractice(visitor.practice_id, desk.book(visitor.practice_id).practice().name, SealingKey("", ""))
    return answered(FieldStart(who, practice, visitor.system, "", FieldPhone("", "A", ""), "",
                               desk.today() if desk.demo else None, jobs, ()))


@router.get("/properties/{property_id}", summary="A property for a phone", response_class=Response,
            responses=answers(FieldGround, "As it stands; of each thing the last readings of each kind."))
def one_property(request: Request, visitor: Seer, property_id: PropertyId) -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    return answered(field_ground(desk.book(visitor.practice_id), desk.file(visitor.practice_id, ground),
                                 visitor.system, desk.now(), see=visitor.seen, stop=True))
