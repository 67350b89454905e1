"""The plan as it would be in the terminal, beside the plan as it is."""

from __future__ import annotations

from rootcase.ground.dates import show_date
from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord
from rootcase.records.what_if import WhatIf
from rootcase.report.terminal.paper import Paper
from rootcase.report.text.course import no_fit
from rootcase.report.text.what_if import changes, totals


def what_if_text(record: PropertyRecord, found: WhatIf, width: int = 80, colour: bool = False) -> str:
    """Return the totals old and new, then each tree that changes."""
    paper = Paper(width, colour)
    paper.title(record.property.name, show_date(found.now.made_on))
    paper.say(say("course.nothing_kept"), quiet=True)
    paper.gap()
    paper.columns(totals(found), right=(1, 2), head=True)
    paper.gap()
    paper.say(no_fit(found.then, record), bold=True)
    for line in changes(record, found):
        if found.trees:
            paper.item("·", line)
        else:
            paper.say(line)
    return paper.text()
