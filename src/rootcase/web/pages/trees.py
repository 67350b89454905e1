"""Trees: every property with its trees, and the page of one property."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Literal

from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import HTMLResponse
from markupsafe import Markup

from rootcase.ground.words import say
from rootcase.records.observe import Property
from rootcase.records.report import Casework
from rootcase.report.pictures import draw_shares
from rootcase.report.pictures.shares import worth_drawing
from rootcase.report.screen.property import places_told, visits_told
from rootcase.report.screen.trees import STANDINGS, TreeLine, chosen, tree_lines
from rootcase.report.text.cases import tree_cases
from rootcase.report.text.whole_property import headline
from rootcase.web.cases import in_units
from rootcase.web.desk import Desk
from rootcase.web.picture import both
from rootcase.web.showing import page
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
Sees = Annotated[Visitor, Depends(may("see_trees"))]
Wanted = Literal["", "behind", "unclear", "well", "yardstick", "unread"]


@router.get("/trees")
def trees(request: Request, visitor: Sees, name: Annotated[str, Query(max_length=100)] = "",
          standing: Wanted = "") -> HTMLResponse:
    desk = desk_of(request)
    grounds = list(desk.grounds(visitor.practice_id).values())
    found = [(ground, desk.kept(visitor.practice_id, ground),
              chosen(_lines(desk, visitor, ground), ground, name, standing)) for ground in grounds]
    lines = [line for _, _, those in found for line in those]
    standings = [("", say("case.trees.all")), *((each, say(f"case.standing.{each}")) for each in STANDINGS)]
    return page(request, "trees.html", visitor, place="trees", grounds=grounds, name=name, standing=standing,
                standings=standings,
                behind=sum(line.standing == "behind" for line in lines), count=len(lines),
                found=[each for each in found if each[2] or not (name or standing)])


@router.get("/properties/{property_id}")
def property_(request: Request, property_id: str, visitor: Sees) -> HTMLResponse:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    kept, file = desk.kept(visitor.practice_id, ground), desk.file(visitor.practice_id, ground)
    record = in_units(file.record, visitor.system)
    casework = kept.casework
    finding = " ".join(headline(tree_cases(casework))) if casework else ground.name
    shares, others = kept.form("shares", _shares) if casework else ("", "")
    return page(request, "property.html", visitor, place="trees", ground=ground, property_id=ground.id, kept=kept,
                jobs=desk.jobs.of(desk.tenant(visitor.practice_id), ground.id), finding=finding, shares=shares,
                others=others, lines=_lines(desk, visitor, ground), places=places_told(record),
                visits=visits_told(record), file=file)


def _shares(made: Casework) -> tuple[Markup, str]:
    """The picture, empty where nothing was read, and what is said of the trees it leaves out."""
    drawn, others = worth_drawing(made.comparison)
    if not drawn.trees:
        return Markup(), others
    return both(draw_shares(made.record, drawn), draw_shares(made.record, drawn, "phone")), others


def _lines(desk: Desk, visitor: Visitor, ground: Property) -> tuple[TreeLine, ...]:
    """The trees of a property by its casework, and what is written down of those that it does not know yet."""
    kept, system = desk.kept(visitor.practice_id, ground), visitor.system
    lines = kept.form(f"trees {system}", lambda made: tree_lines(made, in_units(made.record, system))) if (
        kept.casework) else ()
    known, record = {line.tree_id for line in lines}, desk.file(visitor.practice_id, ground).record
    new = replace(record, trees=tuple(tree for tree in record.trees if tree.id not in known))
    return (*lines, *tree_lines(None, in_units(new, system)))
