"""One figure for all that is held: every column of every table moves it, the order of arrival does not."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import Table

from rootcase.fieldbook.events import Event
from rootcase.fieldbook.photos import Photos
from rootcase.fieldbook.state import ARRIVAL, held, state_hash
from rootcase.fieldbook.store import open_store
from rootcase.fieldbook.store.schema import metadata, practices
from tests.fieldbook.sheets import event, reading, whole_property

VALUES: dict[type, tuple[Any, Any]] = {str: ("{}", '{"a":1}'), float: (1.5, 1.5000000000000002), int: (1, 2),
                                       bool: (True, False)}
TABLES = [table for table in metadata.sorted_tables if table.name != "record_links"]
"""The chain of the record is made by the store alone, follows from the events, and is held to itself."""


def row(table: Table) -> dict[str, Any]:
    return {column.name: VALUES[column.type.python_type][0] for column in table.columns}


def hashed(rows: list[tuple[str, dict[str, Any]]]) -> str:
    return state_hash(rows, lambda mark: False)


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.name)
def test_a_row_of_any_table_is_held_and_counts(tmp_path: Path, table: Table) -> None:
    store = open_store(tmp_path / "book.sqlite", "own")
    with store.writing() as turn:
        turn.put_rows(practices, [{"practice_id": "own"}])
        before = hashed(list(held(turn)))
        if table is not practices:
            turn.put_rows(table, [row(table) | {"practice_id": "own"}])
            assert hashed(list(held(turn))) != before
        assert table.name in {name for name, _ in held(turn)}


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.name)
def test_every_column_counts_but_the_order_of_arrival(table: Table) -> None:
    one = row(table)
    for column in table.columns:
        other = one | {column.name: VALUES[column.type.python_type][1]}
        assert (hashed([(table.name, one)]) == hashed([(table.name, other)])) == ((table.name, column.name) in ARRIVAL)
        if column.nullable:
            assert hashed([(table.name, one)]) != hashed([(table.name, one | {column.name: None})])
    assert "practice_id" in table.columns, "what belongs to no practice is not taken out with it"


@pytest.mark.property
@given(st.permutations(whole_property()))
def test_the_order_of_arrival_does_not_count(tmp_path_factory: pytest.TempPathFactory, events: list[Event]) -> None:
    rows = [("events", {"id": each.id, "body": each.hash, "received": number}) for number, each in enumerate(events)]
    straight = [("events", {"id": each.id, "body": each.hash}) for each in whole_property()]
    assert hashed(rows) == hashed(straight)
    assert hashed(rows[1:]) != hashed(straight)


def test_a_picture_counts_by_its_bytes_and_by_being_there(tmp_path: Path) -> None:
    store, photos = open_store(tmp_path / "book.sqlite", "own"), Photos(tmp_path / "book.sqlite")
    mark = photos.keep(io.BytesIO(b"\xff\xd8\xff picture"))
    with store.writing() as turn:
        turn.add([event("1", reading("s", 1.0, attributes={"photo": mark}))])

    def state() -> str:
        with store.reading() as look:
            return state_hash(held(look), lambda each: photos.sound(each) is not None)

    there = state()
    place = photos.find(mark)
    assert place is not None
    place.write_bytes(b"\xff\xd8\xff pictur ")
    assert state() != there
    place.write_bytes(b"\xff\xd8\xff picture")
    assert state() == there
