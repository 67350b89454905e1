"""The options of `observe import` that say how a stranger's list is read."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from rootcase.cli.options import WholeNumber
from rootcase.ground.words import say

if TYPE_CHECKING:
    from rootcase.fieldbook.intake.lists.listing import Given

Command = TypeVar("Command", bound=Callable[..., Any])


def list_options(command: Command) -> Command:
    """What may be said of a list."""
    for option in (
        click.option("--day", help=say("cli.option.list.day")),
        click.option("--ground", multiple=True, help=say("cli.option.list.ground")),
        click.option("--place", help=say("cli.option.list.place")),
        click.option("--system", type=click.Choice(["us", "metric"]), help=say("cli.option.list.system")),
        click.option("--currency", help=say("cli.option.list.currency")),
        click.option("--station", help=say("cli.option.list.station")),
        click.option("--at", help=say("cli.option.list.at")),
        click.option("--property", "property_name", help=say("cli.option.list.property")),
        click.option("--header-row", type=WholeNumber(1), help=say("cli.option.list.header_row")),
        click.option("--matrix", type=click.Choice(["soil", "leaf"]), help=say("cli.option.list.matrix")),
        click.option("--sheet", help=say("cli.option.list.sheet")),
        click.option("--mapping", type=click.Path(path_type=Path, dir_okay=False), help=say("cli.option.list.mapping")),
        click.option("--mend", multiple=True, help=say("cli.option.list.mend")),
        click.option("--column", multiple=True, help=say("cli.option.list.column")),
        click.option("--save", is_flag=True, help=say("cli.option.list.save")),
    ):
        command = option(command)
    return command


def given(rejects: Path | None, save: bool, column: Iterable[str], mend: Iterable[str], mapping: Path | None,
          ground: Iterable[str], **plain: Any) -> Given:
    """What this run says, from its flags."""
    from rootcase.fieldbook.intake.lists.listing import Given
    from rootcase.fieldbook.intake.lists.told import Told

    ground = list(ground)
    told = Told(**{name: value or Told.__dataclass_fields__[name].default for name, value in plain.items()},
                ground=next((each for each in ground if "=" not in each), ""),
                grounds=dict(_pair(each, "--ground", '"North side=bed"') for each in ground if "=" in each),
                columns=dict(_pair(each, "--column", '"Dia=dbh:in"') for each in column))
    return Given(told, tuple(_pair(each, "--mend", "1=mm") for each in mend), mapping, save, rejects)


def _pair(typed: str, flag: str, example: str) -> tuple[str, str]:
    """One thing and what is said of it; a header may itself have the sign in it, its meaning never has."""
    first, sign, second = typed.partition("=") if flag == "--mend" else typed.rpartition("=")
    if not sign or not first.strip() or not second.strip():
        raise click.BadParameter(say("cli.not_a_pair", typed=typed, example=example), param_hint=flag)
    return first.strip(), second.strip()
