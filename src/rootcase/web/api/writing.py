"""What is written: corrections, whole sheets; each by the door a person's own goes through."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, File, Form, Request, Response, UploadFile
from pydantic import BaseModel, ConfigDict, Field

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.importer import ImportResult
from rootcase.fieldbook.intake.lists.listing import Listing
from rootcase.services.people import told_by
from rootcase.web import work
from rootcase.web.api.answers import ReadingId, answered, answers
from rootcase.web.api.schemas import closed, schema_of
from rootcase.web.refused import asked_by_id
from rootcase.web.uploads import kept_for_work
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
Corrector = Annotated[Visitor, Depends(may("correct_readings"))]
Fact = Annotated[str, Form(max_length=200)]
_NEW = closed({"id": {"type": "string"}})
_IMPORTED = closed({"sheet": schema_of(ImportResult | None), "listing": schema_of(Listing | None)})


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True)


class Correction(_Strict):
    """Another value in a reading's place, as a person types it."""

    typed: str = Field(max_length=2000, examples=["14 in"])
    reason: str = Field(min_length=1, max_length=2000)


class SaidOfList(BaseModel):
    """What a list does not say itself; a question of the answer asks for one of these by its name."""

    property_name: str
    at: str
    system: str
    currency: str
    station: str
    place: str
    ground: str
    day: str
    matrix: str

    @staticmethod
    def of_form(property_name: Fact = "", at: Fact = "", system: Fact = "", currency: Fact = "", station: Fact = "",
                place: Fact = "", ground: Fact = "", day: Fact = "", matrix: Fact = "") -> SaidOfList:
        return SaidOfList(property_name=property_name, at=at, system=system, currency=currency, station=station,
                          place=place, ground=ground, day=day, matrix=matrix)


class Reason(_Strict):
    """Why."""

    reason: str = Field(min_length=1, max_length=2000)


class Doubtless(_Strict):
    """Why a doubted reading is right; it may stay unsaid."""

    reason: str = Field("", max_length=2000)


@router.post("/readings/{reading_id}/correct", summary="Correct a reading", response_class=Response, status_code=201,
             responses=answers(_NEW, "Id of the correction; the old one stays in the events.", status=201))
def correct(request: Request, visitor: Corrector, reading_id: ReadingId, wanted: Correction) -> Response:
    with asked_by_id():
        new = _reading_book(request, visitor, reading_id).correct(reading_id, wanted.typed, wanted.reason,
                                                                  by=visitor.code)
    return answered({"id": new}, status=201)


@router.post("/readings/{reading_id}/take-back", summary="Take a reading back", response_class=Response,
             status_code=201, responses=answers(_NEW, "Id of the taking back; the reading stays in the events.",
                                                status=201))
def take_back(request: Request, visitor: Corrector, reading_id: ReadingId, wanted: Reason) -> Response:
    with asked_by_id():
        new = _reading_book(request, visitor, reading_id).take_back(reading_id, wanted.reason, by=visitor.code)
    return answered({"id": new}, status=201)


@router.post("/readings/{reading_id}/is-right", summary="Say that a doubted reading is right", status_code=201,
             response_class=Response, responses=answers(_NEW, "Id of what says so; its doubts leave the view.",
                                                        status=201))
def call_right(request: Request, visitor: Corrector, reading_id: ReadingId, wanted: Doubtless) -> Response:
    with asked_by_id():
        new = _reading_book(request, visitor, reading_id).call_right(reading_id, wanted.reason, by=visitor.code)
    return answered({"id": new}, status=201)


def _reading_book(request: Request, visitor: Visitor, reading_id: str) -> Fieldbook:
    """The book of a reading that this person may tell."""
    book = desk_of(request).book(visitor.practice_id)
    visitor.require(told_by(book.history(reading_id).kind))
    return book


@router.post("/imports", summary="Take in a field sheet, or a list of another making", response_class=Response,
             responses=answers(_IMPORTED, "What came in and what waits to be mended; the same as observe import "
                               "--json. A list is kept only where `save` says so."))
def import_file(request: Request, visitor: Annotated[Visitor, Depends(may("bring_lists"))],
                file: Annotated[UploadFile, File()], said: Annotated[SaidOfList, Depends(SaidOfList.of_form)],
                save: Annotated[bool, Form()] = False) -> Response:
    desk = desk_of(request)
    with kept_for_work(file) as path:
        sheet, listing = desk.jobs.call(work.import_file, desk.elsewhere(visitor.practice_id), path,
                                         said.model_dump(), save, visitor.code)
    return answered({"sheet": sheet, "listing": listing})
