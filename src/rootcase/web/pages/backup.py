"""Backup: how old the newest is, a new one now, and how to come back from one."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, StreamingResponse

from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.services.backup import back_up, days_since_backup
from rootcase.web.download import download
from rootcase.web.showing import page
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
Keeper = Annotated[Visitor, Depends(may("back_up"))]


@router.get("/practice/backup")
def backup(request: Request, visitor: Keeper) -> HTMLResponse:
    desk = desk_of(request)
    book = desk.book(visitor.practice_id)
    return page(request, "backup.html", visitor, newest=book.keeping.newest_backup(), alone=book.keeping.is_alone(),
                days=days_since_backup(book, desk.now()))


@router.post("/practice/backup")
def back_up_now(request: Request, visitor: Keeper) -> StreamingResponse:
    desk = desk_of(request)
    book = desk.book(visitor.practice_id)
    if not book.keeping.is_alone():
        raise Missing(say("keep.backup.not_alone"), right=say("keep.backup.right_not_alone"))
    return download(lambda folder: back_up(book, folder).file, desk.path)
