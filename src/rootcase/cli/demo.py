"""rootcase demo: the main job on an invented property."""

from __future__ import annotations

import os
from pathlib import Path
from tempfile import TemporaryDirectory, gettempdir

import click

from rootcase.cli.options import WholeNumber, make_run, open_book, out, screen
from rootcase.fieldbook.whole_file import write_whole
from rootcase.ground.words import say


@click.command(help=say("cli.help.demo"))
@click.option("--out", "folder", type=click.Path(path_type=Path, file_okay=False), help=say("cli.option.demo_out"))
@click.option("--threads", type=WholeNumber(1, 64), default=2, show_default=True, help=say("cli.option.threads"))
def demo(folder: Path | None, threads: int) -> None:
    from rootcase.report.terminal import import_text, summary
    from rootcase.services.demo import DAY, SEED, import_demo
    from rootcase.services.observe import find_property
    from rootcase.services.prescribe import prescribe_property
    from rootcase.services.report import report_files

    run = make_run(DAY, 1000, SEED, threads)
    with TemporaryDirectory(prefix="rootcase-") as temporary, open_book(
            Path(temporary) / "demo.sqlite", make=True) as fieldbook:
        out(import_text(import_demo(fieldbook, Path(temporary) / "rejects"), *screen()))
        casework = prescribe_property(fieldbook, find_property(fieldbook, None), run)
    run.progress("draw", 0, 1)
    files = report_files(casework)
    run.progress("draw", 1, 1)
    folder = folder or _default_folder()
    write_whole({folder / name: data for name, data in files.items()})
    out(summary(casework, *screen()))
    out(say("cli.report_written", folder=folder, pictures=len(files) - 2))


def _default_folder() -> Path:
    """Here, or among the temporary files where nothing may be written here."""
    return (Path() if os.access(".", os.W_OK) else Path(gettempdir())) / "rootcase-demo"
