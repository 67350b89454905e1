"""Extract of which the batch was told and not the load, as a phone tells it that had not heard of the load yet.

Its load is found by what was filled, where only one can be meant. The record itself stays as it was told.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from sqlalchemy import Connection, Row, text

from rootcase.fieldbook.canonical import read_canonical
from rootcase.fieldbook.people.tokens import read_perhaps

_A_DAY = timedelta(days=1)
_TOLD = """
SELECT put.id AS put_id, put.property_id AS property_id, put.made_at AS made_at, put.body AS put,
  linked.number AS record, linked.flags AS flags,
  (SELECT json_extract(said.body, '$.name') FROM events AS said INDEXED BY events_of_properties
   WHERE said.practice_id = put.practice_id AND said.kind = 'property_opened' AND said.property_id = put.property_id
   ORDER BY said.received DESC LIMIT 1) AS property_name,
  (SELECT json_extract(said.body, '$.label') FROM events AS said WHERE said.practice_id = put.practice_id
   AND said.kind = 'tree_opened' AND json_extract(said.body, '$.tree') = json_extract(put.body, '$.tree')
   ORDER BY said.received DESC LIMIT 1) AS tree_label
FROM events AS put LEFT JOIN record_links AS linked
  ON linked.practice_id = put.practice_id AND linked.event_id = put.id
WHERE put.practice_id = :practice AND put.kind = 'put_on_logged' AND json_extract(put.body, '$.load') IS NULL
  AND json_extract(put.body, '$.batch') IS NOT NULL AND json_extract(put.body, '$.not_done') IS NULL
  AND NOT EXISTS (SELECT 1 FROM events AS anew WHERE anew.practice_id = put.practice_id
    AND anew.kind = 'put_on_logged' AND json_extract(anew.body, '$.supersedes') = +put.id)
ORDER BY +put.received
"""
_MADE = ("SELECT kind, body FROM events WHERE practice_id = :practice "
         "AND kind IN ('load_filled', 'batch_planned', 'batch_started')")


@dataclass(frozen=True, slots=True)
class ByBatch:
    """One record, and what it can be of."""

    row: Row[Any]
    """put_id, property_id, made_at, put, record, flags, property_name, tree_label."""
    batch_id: str
    """That was made; empty: none of this name was, and none can be meant."""
    load_id: str
    """Empty: none, or several can be meant."""


def told_by_batch(file: Connection, practice_id: str) -> tuple[ByBatch, ...]:
    """Every such record that stands."""
    rows = file.execute(text(_TOLD), {"practice": practice_id}).all()
    if not rows:
        return ()
    made = [(row.kind, read_canonical(row.body)) for row in file.execute(text(_MADE), {"practice": practice_id})]
    loads = [said for kind, said in made if kind == "load_filled"]
    planned = {said["batch"] for kind, said in made if kind == "batch_planned"}
    batches = {said["batch"] for kind, said in made if kind == "batch_started"}
    return tuple(_meant(row, loads, batches, planned) for row in rows)


def _meant(row: Row[Any], loads: Sequence[Mapping[str, Any]], batches: set[str], planned: set[str]) -> ByBatch:
    """Of its batch the one load that was filled before the work; of a planned one those of the day before it."""
    body = read_canonical(row.put)
    batch, at = body["batch"], read_perhaps(body.get("started") or row.made_at)
    filled = [(each, read_perhaps(each["at"])) for each in loads]
    before = [each for each, then in filled if at and then and then <= at
              and (each["batch"] == batch or (batch not in batches and at - then <= _A_DAY))]
    if batch not in batches:
        before = before if batch in planned else []
        others = {each["batch"] for each in before}
        batch = others.pop() if len(others) == 1 else ""
    return ByBatch(row, batch, before[0]["load"] if batch and len(before) == 1 else "")
