"""What the commands of the week share: what is known, and rounds as lines."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from rootcase.ground.quantity import System
from rootcase.ground.words import say

if TYPE_CHECKING:
    from rootcase.fieldbook.fieldbook import Fieldbook
    from rootcase.records.apply.rounds import Week
    from rootcase.services.week_known import Gathered


def week_lines(found: Gathered, week: Week, system: System) -> Iterator[str]:
    """Rounds in driving order, what they break, what is left out and why."""
    from rootcase.report.text import rounds as text
    from rootcase.services.week_known import names_of, why_closed

    names = names_of(found)
    for given in week.rounds:
        yield f"{text.round_title(given, names)} ({text.state_told(given)})"
        yield from (f"  {text.step_line(step, names, system)}" for step in given.steps)
    yield from (text.broken_line(each, week, names, system, why_closed(found, each))
                for each in week.broken)
    yield from (text.left_out_line(each, names) for each in week.left_out)
    if week.drive_minutes:
        yield say("week.drive_proven" if week.proven_days else "week.drive", minutes=f"{week.drive_minutes:.0f}")


def planned_now(book: Fieldbook) -> tuple[Gathered, Week]:
    """The week as it was planned last, with the rounds that stand."""
    from rootcase.cli.options import OWN_RESULTS, today_of
    from rootcase.services.week import proposed, whole_week
    from rootcase.services.week_known import gather

    found = gather(book, today_of(book))
    return found, whole_week(found.known, proposed(found.known, OWN_RESULTS))
