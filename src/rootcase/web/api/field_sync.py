"""What phones and other programs send: events, which of them are here, pictures; and what of it needs somebody."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Body, Depends, Path, Request, Response
from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from rootcase.fieldbook.people.phones import to_look_through
from rootcase.fieldbook.store.sent import KeptAside, Sent
from rootcase.fieldbook.taking_in import TakenIn
from rootcase.services.sync import Misfit
from rootcase.services.sync import held as held_of
from rootcase.services.sync import keep_photo as keep_picture
from rootcase.web.api.answers import Described, answered, answers
from rootcase.web.api.field import GENERATION
from rootcase.web.api.schemas import closed, schema_of
from rootcase.web.phone import phone_of
from rootcase.web.refused import asked_by_id
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
Sender = Annotated[Visitor, Depends(may("take_readings"))]
_MOST_EVENTS, _MOST_IDS = 500, 5000
_ID = {"type": "string"}


def _whole_signs(text: object) -> object:
    """Half a sign, as a script can hold, spoils one event, which is kept aside, and not those it is sent with."""
    return text.encode("utf-8", "replace").decode("utf-8") if isinstance(text, str) else text


Text = Annotated[str, BeforeValidator(_whole_signs)]
Mark = Annotated[str, Path(max_length=64)]


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True)


class SentEvent(_Strict):
    """An event with its envelope; its hash covers body, id, kind, practice and property."""

    id: Text = Field(max_length=64)
    property_id: Text = Field(max_length=64)
    kind: Text = Field(max_length=40)
    made_at: Text = Field(max_length=40, examples=["2015-11-05T09:30:00.000Z"])
    device: Text = Field(max_length=64)
    body: Text = Field(description="Canonical text: names sorted, no spaces, no fractions; 20,000 signs at most.")
    hash: Text = Field(max_length=64, description="SHA-256 in hexadecimal.")


class Batch(_Strict):
    """Events in the order they were made."""

    events: list[SentEvent] = Field(max_length=_MOST_EVENTS)
    now: Text = Field("", max_length=40, description="What the sender's clock says.",
                      examples=["2015-11-05T18:00:00.000Z"])


class Asked(_Strict):
    """Ids of events."""

    ids: list[Text] = Field(max_length=_MOST_IDS)


class Reason(_Strict):
    """Why."""

    reason: str = Field(min_length=1, max_length=2000)


@router.post("/events", summary="Take in events that were made elsewhere", response_class=Response,
             responses=answers(closed({"generation": _ID, "events": schema_of(tuple[TakenIn, ...])}),
                               "Each by its id: new, known, waiting (for what it speaks of), conflict or refused, and "
                               "the hash under which it is durable here. What is refused, or in conflict, is kept "
                               "aside as it came. The same again adds nothing."))
def take(request: Request, visitor: Sender, batch: Batch) -> Response:
    phone, desk = phone_of(request, visitor), desk_of(request)
    sent = (Sent(**each.model_dump()) for each in batch.events)
    found = desk.book(visitor.practice_id).taking_in.take(
        sent, desk.now(), within=visitor.bounds, by=visitor.code, told_now=batch.now,
        to_look_through=to_look_through([phone] if phone else [], desk.now()))
    return _told(request, visitor, {"events": found})


@router.post("/events/held", summary="Which events are here", response_class=Response, responses=answers(
    closed({"generation": _ID, "held": {"type": "object", "additionalProperties": _ID},
            "waiting": {"type": "array", "items": _ID}, "aside": schema_of(tuple[Misfit, ...])}),
    "The hash of each that is here, among the events, waiting or kept aside; what is not named is not here. Which "
    "of them wait, and why others are kept aside, and what was made of them."))
def held(request: Request, visitor: Sender, asked: Asked) -> Response:
    phone_of(request, visitor)
    found = held_of(desk_of(request).book(visitor.practice_id).store, asked.ids)
    return _told(request, visitor, {"held": found.held, "waiting": found.waiting, "aside": found.aside})


@router.put("/photos/{mark}", summary="Keep a picture that a reading names", response_class=Response,
            responses=answers(closed({"generation": _ID, "mark": _ID}), "It is durable here under this mark. The "
                              "reading that names it may come before it, or after it."),
            openapi_extra={"requestBody": {"required": True, "content": {"application/octet-stream": {"schema": {
                "type": "string", "format": "binary"}}}}})
def keep_photo(request: Request, visitor: Sender, mark: Annotated[str, Path(pattern="^[0-9a-f]{64}$")],
               data: Annotated[bytes, Body(media_type="application/octet-stream")]) -> Response:
    phone_of(request, visitor)
    keep_picture(desk_of(request).book(visitor.practice_id), mark, data)
    return _told(request, visitor, {"mark": mark})


@router.get("/kept-aside", summary="What was sent, does not fit, and needs somebody", response_class=Response,
            responses=answers(closed({"generation": _ID, "kept": schema_of(tuple[KeptAside, ...])}),
                              "The oldest first; who may not bring lists sees what they sent themselves."))
def kept_aside(request: Request, visitor: Sender) -> Response:
    return _told(request, visitor, {"kept": desk_of(request).book(visitor.practice_id).aside.kept(visitor.bounds)})


_SETTLED: Described = answers(closed({"generation": _ID, "id": _ID}),
                              "Id of the event that came of it; empty: of none.")


@router.post("/kept-aside/{mark}/let-go", summary="Let go what was kept aside", response_class=Response,
             responses=_SETTLED)
def let_go(request: Request, visitor: Sender, mark: Mark, why: Reason) -> Response:
    with asked_by_id():
        desk_of(request).book(visitor.practice_id).aside.let_go(mark, why.reason, within=visitor.bounds,
                                                                by=visitor.code)
    return _told(request, visitor, {"id": ""})


@router.post("/kept-aside/{mark}/as-text", summary="Keep what was kept aside as a text of its own",
             response_class=Response, responses=_SETTLED)
def take_as_text(request: Request, visitor: Sender, mark: Mark) -> Response:
    with asked_by_id():
        new = desk_of(request).book(visitor.practice_id).aside.as_text(mark, within=visitor.bounds, by=visitor.code)
    return _told(request, visitor, {"id": new})


def _told(request: Request, visitor: Visitor, told: dict[str, object]) -> Response:
    """An answer that says which fieldbook it is of."""
    generation = desk_of(request).book(visitor.practice_id).store.generation
    answer = answered({"generation": generation, **told})
    answer.headers[GENERATION] = generation
    return answer
