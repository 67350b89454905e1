"""The papers of the rounds, drawn in other processes."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from rootcase.ground.quantity import System
from rootcase.records.apply.notice import Notice
from rootcase.report.pdf.day_sheet import day_sheet_pdf
from rootcase.report.pdf.job_sheet import job_sheet_pdf
from rootcase.report.pdf.shopping import shopping_pdf
from rootcase.report.text.shopping import shopping_told
from rootcase.services.notice import notice_of
from rootcase.services.round_paper import round_paper
from rootcase.services.shopping import shopping_of
from rootcase.services.week import proposed, whole_week
from rootcase.services.week_known import gather, names_of
from rootcase.web.elsewhere import Elsewhere


def shopping(at: Elsewhere, today: date, results: Path, system: System) -> bytes:
    """The shopping list of the week as it stands."""
    with at.opened() as book:
        found = gather(book, today)
        listed = shopping_of(book, found, whole_week(found.known, proposed(found.known, results)))
        return shopping_pdf(shopping_told(listed, names_of(found).jobs, system), book.practice(), system, today)


def sheet(at: Elsewhere, today: date, results: Path, system: System, asked: tuple[date, str], what: str) -> bytes:
    """The day sheet of a round, or the job sheets of its stops."""
    with at.opened() as book:
        found = gather(book, today)
        paper = round_paper(book, found, whole_week(found.known, proposed(found.known, results)), asked, system)
        return day_sheet_pdf(paper, names_of(found)) if what == "day" else job_sheet_pdf(paper)


def notice(at: Elsewhere, today: date, results: Path, system: System, asked: tuple[str, date]) -> Notice:
    """What the people of a property are told of a day."""
    with at.opened() as book:
        ground = next(each for each in book.properties() if each.id == asked[0])
        return notice_of(book, ground, asked[1], today, results, system)
