"""Plans under a signature, offers and programmes."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response
from pydantic import BaseModel, ConfigDict, Field

from rootcase.records.offer import MadeOffer, Outdated, ProgrammeState, SignedPlan
from rootcase.services.offer import programmes_of
from rootcase.services.sign import Wanted
from rootcase.web import work
from rootcase.web.api.answers import JSON, PropertyId, answered, answers
from rootcase.web.api.schemas import closed, schema_of
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
Seer = Annotated[Visitor, Depends(may("see_prices"))]
_SIGNED = closed({"plans": schema_of(tuple[SignedPlan, ...]), "outdated": schema_of(Outdated | None)})
Codes = Annotated[list[Annotated[str, Field(max_length=200)]], Field(max_length=200)]


class Signature(BaseModel):
    """How the plan as it is prescribed today is to be signed; who signs is who asks."""

    model_config = ConfigDict(extra="forbid", strict=True)
    reason: str = Field("", max_length=2000)
    against: Codes = Field([], description="Chosen against the advice.", examples=[["oak 4=mulch"]])
    untreated: bool = Field(True, description="Whether a lot may leave trees untreated on what is in doubt.")
    tried: Codes = Field([], description="Codes of remedies that are tried on top of the plan.")
    lot: int = Field(0, ge=0, le=2**31)


@router.get("/properties/{property_id}/signed", summary="Signed plans, and what changed under the one that stands",
            response_class=Response, responses=answers(_SIGNED, "The same as prescribe signed --json."))
def signed(request: Request, visitor: Seer, property_id: PropertyId) -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    return Response(desk.jobs.call(work.signed, desk.elsewhere(visitor.practice_id), ground.id,
                                   desk.run(visitor.practice_id)),
                    media_type=JSON)


@router.post("/properties/{property_id}/sign", summary="Sign the plan as it is prescribed today", status_code=201,
             response_class=Response, responses=answers(_SIGNED, "With the new one, which stands.", status=201))
def sign(request: Request, visitor: Annotated[Visitor, Depends(may("sign_plans"))], property_id: PropertyId,
         signature: Signature) -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    wanted = Wanted(by=visitor.code, reason=signature.reason, against=tuple(signature.against),
                    untreated=signature.untreated, tried=tuple(signature.tried), lot=signature.lot)
    return Response(desk.jobs.call(work.sign, desk.elsewhere(visitor.practice_id), ground.id,
                                   desk.run(visitor.practice_id), wanted), 201,
                    media_type=JSON)


@router.get("/properties/{property_id}/offers", summary="Every offer that was made", response_class=Response,
            responses=answers(tuple[MadeOffer, ...], "The newest first, with the answers to it."))
def offers(request: Request, visitor: Annotated[Visitor, Depends(may("show_clients"))],
           property_id: PropertyId) -> Response:
    desk = desk_of(request)
    return answered(desk.book(visitor.practice_id).offers(desk.ground(visitor.practice_id, property_id).id))


@router.get("/properties/{property_id}/programmes", summary="What is repeated by agreement", response_class=Response,
            responses=answers(tuple[ProgrammeState, ...], "The newest first; the same as prescribe programme show "
                              "--json."))
def programmes(request: Request, visitor: Seer, property_id: PropertyId) -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    return answered(programmes_of(desk.book(visitor.practice_id), ground, desk.today(visitor.practice_id))[1])
