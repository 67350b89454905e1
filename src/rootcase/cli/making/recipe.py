"""rootcase make recipe."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import click

from rootcase.cli.making.cells import materials_cells
from rootcase.cli.making.units import units_option
from rootcase.cli.options import fieldbook_option, json_option, open_book, out, tell
from rootcase.ground.errors import RootcaseError
from rootcase.ground.quantity import System
from rootcase.ground.words import say

if TYPE_CHECKING:
    from rootcase.records.make.heap import HeapPart


@click.command(help=say("recipe.help.command"))
@click.argument("materials", metavar="MATERIAL[=AMOUNT][,NAME=VALUE]...", nargs=-1, required=True)
@click.option("--moisture", "goal_moisture", default="", help=say("recipe.help.goal_moisture"))
@click.option("--cn", "goal_cn", default="", help=say("recipe.help.goal_cn"))
@click.option("--bucket", default="", help=say("recipe.help.bucket"))
@click.option("--yard", "volume", default="", help=say("recipe.help.yard"))
@fieldbook_option
@units_option
@json_option
def recipe(materials: tuple[str, ...], goal_moisture: str, goal_cn: str, bucket: str, volume: str,
           fieldbook_path: Path | None, system: System, as_json: bool) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.text.recipe import no_recipe_told, recipe_finding, recipe_lines
    from rootcase.services.recipe import work_recipe

    cells = {"goal_moisture": goal_moisture, "goal_cn": goal_cn, "bucket": bucket, "volume": volume,
             "way": "yard" if volume else "", **materials_cells(materials)}
    found = work_recipe(cells, system, _own(materials, fieldbook_path))
    if found.wrong:
        name, wrong = next(iter(found.wrong.items()))
        raise RootcaseError(wrong, where=materials[int(name[0]) - 1] if name[:1].isdigit() else name)
    if as_json:
        out(stage_json(found.recipe or found.none))
    elif found.recipe:
        tell(recipe_finding(found.recipe, system), *recipe_lines(found.recipe, system), say("recipe.page.caution"))
    elif found.none:
        tell(*no_recipe_told(found.none))


def _own(materials: tuple[str, ...], fieldbook_path: Path | None) -> Mapping[str, HeapPart]:
    """The practice's figures of its materials; no fieldbook is asked where none of them is chosen."""
    from rootcase.services.recipe import NOTHING_OWN, OWN, own_figures

    if not any(each.startswith(OWN) for each in materials):
        return NOTHING_OWN
    with open_book(fieldbook_path) as book:
        return own_figures(book)
