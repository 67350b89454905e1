"""Random fieldbooks, whatever kinds of events and tables there are, with texts that break exporters in every field."""

from __future__ import annotations

import types
import typing
from dataclasses import fields, is_dataclass
from datetime import date
from typing import Any

from hypothesis import strategies as st
from sqlalchemy import Table

from rootcase.fieldbook.events import KINDS, Body, Event, ReadingTaken
from rootcase.fieldbook.store.schema import events, metadata, practices, record_links
from rootcase.fieldbook.store.weather import TYPICAL_YEAR
from rootcase.tables.readings import kinds

_OF_ONE_BATCH = ("batch_started", "batch_judged", "load_filled")
"""The database takes no random ones of these; whole histories of batches go out and in in tests/fieldbook/making."""
HOSTILE = (
    "", " ", "  leading", "trailing  ", '"', '""', 'a "quoted" word', ",", ";", "\t", "\n", "\r", "\r\n", "two\nlines",
    "=1+1", "=cmd|' /C calc'!A0", "+1", "-1", "@SUM(1)", "\t=1", "\x00", "a\x00b", "\x1b[31m", "\x7f", "\ufeffmark",
    "\u202eright to left", "\u200f", "\u2028", "\u2029", "\x85", "\ufffe", "\uffff", "Linde\u0301", "Lindé", "🌳",
    "'quoted", "\\", "\\n", "_x0041_", "NULL", "nan", "1e400", "{}", "../../x", "a/b", "<b>&amp;</b>", "%s{0}", "-0",
)
TEXTS = st.one_of(st.sampled_from(HOSTILE), st.text(max_size=20))
DAYS = {"day": st.dates().map(date.isoformat),
        "month_day": st.dates(date(TYPICAL_YEAR, 1, 1), date(TYPICAL_YEAR, 12, 31)).map(lambda day: f"{day:%m-%d}")}
NUMBERS = st.floats(allow_nan=False, allow_infinity=False).map(lambda number: number + 0.0)


def any_of(hint: Any) -> st.SearchStrategy[Any]:
    """Any value of a type."""
    if is_dataclass(hint):
        hints = typing.get_type_hints(hint)
        return st.builds(hint, **{each.name: any_of(hints[each.name]) for each in fields(hint)})
    origin, inner = typing.get_origin(hint), typing.get_args(hint)
    if origin in (types.UnionType, typing.Union):
        return st.one_of(*(any_of(each) for each in inner))
    if origin is typing.Literal:
        return st.sampled_from(inner)
    if origin is tuple:
        many = inner[-1] is Ellipsis
        return st.lists(any_of(inner[0]), max_size=3).map(tuple) if many else st.tuples(*map(any_of, inner))
    plain = {str: TEXTS, float: NUMBERS, int: st.integers(-2**53 + 1, 2**53 - 1), bool: st.booleans(),
             date: st.dates(), types.NoneType: st.none()}
    return plain[hint] if hint in plain else st.dictionaries(TEXTS, TEXTS, max_size=3)


def bodies(marks: list[str]) -> st.SearchStrategy[Body]:
    """Bodies of every kind; some readings are of the catalogue, and some name a picture."""
    every = []
    for kind in (kind for kind in KINDS.values() if kind.KIND not in _OF_ONE_BATCH):
        hints = {name: hint for name, hint in typing.get_type_hints(kind).items() if name != "KIND"}
        parts = {each.name: any_of(hints[each.name]) for each in fields(kind)}
        parts |= {"slot": st.one_of(st.sampled_from("abc"), TEXTS)}
        if issubclass(kind, ReadingTaken):
            parts |= {"kind": st.one_of(st.sampled_from(sorted(kinds())), TEXTS),
                      "attributes": st.one_of(parts["attributes"],
                                              st.sampled_from(marks).map(lambda mark: {"photo": mark}))}
        every.append(st.builds(kind, **parts))
    return st.one_of(every)


def event_lists(marks: list[str]) -> st.SearchStrategy[list[Event]]:
    one = st.builds(Event, id=st.uuids().map(str), practice_id=st.just("own"), made_at=TEXTS, device=TEXTS,
                    property_id=st.one_of(st.sampled_from(("p", "q", "")), TEXTS), body=bodies(marks))
    return st.lists(one, max_size=8, unique_by=lambda event: event.id)


def rows_of(table: Table) -> st.SearchStrategy[list[dict[str, Any]]]:
    """Rows of a table, by the types of its columns; a day of weather is one, as nothing else is ever kept there."""
    plain: dict[type, st.SearchStrategy[Any]] = {str: TEXTS, float: NUMBERS, int: st.integers(-2**63 + 1, 2**63 - 1),
                                                 bool: st.booleans()}
    parts = {column.name: st.one_of(st.none(), plain[column.type.python_type]) if column.nullable
             else DAYS.get(column.name, plain[column.type.python_type]) for column in table.columns}
    key = [column.name for column in table.primary_key]
    return st.lists(st.fixed_dictionaries(parts | {"practice_id": st.just("own")}), max_size=3,
                    unique_by=lambda row: tuple(row[name] for name in key))


OTHER_TABLES = [table for table in metadata.sorted_tables if table not in (practices, events, record_links)]
