"""rootcase apply move."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from rootcase.cli.applying.planning import planned_now, week_lines
from rootcase.cli.making.units import units_option
from rootcase.cli.options import WholeNumber, fieldbook_option, open_book, read_day, tell
from rootcase.ground.quantity import System
from rootcase.ground.words import say


@click.command(help=say("week.cli.move"))
@click.argument("day", metavar="DAY", callback=read_day)
@click.argument("crew")
@click.argument("stop", type=WholeNumber(1, 999))
@click.option("--to-day", callback=read_day, help=say("week.cli.to_day"))
@click.option("--to-crew", help=say("week.cli.to_crew"))
@click.option("--to", "place", type=WholeNumber(1, 999), default=1, show_default=True, help=say("week.cli.to"))
@click.option("--out", "taken_out", is_flag=True, help=say("week.cli.out"))
@click.option("--by", default="", help=say("fleet.cli.by"))
@units_option
@fieldbook_option
def move(day: date, crew: str, stop: int, to_day: date | None, to_crew: str | None, place: int,
         taken_out: bool, by: str, system: System, fieldbook_path: Path | None) -> None:
    from rootcase.services.week_moves import Asked, move_stop

    with open_book(fieldbook_path) as book:
        found, week = planned_now(book)
        to = None if taken_out else (to_day or day, to_crew or crew, place)
        arranged = move_stop(book, found, week, Asked(day, crew, stop, to), by)
    tell(*week_lines(found, arranged, system))
