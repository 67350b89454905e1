"""rootcase make slide."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.options import fieldbook_option, json_option, open_book, out, tell
from rootcase.ground.words import say


@click.command(help=say("slide.help.slide"))
@click.argument("slide_id", metavar="ID")
@fieldbook_option
@json_option
def slide(slide_id: str, fieldbook_path: Path | None, as_json: bool) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.text.slides import beside_line, observer_told, row_told, slide_told
    from rootcase.services.slides import seen

    with open_book(fieldbook_path) as book:
        found = seen(book, slide_id)
    if as_json:
        out(stage_json(found))
        return
    words = slide_told(found.slide, found.count) if found.count else None
    beside = [beside_line(*each) for each in found.beside]
    tell(row_told(found.slide, found.count), *(filter(None, (words.needed, words.finding, *words.lines,
                                                             words.not_shown)) if words else (found.lacking,)),
         *beside, observer_told(found.observer))
