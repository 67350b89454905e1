"""The laboratory's sheets on the terminal, below the trees they were taken at."""

from __future__ import annotations

from rootcase.ground.words import say
from rootcase.records.compare import Comparison
from rootcase.records.observe import PropertyRecord
from rootcase.report.terminal.paper import Paper
from rootcase.report.text.figures import sentence
from rootcase.report.text.laboratory import lists, sheets
from rootcase.report.text.naming import kind_name


def laboratory_section(paper: Paper, record: PropertyRecord, comparison: Comparison) -> None:
    """Write every sample's values, then once what each kind means and does not."""
    found = sheets(record, comparison)
    if not found:
        return
    paper.gap()
    paper.title(say("laboratory.title"))
    for sheet in found:
        paper.heading(sheet.title)
        heads = tuple(say(f"laboratory.column.{column}") for column in ("value", "here", "healthy"))
        paper.columns([heads, *((row.name, row.here, row.healthy) for row in sheet.rows)], head=True)
        paper.gap()
        for row in sheet.rows:
            paper.item("·", say("laboratory.about", kind=sentence(kind_name(row.kind)), sentences=" ".join(row.ranges)))
    paper.gap()
    for remark in dict.fromkeys(remark for sheet in found for remark in sheet.remarks):
        paper.say(remark)
    told = {row.kind: row.means for sheet in found for row in sheet.rows}
    for kind, means in told.items():
        paper.item("·", say("laboratory.about", kind=sentence(kind_name(kind)), sentences=means))
    paper.gap()
    paper.say(lists(comparison), quiet=True)
