"""In which units a command answers."""

from __future__ import annotations

import click

from rootcase.ground.words import say

units_option = click.option("--units", "system", type=click.Choice(("us", "metric")), default="us", show_default=True,
                            help=say("rates.option_units"))
