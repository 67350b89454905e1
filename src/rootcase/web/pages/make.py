"""The place Make."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse

from rootcase.casework.make.heap import judged
from rootcase.report.text.batch import batches_listed
from rootcase.report.text.heap import finding
from rootcase.services.batch_heap import use_of
from rootcase.services.heap import heaps
from rootcase.services.make_batch import batches
from rootcase.web.showing import page
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()


@router.get("/make")
def make(request: Request, visitor: Annotated[Visitor, Depends(may("see_trees"))]) -> HTMLResponse:
    book = desk_of(request).book(visitor.practice_id)
    found = [(heap, judged(heap)) for heap in heaps(book)]
    told = [(heap, shown, finding(heap, shown, visitor.system)) for heap, shown in found]
    return page(request, "make.html", visitor, place="make", heaps=told,
                batches=batches_listed(batches(book), {heap.id: use_of(heap, shown) for heap, shown in found},
                                        book.making.now()))
