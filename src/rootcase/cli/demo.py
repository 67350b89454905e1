"""rootcase demo: the main job on two invented properties."""

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
@click.option("--fieldbook", "kept", type=click.Path(path_type=Path, dir_okay=False), help=say("cli.option.demo_kept"))
@click.option("--threads", type=WholeNumber(1, 64), default=2, show_default=True, help=say("cli.option.threads"))
def demo(folder: Path | None, kept: Path | None, threads: int) -> None:
    if kept is None:
        _show(folder, threads)
    elif folder is not None:
        raise click.UsageError(say("cli.demo_one_of"))
    else:
        _keep(kept)


def _keep(file: Path) -> None:
    """The invented practice as a fieldbook to try the other commands on; never over a file that is there."""
    from rootcase.services.demo import demo_fieldbook

    if file.exists():
        raise click.BadParameter(say("cli.demo_there", file=file), param_hint="--fieldbook")
    demo_fieldbook(file)
    out(say("cli.demo_kept", file=file))


def _show(folder: Path | None, threads: int) -> None:
    """The whole job, kept nowhere but in the report."""
    from rootcase.fieldbook.intake.importer import ImportResult
    from rootcase.fieldbook.intake.lists.listing import Listing
    from rootcase.records.report import Author
    from rootcase.report.pdf.offer import offer_pdf
    from rootcase.report.terminal import brief, import_text, listing_text, summary, weather_text
    from rootcase.services.demo import DAY, SEED, import_demo
    from rootcase.services.offer import make_offer
    from rootcase.services.prescribe import prescribe_property
    from rootcase.services.report import folder_of, report_files

    run = make_run(DAY, 1000, SEED, threads)
    with TemporaryDirectory(prefix="rootcase-") as temporary, open_book(
            Path(temporary) / "demo.sqlite", make=True) as fieldbook:
        for arrived in import_demo(fieldbook, Path(temporary) / "demo"):
            if isinstance(arrived, ImportResult):
                out(import_text(arrived, *screen()))
            elif isinstance(arrived, Listing):
                out(listing_text(arrived, Path(arrived.file), True, *screen()))
            else:
                out(weather_text(arrived, *screen()))
        caseworks = [prescribe_property(fieldbook, ground, run) for ground in fieldbook.properties()]
        offers = [make_offer(fieldbook, casework.record.property, run, plan=casework.plan)[0] for casework in caseworks]
    folder = folder or _default_folder()
    for shown, casework, offer in zip((summary, *[brief] * len(caseworks)), caseworks, offers, strict=False):
        run.progress("draw", 0, 1)
        files, place = report_files(casework), folder / folder_of(casework.record.property)
        run.progress("draw", 1, 1)
        write_whole({place / name: data for name, data in files.items()}
                    | {place / "offer.pdf": offer_pdf(offer, Author())})
        out(shown(casework, *screen()))
        out(say("cli.report_written", folder=place, pictures=len(files) - 2))
        out(say("offer.written", file=place / "offer.pdf"))


def _default_folder() -> Path:
    """Here, or among the temporary files where nothing may be written here."""
    return (Path() if os.access(".", os.W_OK) else Path(gettempdir())) / "rootcase-demo"
