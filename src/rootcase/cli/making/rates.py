"""rootcase make rates."""

from __future__ import annotations

import click

from rootcase.cli.making.cells import read_cells
from rootcase.cli.making.units import units_option
from rootcase.cli.options import json_option, out, tell
from rootcase.ground.errors import RootcaseError, UnreadableValue
from rootcase.ground.quantity import System
from rootcase.ground.words import say


@click.command(help=say("rates.help"))
@click.argument("name", metavar="SUM")
@click.argument("typed", metavar="[NAME=VALUE]...", nargs=-1)
@units_option
@json_option
def rates(name: str, typed: tuple[str, ...], system: System, as_json: bool) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.text.rates import rates_cautions, rates_told
    from rootcase.services.rates import ASKS, work_out

    if name not in ASKS:
        raise UnreadableValue(say("rates.no_sum"), value=name, right=say("readings.or").join(ASKS))
    found = work_out(name, read_cells(typed, name, tuple(ask.name for ask in ASKS[name])), system)
    if found.result is None:
        field, wrong = next(iter(found.wrong.items()))
        raise RootcaseError(wrong, where=field)
    if as_json:
        out(stage_json(found.result))
        return
    told = rates_told(found.result, system)
    tell(told.finding, *told.lines, *found.said, *rates_cautions(name))
