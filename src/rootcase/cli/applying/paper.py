"""What the commands that print papers of the rounds share."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.options import tell
from rootcase.ground.words import say

out_option = click.option("--out", "file", type=click.Path(path_type=Path, dir_okay=False), help=say("paper.cli.pdf"))


def written_to(file: Path, pdf: bytes) -> None:
    """Write a paper whole, or say that its folder is not there."""
    from rootcase.fieldbook.whole_file import write_whole

    if not file.absolute().parent.is_dir():
        raise click.BadParameter(say("cli.no_folder", folder=file.parent), param_hint="--out")
    write_whole({file: pdf})
    tell(say("paper.cli.written", file=file))
