"""rootcase pests."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from rootcase.cli.options import (
    day_option,
    fieldbook_option,
    json_option,
    open_book,
    out,
    property_option,
    screen,
    today,
)
from rootcase.ground.words import say


@click.command(help=say("cli.help.pests"))
@fieldbook_option
@property_option
@json_option
@day_option
def pests(fieldbook_path: Path | None, property_name: str | None, as_json: bool, day: date | None) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.terminal.pests import pests_text
    from rootcase.services.observe import read_property
    from rootcase.services.pests import pests_property
    from rootcase.services.run import Run

    with open_book(fieldbook_path) as fieldbook:
        record = read_property(fieldbook, property_name)
        found = pests_property(fieldbook, record, Run(day or today()))
    out(stage_json(found) if as_json else pests_text(record, found, *screen()))
