"""rootcase apply week."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.applying.planning import week_lines
from rootcase.cli.making.units import units_option
from rootcase.cli.options import OWN_RESULTS, WholeNumber, fieldbook_option, json_option, open_book, out, tell, today_of
from rootcase.ground.quantity import System
from rootcase.ground.words import say


@click.command(help=say("week.cli.week"))
@click.option("--seconds", type=WholeNumber(0, 3600), default=20, show_default=True, help=say("week.cli.seconds"))
@click.option("--days", type=WholeNumber(1, 14), default=7, show_default=True, help=say("week.cli.days"))
@units_option
@fieldbook_option
@json_option
def week(seconds: int, days: int, system: System, fieldbook_path: Path | None, as_json: bool) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.services.week import plan_week, whole_week
    from rootcase.services.week_known import gather

    with open_book(fieldbook_path) as book:
        found = gather(book, today_of(book), days)
        planned = whole_week(found.known, plan_week(found.known, OWN_RESULTS, float(seconds)))
    if as_json:
        out(stage_json(planned))
        return
    tell(*(list(week_lines(found, planned, system)) or [say("week.nothing")]))
