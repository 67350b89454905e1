"""What the page of rounds has done in other processes."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from rootcase.records.apply.rounds import Week
from rootcase.report.text.rounds import left_out_line
from rootcase.services.run import Progress
from rootcase.services.week import keep_proposed, plan_week, proposed, whole_week
from rootcase.services.week_known import Gathered, gather, names_of
from rootcase.services.week_moves import Asked, move_stop, rest_of_day
from rootcase.web.elsewhere import Elsewhere


def board(at: Elsewhere, today: date, results: Path) -> tuple[Gathered, Week, bool]:
    """What is known, the rounds that stand with those that are proposed, and whether any plan was made for just this.
    """
    with at.opened() as book:
        found = gather(book, today)
        plan = proposed(found.known, results)
        return found, whole_week(found.known, plan), plan is not None


def plan(progress: Progress, at: Elsewhere, today: date, results: Path) -> None:
    """Search the rounds of the days ahead, and keep them for the page."""
    with at.opened() as book:
        plan_week(gather(book, today).known, results, progress=progress)


def replan(progress: Progress, at: Elsewhere, today: date, by: str) -> tuple[str, ...]:
    """The rest of today's rounds, kept but not given out; what is left out, in words."""
    with at.opened() as book:
        found = gather(book, today, 1)
        rest = rest_of_day(book, found, progress=progress)
        keep_proposed(book, rest.rounds, by)
        return tuple(left_out_line(each, names_of(found)) for each in rest.left_out)


def move(at: Elsewhere, today: date, results: Path, asked: Asked, by: str) -> None:
    """A stop goes where it was asked to."""
    with at.opened() as book:
        found = gather(book, today)
        move_stop(book, found, whole_week(found.known, proposed(found.known, results)), asked, by)
