"""What the commands of trucks, crews and batches share."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rootcase.cli.making.cells import read_cells, require_none
from rootcase.cli.making.units import units_option
from rootcase.cli.options import fieldbook_option, open_book, tell
from rootcase.ground.errors import ImpossibleValue
from rootcase.ground.quantity import System
from rootcase.ground.words import say

if TYPE_CHECKING:
    from rootcase.services.fleet import What


def telling_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """name=value, who tells it, in which units, in which fieldbook."""
    for option in (units_option, fieldbook_option, click.option("--by", default="", help=say("fleet.cli.by")),
                   click.option("--gone", is_flag=True, help=say("fleet.cli.gone")),
                   click.argument("typed", metavar="[NAME=VALUE]...", nargs=-1)):
        command = option(command)
    return command


def tell_thing(what: What, typed: tuple[str, ...], gone: bool, by: str, fieldbook_path: Path | None, system: System,
               **more: str) -> None:
    """Keep what was typed over what stands under the same name."""
    from rootcase.services.fleet import FIELDS, cells_of, fleet, take, usual_cells

    if gone and what == "travel":
        raise ImpossibleValue(say("fleet.travel_stays"), value="--gone", right=say("fleet.travel_empty"))
    cells = read_cells(typed, what.replace("_", "-"), (*FIELDS[what], "id")) | more
    with open_book(fieldbook_path) as book:
        there = fleet(book)
        things = {"truck": there.trucks, "crew": there.crews, "fill_point": there.fill_points}.get(what, ())
        named = next((each for each in things if each.name.casefold() == cells.get("name", "").casefold()), None)
        stands = there.travel if what == "travel" else named
        begun = cells_of(stands, system) if stands else usual_cells(what, system)
        require_none(take(book, what, begun | cells | ({"gone": "yes"} if gone else {}), by, system))
    name = cells.get("name", "")
    tell(say("fleet.gone", name=name) if gone and name else say("fleet.told", name=name) if name
         else say("fleet.told_plain"))
