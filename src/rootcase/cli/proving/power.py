"""rootcase prove power."""

from __future__ import annotations

import json
from math import ceil

import click

from rootcase.cli.making.cells import read_cells
from rootcase.cli.options import json_option, out, tell
from rootcase.ground.quantity import number
from rootcase.ground.words import say


@click.command(help=say("prove.help.power"))
@click.argument("typed", nargs=-1, required=True, metavar="NAME=VALUE ...")
@click.option("--wanted", type=click.FloatRange(0.1, 0.999), default=0.8, show_default=True,
              help=say("prove.help.wanted"))
@json_option
def power(typed: tuple[str, ...], wanted: float, as_json: bool) -> None:
    from rootcase.services.trial_power import NAMES, power_of

    found = power_of(read_cells(typed, say("prove.power.no_name"), NAMES), wanted)
    if as_json:
        out(json.dumps(found))
        return
    told = {name: number(found[name], 4) for name in ("sd", "trees", "effect", "least")}
    share, many = number(100 * wanted, 3), found["trees_needed"]
    tell(say("prove.power.of_trial", sd=told["sd"]),
         say("prove.power.power", trees=told["trees"], effect=told["effect"], power=number(100 * found["power"], 2)),
         say("prove.power.least", wanted=share, least=told["least"]),
         say("prove.power.trees", effect=told["effect"], wanted=share, trees=ceil(many)) if many else
         say("prove.power.no_number", effect=told["effect"], wanted=share))
