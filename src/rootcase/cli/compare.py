"""rootcase compare."""

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


@click.command(help=say("cli.help.compare"))
@fieldbook_option
@property_option
@json_option
@run_options
def compare(fieldbook_path: Path | None, property_name: str | None, as_json: bool, day: date | None, draws: int,
            seed: int, threads: int) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.terminal import comparison_text
    from rootcase.services.compare import compare_property
    from rootcase.services.observe import read_property

    run = make_run(day, draws, seed, threads)
    with open_book(fieldbook_path) as fieldbook:
        record = read_property(fieldbook, property_name)
    comparison = compare_property(record, run)
    out(stage_json(comparison) if as_json else comparison_text(record, comparison, *screen()))
