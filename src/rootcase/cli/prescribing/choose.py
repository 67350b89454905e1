"""rootcase prescribe choose."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.options import json_option, out, screen
from rootcase.ground.words import say


@click.command(help=say("choose.help"))
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option("--budget", "typed", required=True, metavar="N", help=say("choose.budget_help"))
@json_option
def choose(file: Path, typed: str, as_json: bool) -> None:
    from rootcase.services.choose import choose_from
    from rootcase.services.plain_table import plain_number

    budget = plain_number(typed)
    if budget is None or budget < 0:
        raise click.BadParameter(say("choose.no_budget", typed=typed), param_hint="--budget")
    choice = choose_from(file, budget)
    if as_json:
        from rootcase.report.casework_json import stage_json

        out(stage_json(choice))
    else:
        from rootcase.report.terminal.choose import choice_text

        out(choice_text(choice, *screen()))
