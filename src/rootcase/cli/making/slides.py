"""rootcase make slides."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.options import fieldbook_option, json_option, open_book, out, tell
from rootcase.ground.words import say


@click.command(help=say("slide.help.slides"))
@fieldbook_option
@json_option
def slides(fieldbook_path: Path | None, as_json: bool) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.text.slides import row_told
    from rootcase.services.slides import reckoned, slides

    with open_book(fieldbook_path) as book:
        known = slides(book)
    if as_json:
        out(stage_json(known))
        return
    tell(*(row_told(each, reckoned(each)[0]) for each in known) if known else (say("slide.none_yet"),))
