"""What is made: heaps with their verdicts, batches with their steps and loads, and where a batch went. Only looked at:
who makes a batch does it in the yard."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Path, Request, Response

from rootcase.casework.make.heap import judged
from rootcase.records.make.batch import Batch
from rootcase.records.make.checklist import BatchSeen
from rootcase.records.make.heap import Heap, HeapJudged
from rootcase.records.make.trace import Recall
from rootcase.services.batch_seen import batch_seen
from rootcase.services.heap import heaps
from rootcase.services.make_batch import batch_named, batches
from rootcase.services.recall import recall
from rootcase.web.api.answers import answered, answers
from rootcase.web.api.schemas import closed, schema_of
from rootcase.web.refused import asked_by_id
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
Seer = Annotated[Visitor, Depends(may("see_trees"))]
BatchId = Annotated[str, Path(max_length=64, description="Its number, or its id.")]
_MADE = closed({"heaps": schema_of(tuple[Heap, ...]), "judged": schema_of(tuple[HeapJudged, ...]),
                "batches": schema_of(tuple[Batch, ...])})


@router.get("/make", summary="Heaps with what they show, and batches with their loads", response_class=Response,
            responses=answers(_MADE, "Heaps and their verdicts in the same order; batches, the newest first."))
def made(request: Request, visitor: Seer) -> Response:
    book = desk_of(request).book(visitor.practice_id)
    known = heaps(book)
    return answered({"heaps": known, "judged": tuple(map(judged, known)), "batches": batches(book)})


@router.get("/make/batches/{batch_id}", summary="One batch, and where each of its steps stands",
            response_class=Response, responses=answers(BatchSeen, "With what it would be judged now."))
def one_batch(request: Request, visitor: Seer, batch_id: BatchId) -> Response:
    with asked_by_id():
        return answered(batch_seen(desk_of(request).book(visitor.practice_id), batch_id))


@router.get("/make/batches/{batch_id}/recall", summary="Where a batch went, and whom to ring", response_class=Response,
            responses=answers(Recall, "The same as make recall --json."))
def recalled(request: Request, visitor: Seer, batch_id: BatchId) -> Response:
    book = desk_of(request).book(visitor.practice_id)
    with asked_by_id():
        return answered(recall(book, batch_named(book, batch_id)))
