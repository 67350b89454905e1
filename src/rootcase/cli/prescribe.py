"""rootcase prescribe."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from rootcase.cli.options import (
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


@click.command(help=say("cli.help.prescribe"))
@fieldbook_option
@property_option
@json_option
@run_options
def prescribe(fieldbook_path: Path | None, property_name: str | None, as_json: bool, day: date | None, draws: int,
              seed: int, threads: int) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.terminal import plan_text
    from rootcase.services.observe import find_property
    from rootcase.services.prescribe import prescribe_property

    run = make_run(day, draws, seed, threads)
    with open_book(fieldbook_path) as fieldbook:
        casework = prescribe_property(fieldbook, find_property(fieldbook, property_name), run)
    out(stage_json(casework.plan) if as_json else plan_text(casework.record, casework.plan, *screen()))
