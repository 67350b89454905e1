"""rootcase prove fit."""

from __future__ import annotations

import json
from pathlib import Path
from typing import get_args

import click

from rootcase.cli.options import json_option, out, tell
from rootcase.ground.words import say
from rootcase.records.prove import FreedomBy

level_option = click.option("--level", type=click.FloatRange(0.5, 0.999), default=0.95, show_default=True,
                            help=say("prove.help.level"))


@click.command(help=say("prove.help.fit"))
@click.argument("file", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@click.option("--df", "freedom_by", type=click.Choice(get_args(FreedomBy)), default="satterthwaite", show_default=True,
              help=say("prove.help.df"))
@level_option
@click.option("--flag", default="", metavar="COLUMN", help=say("prove.help.flag"))
@json_option
def fit(file: Path, freedom_by: FreedomBy, level: float, flag: str, as_json: bool) -> None:
    from rootcase.report.text.trial import trial_lines
    from rootcase.services.trials import fit_figures, fit_file

    found = fit_file(file, freedom_by, level, flag.strip().lower())
    if as_json:
        out(json.dumps(fit_figures(found), ensure_ascii=False))
    else:
        tell(*trial_lines(found))
