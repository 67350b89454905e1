"""The state of a fieldbook in one figure: equal when two hold the same, wherever and in whatever order it came.

SHA-256 over the sorted SHA-256 of every row of every table and of every picture that a reading names. A column or a
table that is added later changes no old figure while it is empty.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from hashlib import sha256
from typing import Any

from rootcase.fieldbook.store.schema import metadata
from rootcase.fieldbook.store.store import Reading

Row = tuple[str, Mapping[str, Any]]
"""A table's name and one row of it."""

ARRIVAL = {("events", "received")}
"""What says only in which order things came in; so does the whole chain of the record, which is held to itself."""
_CHAIN = "record_links"


def held(look: Reading) -> Iterator[Row]:
    """Every row of the practice, table by table."""
    for table in metadata.sorted_tables:
        for row in look.rows(table):
            yield table.name, row


def state_hash(rows: Iterable[Row], has_photo: Callable[[str], bool]) -> str:
    """SHA-256 of all that is held; a picture counts by its mark, and by whether its bytes are there."""
    marks: set[str] = set()
    digests = []
    for table, row in rows:
        if table == _CHAIN:
            continue
        digests.append(_digest({"table": table, **{name: value for name, value in row.items()
                                                   if (table, name) not in ARRIVAL}}))
        marks.update(photo_marks(table, row))
    digests += [_digest({"photo": mark, "there": has_photo(mark)}) for mark in marks]
    return sha256(b"".join(sorted(digests))).hexdigest()


def row_line(row: Mapping[str, Any]) -> bytes:
    """A row as one line of JSON, to the last sign of its texts and the last bit of its numbers.

    >>> row_line({"rain_mm": 0.1, "day": "2015-11-05"})
    b'{"day":"2015-11-05","rain_mm":0.1}'
    """
    return json.dumps(row, ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode("utf-8")


def photo_marks(table: str, row: Mapping[str, Any]) -> Iterator[str]:
    """SHA-256 of each picture that a row names."""
    if table == "events" and '"photo":' in row["body"]:
        body = json.loads(row["body"])
        attributes = body.get("attributes")
        for told in (attributes if isinstance(attributes, dict) else {}, body):
            if isinstance(mark := told.get("photo"), str):
                yield mark


def _digest(said: Mapping[str, Any]) -> bytes:
    return sha256(row_line(said)).digest()
