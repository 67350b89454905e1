"""Signing in for a program: a token for the header, and its end."""

from __future__ import annotations

from math import ceil

from fastapi import APIRouter, Request, Response
from pydantic import BaseModel, ConfigDict, Field

from rootcase.fieldbook.people.sessions import end_session
from rootcase.ground.words import say
from rootcase.services import people
from rootcase.web.api.answers import answered, answers
from rootcase.web.api.schemas import closed
from rootcase.web.desk import OWN
from rootcase.web.refused import refused
from rootcase.web.who import NotSignedIn, address_of, desk_of, device_of, visitor_of

router = APIRouter()
_TOKEN = closed({"token": {"type": "string"}})


class Login(BaseModel):
    """Who asks to be let in."""

    model_config = ConfigDict(extra="forbid", strict=True)
    login: str = Field(max_length=200)
    password: str = Field(max_length=1000)
    code: str = Field("", max_length=20, description="Of the second step, for owners and practitioners.")


@router.post("/session", summary="Sign in", response_class=Response, status_code=201, openapi_extra={"security": []},
             responses=answers(_TOKEN, "The token for `Authorization: Bearer`; it is told once.", status=201))
def sign_in(request: Request, login: Login) -> Response:
    desk = desk_of(request)
    knock = people.Knock(login=login.login, password=login.password, code=login.code, address=address_of(request),
                         device=device_of(request), kind="api")
    let_in = people.sign_in(desk.book(OWN), knock, desk.now())
    if let_in.token:
        return answered({"token": let_in.token}, status=201)
    wait = ceil(let_in.wait.total_seconds())
    if wait:
        return refused(request, 429, say("api.wait", seconds=wait), headers={"retry-after": str(wait)})
    return refused(request, 401, say("people.not_in"))


@router.delete("/session", summary="Sign out", status_code=204, response_class=Response,
               responses={204: {"description": "The token, or the browser's session, is good for nothing any more."}})
def sign_out(request: Request) -> Response:
    desk, visitor = desk_of(request), visitor_of(request)
    if visitor is None:
        raise NotSignedIn
    if visitor.session_id:
        end_session(desk.book(visitor.practice_id).store, visitor.code, visitor.session_id)
    return Response(status_code=204)
