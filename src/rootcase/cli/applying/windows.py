"""rootcase apply windows."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from rootcase.cli.making.units import units_option
from rootcase.cli.options import (
    WholeNumber,
    day_option,
    fieldbook_option,
    json_option,
    open_book,
    out,
    property_option,
    tell,
    today_of,
)
from rootcase.ground.quantity import System
from rootcase.ground.words import say

USUAL_DAYS, MOST_DAYS = 10, 28


@click.command(help=say("windows.help.windows"))
@property_option
@fieldbook_option
@day_option
@units_option
@json_option
@click.option("--days", type=WholeNumber(1, MOST_DAYS), default=USUAL_DAYS, show_default=True,
              help=say("windows.help.days"))
def windows(property_name: str | None, fieldbook_path: Path | None, day: date | None, system: System, days: int,
            as_json: bool) -> None:
    from rootcase.ground.dates import count_days
    from rootcase.report.casework_json import stage_json
    from rootcase.report.text.windows import forecast_line, later_lines, squeezed_lines, windows_lines
    from rootcase.services.observe import find_property
    from rootcase.services.windows import windows_of_all

    with open_book(fieldbook_path) as book:
        asked = day or today_of(book)
        grounds = [find_property(book, property_name)] if property_name else book.properties()
        found = windows_of_all(book, grounds, asked, days)
    if as_json:
        out(stage_json([window for each in found for window in each.windows]))
        return
    for each in found:
        out(each.ground.name)
        if each.jobs:
            tell(forecast_line(each.windows[0].forecast_issued, asked))
            out("\n".join(windows_lines(each.windows, each.record, each.jobs)))
        for line in (*squeezed_lines(each.told, each.record, asked), *later_lines(each.later)):
            out(line)
    any_here = any(each.jobs for each in found)
    tell(say("windows.caution") if any_here else say("windows.nothing_at_all", days=count_days(days)))
