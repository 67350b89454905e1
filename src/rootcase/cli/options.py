"""Options every stage shares, and what they open."""

from __future__ import annotations

import os
import sys
import textwrap
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date, datetime
from math import isnan
from pathlib import Path
from shutil import get_terminal_size
from typing import TYPE_CHECKING, Any, TypeVar

import click
from platformdirs import user_cache_dir, user_data_dir

from rootcase.cli.showing import shown
from rootcase.ground.errors import Missing
from rootcase.ground.words import say

if TYPE_CHECKING:
    from rootcase.fieldbook.fieldbook import Fieldbook
    from rootcase.services.run import Progress, Run

Command = TypeVar("Command", bound=Callable[..., Any])

OWN_FIELDBOOK = Path(user_data_dir("rootcase", appauthor=False)) / "fieldbook.sqlite"
OWN_RESULTS = Path(user_cache_dir("rootcase", appauthor=False)) / "results"
NARROWEST, WIDEST = 40, 80


FIRST_DAY, LAST_DAY = date(1900, 1, 1), date(2199, 12, 31)
"""JUDGEMENT: nobody works on trees on another day, and what is reckoned from it stays a day."""


class Amount(click.FloatRange):
    """0 or more, and a number."""

    name = "amount"

    def __init__(self) -> None:
        super().__init__(min=0.0)

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        amount: float = super().convert(value, param, ctx)
        return self.fail(say("cli.not_an_amount", typed=value), param, ctx) if isnan(amount) else amount


class WholeNumber(click.IntRange):
    """As click's, called what people call it."""

    name = "whole number"


def short(path: Path) -> str:
    """A path of one's own with `~` for the home, so that the help does not tear it."""
    return f"~{os.sep}{path.relative_to(Path.home())}" if path.is_relative_to(Path.home()) else str(path)


fieldbook_option = click.option("--fieldbook", "fieldbook_path", type=click.Path(path_type=Path, dir_okay=False),
                                help=say("cli.option.fieldbook", own=short(OWN_FIELDBOOK)))
property_option = click.option("--property", "property_name", help=say("cli.option.property"))
json_option = click.option("--json", "as_json", is_flag=True, help=say("cli.option.json"))


def read_day(context: click.Context, option: click.Parameter, typed: str | None) -> date | None:
    """A day as a flag takes it, None where it was not given."""
    if typed is None:
        return None
    try:
        day = date.fromisoformat(typed)
    except ValueError:
        raise click.BadParameter(say("cli.not_a_day", typed=typed)) from None
    if not FIRST_DAY <= day <= LAST_DAY:
        raise click.BadParameter(say("cli.no_such_time", typed=typed, first=FIRST_DAY.year, last=LAST_DAY.year))
    return day


def read_words(context: click.Context, option: click.Parameter, typed: str) -> str:
    """What somebody has to say in words of their own."""
    if not typed.strip():
        raise click.BadParameter(say("cli.no_words"))
    return typed.strip()


day_option = click.option("--day", callback=read_day, help=say("cli.option.day"))


def run_options(command: Command) -> Command:
    """The day, the draws, the seed and the threads of a computation."""
    for option in (
        click.option("--threads", type=WholeNumber(1, 64), default=_cores, help=say("cli.option.threads")),
        click.option("--seed", type=WholeNumber(0, 2**31), default=1, show_default=True,
                     help=say("cli.option.seed")),
        click.option("--draws", type=WholeNumber(100, 20000), default=1000, show_default=True,
                     help=say("cli.option.draws")),
        day_option,
    ):
        command = option(command)
    return command


def make_run(day: date | None, draws: int, seed: int, threads: int) -> Run:
    from rootcase.services.run import Run

    return Run(day or today(), draws, seed, threads, progress(), OWN_RESULTS)


def day_run(day: date) -> Run:
    """A run of which nothing but the day is asked."""
    from rootcase.services.run import Run

    return Run(day, threads=_cores(), progress=progress(), results=OWN_RESULTS)


def today() -> date:
    """The day the computer's clock says."""
    return datetime.now().astimezone().date()


def today_of(book: Fieldbook) -> date:
    """The day it is for the practice of this fieldbook."""
    from rootcase.services.practice_day import practice_day

    return practice_day(book.properties(), book.recording.now())


@contextmanager
def open_book(path: Path | None, *, make: bool = False) -> Iterator[Fieldbook]:
    """The fieldbook at this path, or the person's own; only who brings something into it makes a new one."""
    from rootcase.fieldbook.fieldbook import open_fieldbook

    where = path or OWN_FIELDBOOK
    if not make and not where.exists():
        raise Missing(say("cli.no_fieldbook"), where=str(where), right=say("services.import_first"))
    with open_fieldbook(where) as fieldbook:
        for note in fieldbook.notes:
            click.echo(f"rootcase: {note}", err=True)
        yield fieldbook


def progress() -> Progress:
    """A line that counts, on a terminal; nothing elsewhere."""
    from rootcase.services.run import silent

    stream = sys.stderr
    if not stream.isatty():
        return silent

    def show(stage: str, done: int, of: int) -> None:
        text = say(f"jobs.stage.{stage}", done=done, of=of)
        stream.write(f"\r\x1b[K{text if done < of else ''}")
        stream.flush()

    return show


def screen() -> tuple[int, bool]:
    """Width of the terminal, and whether letters may be thick; 80 and plain where it is none."""
    return (min(max(get_terminal_size().columns, NARROWEST), WIDEST),
            sys.stdout.isatty() and "NO_COLOR" not in os.environ)


def out(data: bytes | str) -> None:
    """To standard output, as bytes where they must not change."""
    if isinstance(data, bytes):
        sys.stdout.buffer.write(data)
    else:
        click.echo(shown(data))


def tell(*texts: str) -> None:
    """Each text as a paragraph of the screen's width; what is no word, such as a path, is never torn."""
    for text in texts:
        out(textwrap.fill(text, screen()[0], break_long_words=False, break_on_hyphens=False))


def _cores() -> int:
    return os.cpu_count() or 1
