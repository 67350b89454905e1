"""rootcase prescribe remedies."""

from __future__ import annotations

import click

from rootcase.cli.options import json_option, out, screen
from rootcase.ground.words import say


@click.command(help=say("dose.list.help"))
@click.argument("wanted", metavar="[REMEDY]...", nargs=-1)
@json_option
def remedies(wanted: tuple[str, ...], as_json: bool) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.terminal.remedies import chosen_remedies, remedies_json, remedies_text

    rows = chosen_remedies(wanted)
    out(stage_json(remedies_json(rows)) if as_json else remedies_text(rows, *screen()))
