"""rootcase prescribe signed."""

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


@click.command(help=say("sign.help.signed"))
@fieldbook_option
@property_option
@json_option
@run_options
def signed(fieldbook_path: Path | None, property_name: str | None, as_json: bool, day: date | None, draws: int,
           seed: int, threads: int) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.terminal.signed import signed_text
    from rootcase.services.observe import find_property
    from rootcase.services.sign import signed_property

    run = make_run(day, draws, seed, threads)
    with open_book(fieldbook_path) as fieldbook:
        found = signed_property(fieldbook, find_property(fieldbook, property_name), run)
    told = {"plans": found.plans, "outdated": found.outdated}
    out(stage_json(told) if as_json else signed_text(found.record, found.plans, found.outdated, *screen()))
