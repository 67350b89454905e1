"""What the commands that tell of the ground share."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from rootcase.cli.options import fieldbook_option, open_book, property_option, read_words, tell, today_of
from rootcase.ground.errors import ImpossibleValue
from rootcase.ground.words import say

if TYPE_CHECKING:
    from rootcase.services.ground_told import Kind

Command = TypeVar("Command", bound=Callable[..., Any])


def told_options(command: Command) -> Command:
    """The days on which it holds, where, and who tells it."""
    for option in (
        click.option("--by", required=True, callback=read_words, help=say("windows.help.by")),
        click.option("--last", required=True, help=say("windows.help.last")),
        click.option("--first", required=True, help=say("windows.help.first")),
        fieldbook_option, property_option,
    ):
        command = option(command)
    return command


def tell_ground(kind: Kind, path: Path | None, name: str | None, by: str, typed: Mapping[str, str]) -> None:
    """Keep it, or say what is wrong with it."""
    from rootcase.services.ground_told import tell_of_ground
    from rootcase.services.observe import find_property

    with open_book(path) as book:
        wrong = tell_of_ground(book, find_property(book, name), kind, typed, by=by, today=today_of(book))
    if wrong:
        where, why = next(iter(wrong.items()))
        value = "" if " (got " in why else typed.get(where, "")
        raise ImpossibleValue(why, where=say(f"windows.field.{where}"), value=value)
    tell(say("windows.tell.told"))
