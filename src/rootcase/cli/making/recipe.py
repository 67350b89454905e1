"""rootcase make recipe."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from rootcase.cli.options import fieldbook_option, json_option, open_book, out, tell
from rootcase.ground.errors import RootcaseError, UnreadableValue
from rootcase.ground.words import say

if TYPE_CHECKING:
    from rootcase.records.make.heap import HeapPart

_FIGURES = ("moisture", "nitrogen", "cn", "density", "have", "cost")


@click.command(help=say("recipe.help.command"))
@click.argument("materials", metavar="MATERIAL[=AMOUNT][,NAME=VALUE]...", nargs=-1, required=True)
@click.option("--moisture", "goal_moisture", default="", help=say("recipe.help.goal_moisture"))
@click.option("--cn", "goal_cn", default="", help=say("recipe.help.goal_cn"))
@click.option("--bucket", default="", help=say("recipe.help.bucket"))
@click.option("--yard", "volume", default="", help=say("recipe.help.yard"))
@fieldbook_option
@click.option("--units", "system", type=click.Choice(("us", "metric")), default="us", show_default=True,
              help=say("recipe.help.units"))
@json_option
def recipe(materials: tuple[str, ...], goal_moisture: str, goal_cn: str, bucket: str, volume: str,
           fieldbook_path: Path | None, system: Literal["us", "metric"], as_json: bool) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.text.recipe import no_recipe_told, recipe_finding, recipe_lines
    from rootcase.services.recipe import ROWS, work_recipe

    if len(materials) > ROWS:
        raise UnreadableValue(say("recipe.too_many"), value=str(len(materials)),
                              right=say("recipe.right_many", most=ROWS))
    cells = {"goal_moisture": goal_moisture, "goal_cn": goal_cn, "bucket": bucket, "volume": volume,
             "way": "yard" if volume else ""}
    for number, typed in enumerate(materials, 1):
        cells |= _cells(number, typed)
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


def _cells(number: int, typed: str) -> dict[str, str]:
    """leaves=100 lb,moisture=40 as cells of this material."""
    first, *more = typed.split(",")
    feedstock, _, amount = first.partition("=")
    cells = {f"{number}.feedstock": feedstock, f"{number}.amount": amount}
    for pair in more:
        name, equal, value = pair.partition("=")
        if not equal or name not in _FIGURES:
            raise UnreadableValue(say("recipe.no_pair"), value=pair, right=say("recipe.right_pair"))
        cells[f"{number}.{name}"] = value
    return cells
