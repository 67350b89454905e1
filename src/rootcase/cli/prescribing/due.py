"""rootcase prescribe due."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import click

from rootcase.cli.options import (
    day_option,
    fieldbook_option,
    json_option,
    open_book,
    out,
    property_option,
    read_day,
    screen,
    today,
)
from rootcase.ground.dates import show_date
from rootcase.ground.words import say

AHEAD_DAYS = 90


@click.command(help=say("offer.help.due", days=AHEAD_DAYS))
@click.option("--until", callback=read_day, help=say("offer.help.until"))
@fieldbook_option
@property_option
@json_option
@day_option
def due(until: date | None, fieldbook_path: Path | None, property_name: str | None, as_json: bool,
        day: date | None) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.terminal.offer import due_text
    from rootcase.services.observe import find_property
    from rootcase.services.offer import due_in_practice
    from rootcase.services.run import Run

    on = day or today()
    last = until or on + timedelta(days=AHEAD_DAYS)
    if last < on:
        raise click.BadParameter(say("offer.due.no_until", day=show_date(on)), param_hint="--until")
    with open_book(fieldbook_path) as fieldbook:
        grounds = (find_property(fieldbook, property_name),) if property_name else fieldbook.properties()
        items, records = due_in_practice(fieldbook, grounds, Run(on), last)
    out(stage_json(items) if as_json else due_text(items, records, on, last, *screen()))
