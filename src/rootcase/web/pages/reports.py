"""The client's report: the page that shows it, and the paper itself."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, Depends, Request
from fastapi.responses import Response

from rootcase.ground.words import say
from rootcase.records.report import Author
from rootcase.report.text.cases import tree_cases
from rootcase.report.text.signed import signature_of
from rootcase.report.text.whole_property import headline
from rootcase.services.kept import Kept
from rootcase.services.report import folder_of
from rootcase.web import plan_work
from rootcase.web.refusals import NotThere
from rootcase.web.showing import page
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
Reporter = Annotated[Visitor, Depends(may("show_clients"))]
AT = "/properties/{property_id}"


@router.get(AT + "/report")
def report(request: Request, property_id: str, visitor: Reporter, prepared_by: str | None = None,
           credential: str = "") -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    kept = desk.kept(visitor.practice_id, ground)
    made = kept.casework
    return page(request, "report.html", visitor, place="plans", ground=ground, kept=kept, property_id=property_id,
                jobs=desk.jobs.of(desk.tenant(visitor.practice_id), property_id), credential=credential,
                prepared_by=visitor.name if prepared_by is None else prepared_by,
                finding=" ".join(headline(tree_cases(made))) if made else "",
                signed=signature_of(made) if made else "")


@router.get(AT + "/report.pdf")
def paper(request: Request, property_id: str, visitor: Reporter, prepared_by: str = "",
          credential: str = "") -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    kept = desk.kept(visitor.practice_id, ground)
    if kept.casework is None:
        raise NotThere(say("plans.no_report"), where=ground.name, right=say("plans.explain_then"))
    author = Author(prepared_by.strip(), credential.strip())

    def made() -> bytes:
        return desk.jobs.call(plan_work.report_paper, desk.elsewhere(visitor.practice_id), property_id,
                              desk.run(visitor.practice_id),
                              author)

    if author == Author(visitor.name):  # under any other name it is made anew: nobody's typing fills the memory
        data = _held(kept, f"report {visitor.code}", desk.book(visitor.practice_id).arrivals.commits(), made)
    else:
        data = made()
    return Response(data, media_type="application/pdf", headers={
        "content-disposition": f"inline; filename*=utf-8''{quote(folder_of(ground))}.pdf"})


def _held(kept: Kept, name: str, written: object, made: Callable[[], bytes]) -> bytes:
    """A paper at hand as long as nothing was written: the casework stays, and the record of work goes on."""
    before: tuple[object, bytes] | None = kept.forms.get(name)
    if before is None or before[0] != written:
        before = kept.forms[name] = (written, made())
    return before[1]
