"""What the commands that print papers of the rounds share."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from rootcase.cli.options import open_book, tell
from rootcase.ground.quantity import System
from rootcase.ground.words import say

if TYPE_CHECKING:
    from rootcase.records.apply.round_paper import RoundPaper
    from rootcase.services.week_known import Gathered

out_option = click.option("--out", "file", type=click.Path(path_type=Path, dir_okay=False), help=say("paper.cli.pdf"))

out_needed = click.option("--out", "file", type=click.Path(path_type=Path, dir_okay=False), required=True,
                          help=say("paper.cli.pdf"))


def round_on_paper(fieldbook_path: Path | None, asked: tuple[date, str], system: System) -> tuple[Gathered, RoundPaper]:
    """The round of a day and a crew, gathered for its papers."""
    from rootcase.cli.applying.planning import planned_now
    from rootcase.services.round_paper import round_paper

    with open_book(fieldbook_path) as book:
        found, week = planned_now(book)
        return found, round_paper(book, found, week, asked, system)


def written_to(file: Path, pdf: bytes) -> None:
    """Write a paper whole, or say that its folder is not there."""
    from rootcase.fieldbook.whole_file import write_whole

    if not file.absolute().parent.is_dir():
        raise click.BadParameter(say("cli.no_folder", folder=file.parent), param_hint="--out")
    write_whole({file: pdf})
    tell(say("paper.cli.written", file=file))
