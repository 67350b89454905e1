"""The notice for the people of a ground: on a page with its plain text to send, and as a sheet to post."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, Response

from rootcase.records.apply.notice import Notice
from rootcase.report.pdf.notice import notice_pdf
from rootcase.report.text.notice import notice_text, notice_told
from rootcase.services.own_rounds import leads_there
from rootcase.web import paper_work
from rootcase.web.showing import page
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter(prefix="/properties/{property_id}/notice")
Shows = Annotated[Visitor, Depends(may("print_rounds"))]


@router.get("/{day}.pdf")
def paper(request: Request, visitor: Shows, property_id: str, day: date) -> Response:
    return Response(notice_pdf(_notice(request, visitor, property_id, day)), media_type="application/pdf",
                    headers={"content-disposition": f'inline; filename="notice-{day}.pdf"'})


@router.get("/{day}")
def notice(request: Request, visitor: Shows, property_id: str, day: date) -> HTMLResponse:
    found = _notice(request, visitor, property_id, day)
    told = notice_told(found)
    return page(request, "notice.html", visitor, place="today", ground=found.record.property, told=told, day=day,
                text=notice_text(told))


def _notice(request: Request, visitor: Visitor, property_id: str, day: date) -> Notice:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    if not leads_there(desk.book(visitor.practice_id), visitor.code, day, ground.id):
        visitor.require("show_clients")
    return desk.jobs.call(paper_work.notice, desk.elsewhere(visitor.practice_id), desk.today(visitor.practice_id),
                          desk.results,
                          visitor.system, (ground.id, day))
