"""rootcase apply replan."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.applying.planning import week_lines
from rootcase.cli.making.units import units_option
from rootcase.cli.options import fieldbook_option, json_option, open_book, out, tell, today_of
from rootcase.ground.quantity import System
from rootcase.ground.words import say


@click.command(help=say("week.cli.replan"))
@click.option("--give", "given", is_flag=True, help=say("week.cli.give_too"))
@click.option("--by", default="", help=say("fleet.cli.by"))
@units_option
@fieldbook_option
@json_option
def replan(given: bool, by: str, system: System, fieldbook_path: Path | None, as_json: bool) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.services.week_known import gather
    from rootcase.services.week_moves import rest_of_day

    with open_book(fieldbook_path) as book:
        found = gather(book, today_of(book), 1)
        rest = rest_of_day(book, found, by if given else "")
    if as_json:
        out(stage_json(rest))
        return
    tell(*week_lines(found, rest, system))
