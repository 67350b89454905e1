"""The command `rootcase`: one word a stage."""

from __future__ import annotations

import hashlib
import os
import signal
import sys
from collections.abc import Sequence
from io import TextIOWrapper
from pathlib import Path
from typing import Any, NoReturn

import click

from rootcase import __version__
from rootcase.cli.lazy import Lazy
from rootcase.cli.showing import shown
from rootcase.ground.errors import RootcaseError
from rootcase.ground.words import say

NEEDS_YOU, WRONG_USE, CANNOT = 1, 2, 3
"""Exit codes beside 0: rows wait to be mended; the command line is wrong; it cannot be done, and why."""

COMMANDS = ("observe", "compare", "explain", "pests", "prescribe", "make", "apply", "prove", "report", "calc", "export",
            "backup", "restore", "people", "serve", "demo")


@click.group(cls=Lazy, package="rootcase.cli", names=COMMANDS, help=say("cli.help.rootcase"),
             epilog=say("cli.help.exit_codes"),
             context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="rootcase")
def rootcase() -> None:
    """One word a stage."""


def main(arguments: Sequence[str] | None = None) -> Any:
    """Run the command line; errors meant for people are one line and an exit code."""
    signal.signal(signal.SIGINT, signal.default_int_handler)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            # Bars and minus signs, also into a file on an older Windows; a file's name may hold bytes that are no text.
            stream.reconfigure(encoding="utf-8", errors="replace")
    os.environ.setdefault("NUMBA_CACHE_DIR", compiled_folder())
    # Lanes are spread over threads by ourselves; small regressions over several threads take longer, not shorter.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    try:
        code = rootcase.main(args=None if arguments is None else list(arguments), prog_name="rootcase",
                             standalone_mode=False)
        sys.exit(code if isinstance(code, int) else 0)
    except (click.exceptions.Abort, KeyboardInterrupt):
        complain(say("cli.stopped"), 130)
    except click.exceptions.NoArgsIsHelpError as wrong:
        wrong.show()
        sys.exit(WRONG_USE)
    except click.ClickException as wrong:
        context = getattr(wrong, "ctx", None)
        hint = say("cli.see_help", command=context.command_path) if context else ""
        if isinstance(wrong, click.NoSuchOption) and wrong.option_name.lstrip("-")[:1].isdigit():
            hint = say("cli.dashes_first")
        complain(" ".join(wrong.format_message().split()).removesuffix(".") + hint, WRONG_USE)
    except RootcaseError as error:
        complain(str(error), CANNOT)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(0)
    except OSError as error:
        told = f"{error.filename}: {error.strerror}" if error.filename else str(error.strerror or error)
        complain(told + (say("cli.not_allowed") if isinstance(error, PermissionError) else ""), CANNOT)


def complain(text: str, code: int) -> NoReturn:
    """One line of what is wrong, and the exit code."""
    click.echo(f"rootcase: {shown(text)}", err=True)
    sys.exit(code)


def compiled_folder() -> str:
    """Where numba keeps what it compiled."""
    from platformdirs import user_cache_dir

    return os.path.join(user_cache_dir("rootcase", appauthor=False), "numba", _compiled_from())


def _compiled_from() -> str:
    """Of compiled code only the file it is in is checked for changes, not those it calls: so each state of the sources
    has a folder of its own. As in `run`."""
    science = Path(__file__).parents[1] / "science"
    found = hashlib.sha256()
    for source in sorted(science.rglob("*.py")):
        found.update(source.read_bytes())
    return found.hexdigest()[:12]


if __name__ == "__main__":
    main()
