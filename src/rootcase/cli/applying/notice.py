"""rootcase apply notice."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from rootcase.cli.applying.paper import out_option, written_to
from rootcase.cli.making.units import units_option
from rootcase.cli.options import OWN_RESULTS, fieldbook_option, open_book, read_day, tell, today_of
from rootcase.ground.quantity import System
from rootcase.ground.words import say


@click.command(help=say("notice.help"))
@click.argument("day", metavar="DAY", callback=read_day)
@click.argument("property_name", metavar="PROPERTY")
@out_option
@units_option
@fieldbook_option
def notice(day: date, property_name: str, file: Path | None, system: System, fieldbook_path: Path | None) -> None:
    from rootcase.report.pdf.notice import notice_pdf
    from rootcase.report.text.notice import notice_text, notice_told
    from rootcase.services.notice import notice_of
    from rootcase.services.observe import find_property

    with open_book(fieldbook_path) as book:
        found = notice_of(book, find_property(book, property_name), day, today_of(book), OWN_RESULTS, system)
    tell(*notice_text(notice_told(found)).split("\n"))
    if file:
        written_to(file, notice_pdf(found))
