"""A small invented yard: one truck, one crew, a hydrant, told by the same doors as the forms."""

from __future__ import annotations

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.services.fleet import take, usual_cells

YARD = {"name": "yard", "where": "47.45, -122.31", "fill": "15", "yard": "yes", "time_zone": "America/Los_Angeles"}
TRUCK = {"name": "truck 1", "tank": "300 gal", "payload": "2550 lb"}
CREW = usual_cells("crew", "us") | {"name": "crew 1", "truck": "truck 1", "people": "rs, hz"}


def tell_yard(book: Fieldbook) -> None:
    for what, cells in (("fill_point", YARD), ("truck", TRUCK), ("crew", CREW),
                        ("fill_point", {"name": "hydrant", "where": "47.47, -122.31", "fill": "8"})):
        assert not take(book, what, cells, "rs", "us")  # type: ignore[arg-type]
