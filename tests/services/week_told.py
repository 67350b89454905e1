"""A property with a signed plan and fit days, and a yard with a truck and a crew near by."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.services.fleet import take, usual_cells
from tests.services.planned import planned

NOW = datetime(2016, 5, 2, 12, tzinfo=UTC)  # five in the yard


def a_week(folder: Path) -> Path:
    """The file of a fieldbook in which a week can be planned from 2 May 2016 on, a Monday."""
    path = folder / "own.sqlite"
    with open_fieldbook(path, now=lambda: NOW) as book:
        planned(book, folder)
        tell_near(book)
    return path


def tell_near(book: Fieldbook) -> None:
    ground = book.properties()[0]
    where = f"{ground.latitude_deg + 0.01}, {ground.longitude_deg}"
    for what, cells in (
            ("fill_point", {"name": "yard", "where": where, "fill": "10", "yard": "yes",
                            "time_zone": "America/Los_Angeles"}),
            ("truck", {"name": "truck 1", "tank": "300 gal"}),
            ("crew", usual_cells("crew", "us") | {"name": "crew 1", "truck": "truck 1", "people": "rs"}),
            ("batch", {"day": "2016-05-02", "ready": "8:00", "volume": "200 gal"}),
            ("batch", {"day": "2016-05-03", "ready": "8:00", "volume": "200 gal"})):
        assert not take(book, what, cells, "rs", "us")  # type: ignore[arg-type]
