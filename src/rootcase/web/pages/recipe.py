"""The recipe of a heap: worked out from its address, nothing kept."""

from __future__ import annotations

from typing import Annotated
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse

from rootcase.ground.quantity import number
from rootcase.ground.words import say
from rootcase.records.make.heap import HeapPart
from rootcase.records.make.recipe import WATER
from rootcase.report.text.recipe import material_told, no_recipe_told, recipe_finding, recipe_lines, weight
from rootcase.science.compost.feedstocks import Feedstock
from rootcase.services.recipe import OWN, ROWS, library, own_figures, recipe_cells, work_recipe
from rootcase.web.showing import cells, page
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
_FIRST_ASKED = 2
"""Materials that stand open on an empty form."""


@router.get("/make/recipe")
def recipe(request: Request, visitor: Annotated[Visitor, Depends(may("see_trees"))]) -> HTMLResponse:
    typed, system = dict(request.query_params), visitor.system
    own = own_figures(desk_of(request).book(visitor.practice_id))
    found = work_recipe(typed, system, own) if "work" in typed else None
    mix, none = (found.recipe, found.none) if found else (None, None)
    told = (recipe_finding(mix, system), *recipe_lines(mix, system)) if mix else no_recipe_told(none) if none else ()
    rows = [(material_told(each), weight(each.mass_kg or 0.0, system), each.source) for each in mix.ingredients
            if each.mass_kg] if mix else []
    begun = {"bucket": "5 gal" if system == "us" else "20 L", "goal_moisture": "" if "work" in typed else "55",
             "goal_cn": "" if "work" in typed else "30"}
    asked = [at for at in range(1, ROWS + 1) if at <= _FIRST_ASKED or any(
        name.startswith(f"{at}.") and text for name, text in (typed | (found.wrong if found else {})).items())]
    return page(request, "recipe.html", visitor, place="make", status=422 if found and found.wrong else 200,
                typed=cells({**begun, **typed}), wrong=cells(found.wrong if found else {}), told=told, rows=rows,
                asked=asked, more=[at for at in range(1, ROWS + 1) if at not in asked],
                materials=[("", say("recipe.page.none")), (WATER, say("recipe.water")),
                           *((f"{OWN}{name}", _own(part)) for name, part in own.items()),
                           *((row.feedstock, _row(row)) for row in library())],
                density="lb/yd³" if system == "us" else "kg/m³",
                onward=f"/make/heaps/new?{urlencode(recipe_cells(typed, mix, system))}" if mix else "",
                missed=bool(mix and mix.missed))


def _own(part: HeapPart) -> str:
    """A material that was measured before."""
    return say("recipe.page.own_row", name=part.material.replace("_", " "), nitrogen=number(part.nitrogen_pct),
               moisture=number(part.moisture_pct))


def _row(row: Feedstock) -> str:
    """A printed row as it is chosen by."""
    known = {"name": row.feedstock.replace("_", " "), "nitrogen": number(row.nitrogen_pct[1]),
             "ratio": number(row.carbon_nitrogen[1])}
    moisture = row.moisture_pct[1]
    return say("recipe.page.row_dry", **known) if moisture is None else say(
        "recipe.page.row", **known, moisture=number(moisture))
