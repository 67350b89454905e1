"""The laboratory's sheets as tables: a row a value, then once what each kind of value means and does not."""

from __future__ import annotations

from typing import Any

from rootcase.ground.words import say
from rootcase.records.report import Casework
from rootcase.report.text.figures import sentence
from rootcase.report.text.laboratory import lists, of_sheet, sheets
from rootcase.report.text.ledger import Ledger
from rootcase.report.text.naming import kind_name

_COLUMNS = ("value", "here", "healthy", "ranges")


def laboratory_pages(casework: Casework, ledger: Ledger) -> dict[str, Any] | None:
    """Return every sheet of the property, None where no laboratory told anything."""
    found = sheets(casework.record, casework.comparison)
    if not found:
        return None
    means = {row.kind: row.means for sheet in found for row in sheet.rows}
    return {
        "title": say("laboratory.sheets_title"), "intro": say("laboratory.sheets_intro"),
        "heads": [say(f"laboratory.column.{column}") for column in _COLUMNS],
        "sheets": [{"title": sheet.title, "marks": ledger.marks([of_sheet(sheet.sample_id)]),
                    "rows": [{"name": row.name, "here": row.here, "healthy": row.healthy, "ranges": list(row.ranges)}
                             for row in sheet.rows]} for sheet in found],
        "means": [say("laboratory.about", kind=sentence(kind_name(kind)), sentences=told)
                  for kind, told in means.items()],
        "remarks": list(dict.fromkeys(remark for sheet in found for remark in sheet.remarks)),
        "lists": lists(casework.comparison)}
