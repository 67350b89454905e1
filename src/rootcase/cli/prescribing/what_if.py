"""rootcase prescribe what-if."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from rootcase.cli.options import (
    Amount,
    fieldbook_option,
    json_option,
    make_run,
    open_book,
    out,
    property_option,
    run_options,
    screen,
)
from rootcase.ground.words import say


@click.command(help=say("course.help"))
@click.option("--budget", type=Amount(), help=say("course.option.budget"))
@click.option("--crew-hours", type=Amount(), help=say("course.option.crew_hours"))
@click.option("--machine-hours", type=Amount(), help=say("course.option.machine_hours"))
@click.option("--wish", "wishes", multiple=True, metavar="WISH=ANSWER[@PLACE]", help=say("course.option.wish"))
@click.option("--price", "prices", multiple=True, metavar="ITEM=AMOUNT/UNIT", help=say("course.option.price"))
@click.option("--without", multiple=True, metavar="REMEDY", help=say("course.option.without"))
@click.option("--worth", type=Amount(), metavar="N", help=say("course.option.worth"))
@click.option("--tree", help=say("course.option.tree"))
@click.option("--course", help=say("course.option.course"))
@fieldbook_option
@property_option
@json_option
@run_options
def what_if(budget: float | None, crew_hours: float | None, machine_hours: float | None, wishes: tuple[str, ...],
            prices: tuple[str, ...], without: tuple[str, ...], worth: float | None, tree: str | None,
            course: str | None, fieldbook_path: Path | None, property_name: str | None, as_json: bool,
            day: date | None, draws: int, seed: int, threads: int) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.terminal.what_if import what_if_text
    from rootcase.services.observe import find_property
    from rootcase.services.what_if import Supposed, suppose

    ceilings = (("budget", budget), ("crew_hours", crew_hours), ("machine_hours", machine_hours))
    supposed = Supposed(tuple((name, figure) for name, figure in ceilings if figure is not None), wishes, prices,
                        without, tree, course, worth)
    run = make_run(day, draws, seed, threads)
    with open_book(fieldbook_path) as fieldbook:
        record, found = suppose(fieldbook, find_property(fieldbook, property_name), run, supposed)
    out(stage_json(found) if as_json else what_if_text(record, found, *screen()))
