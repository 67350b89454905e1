"""rootcase prove pool."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Literal

import click

from rootcase.cli.options import json_option, out, tell
from rootcase.cli.proving.fit import level_option
from rootcase.ground.words import say


@click.command(help=say("prove.help.pool"))
@click.argument("file", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@click.option("--method", type=click.Choice(["reml", "dl", "pm", "ml", "hedges", "fixed", "bayes"]), default="reml",
              show_default=True, help=say("prove.help.method"))
@click.option("--knapp-hartung", is_flag=True, help=say("prove.help.knapp_hartung"))
@click.option("--moderator", default="", metavar="COLUMN", help=say("prove.help.moderator"))
@click.option("--property", "group", default="", metavar="COLUMN", help=say("prove.help.group"))
@click.option("--prior-mean", type=float, default=0.0, show_default=True, help=say("prove.help.prior_mean"))
@click.option("--prior-sd", type=click.FloatRange(0.0, min_open=True), help=say("prove.help.prior_sd"))
@click.option("--between", type=click.Choice(["flat", "half_cauchy", "half_normal"]), default="flat",
              show_default=True, help=say("prove.help.between"))
@click.option("--between-scale", type=click.FloatRange(0.0, min_open=True), default=1.0, show_default=True,
              help=say("prove.help.between_scale"))
@level_option
@json_option
def pool(file: Path, method: str, knapp_hartung: bool, moderator: str, group: str, prior_mean: float,
         prior_sd: float | None, between: Literal["flat", "half_cauchy", "half_normal"], between_scale: float,
         level: float, as_json: bool) -> None:
    from rootcase.report.text.pooled import pooled_lines
    from rootcase.science.trials.believed import Prior
    from rootcase.services.trials import pool_file

    if (moderator or group) and (method == "bayes" or (moderator and group)):
        raise click.UsageError(say("prove.one_question"))
    prior = Prior(prior_mean, prior_sd or float("inf"), between, between_scale) if method == "bayes" else None
    found = pool_file(file, None if prior else method, level, knapp_hartung=knapp_hartung,  # type: ignore[arg-type]
                      prior=prior, moderator=moderator.strip().lower(), group=group.strip().lower())
    if as_json:
        out(json.dumps(found.figures(), ensure_ascii=False))
    else:
        tell(*pooled_lines(found.figures(), found.effects))
