"""The chain's gate in the database: links are only added, in line, and none says that work was regular which was not.

What happened is never refused: a record of work from a load that was refused, called back or over its age is kept, and
its link carries a flag. What the database refuses is a link without the flag. The words of a refusal here are for who
writes past our own code. PostgreSQL has no such triggers yet.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from rootcase.fieldbook.store.gate import ORDERED
from rootcase.records.apply.jobs import EXTRACT

CHAINED = ("put_on_logged", "client_copy_given", "litres_told")
"""Kinds of events of which each has a link."""
_KINDS = ", ".join(f"'{kind}'" for kind in CHAINED)
OF_BATCHES = f"kind IN ({', '.join(repr(kind) for kind in ORDERED)})"
"""As an index of gate.py has it, which answers what is asked in just these words."""


def _part(row: str, name: str) -> str:
    return f"json_extract({row}.body, '$.{name}')"


def _beside_load(other: str, kind: str) -> str:
    """Events of a kind of the same batch as a load."""
    return (f"{other}.practice_id = loads.practice_id AND {other}.{OF_BATCHES} AND {other}.kind = '{kind}' "
            f"AND {_part(other, 'batch')} = {_part('loads', 'batch')}")


def _moment(value: str) -> str:
    """Whether it is a moment as the fieldbook writes it, and one that there is."""
    return f"strftime('%Y-%m-%dT%H:%M:%fZ', {value}) IS {value}"


def _regular(put: str) -> str:
    """Whether work named a load that was fit, and not called back, from its start to its end, within its age; a record
    without hours had ended when it was written down."""
    starts, ends = (f"coalesce({_part(put, name)}, {put}.made_at)" for name in ("started", "ended"))
    return (f"coalesce({_moment(starts)} AND {_moment(ends)} AND {starts} <= {ends} AND EXISTS ("
            f"SELECT 1 FROM events AS loads JOIN events AS judged ON {_beside_load('judged', 'batch_judged')} "
            f"WHERE loads.practice_id = {put}.practice_id AND loads.kind = 'load_filled' "
            f"AND {_part('loads', 'load')} = {_part(put, 'load')} AND {_part('judged', 'verdict')} = 'fit' "
            f"AND {starts} >= {_part('loads', 'at')} AND {ends} <= {_part('judged', 'good_until')} "
            f"AND NOT EXISTS (SELECT 1 FROM events AS back WHERE {_beside_load('back', 'batch_called_back')} "
            f"AND {_part('back', 'at')} <= {ends})), 0)")


REGULAR = _regular("put")


def _refusing(name: str, change: str, when: str, why: str) -> tuple[str, str]:
    asked = f" WHEN {when}" if when else ""
    return name, (f"CREATE TRIGGER {name} BEFORE {change} ON record_links{asked} "
                  f"BEGIN SELECT RAISE(ABORT, '{why}'); END")


OF_A_TOLD_LOAD = "links_of_a_told_load"
_OWN = "links.practice_id = NEW.practice_id"
TRIGGERS: Mapping[str, str] = dict((
    _refusing("links_no_update", "UPDATE", "", "links are only ever added"),
    _refusing("links_no_delete", "DELETE", "", "links are only ever added"),
    _refusing("links_in_line", "INSERT", "typeof(NEW.number) <> 'integer' OR NEW.number IS NOT "
              f"(SELECT coalesce(max(links.number), 0) + 1 FROM record_links AS links WHERE {_OWN}) "
              "OR EXISTS (SELECT 1 FROM record_links AS links WHERE links.rowid = NEW.rowid) "
              f"OR EXISTS (SELECT 1 FROM record_links AS links WHERE {_OWN} AND links.event_id = NEW.event_id) "
              "OR NOT EXISTS (SELECT 1 FROM events WHERE events.practice_id = NEW.practice_id "
              f"AND events.id = NEW.event_id AND events.kind IN ({_KINDS}))",
              "a link stands behind the last one, of a record that is there and has none"),
    _refusing("links_of_regular_work", "INSERT", "NEW.flags IS '' AND EXISTS (SELECT 1 FROM events AS put "
              "WHERE put.practice_id = NEW.practice_id AND put.id = NEW.event_id AND put.kind = 'put_on_logged' "
              f"AND {_part('put', 'load')} IS NOT NULL AND {_part('put', 'not_done')} IS NULL "
              f"AND NOT {REGULAR})",
              "work from a load that was not fit, or over its age, is told as such"),
    _refusing(OF_A_TOLD_LOAD, "INSERT", "NEW.flags IS '' AND EXISTS (SELECT 1 FROM events AS put "
              "WHERE put.practice_id = NEW.practice_id AND put.id = NEW.event_id AND put.kind = 'put_on_logged' "
              f"AND {_part('put', 'remedy')} = '{EXTRACT}' AND {_part('put', 'load')} IS NULL "
              f"AND {_part('put', 'not_done')} IS NULL)",
              "extract of which nobody told the load is told as such"),
))
SINCE: Mapping[str, str] = {OF_A_TOLD_LOAD: "0010"}
"""The form of the file since which there is a trigger; what an older file let in stands as it was linked then."""
_GATES = "SELECT name, sql FROM sqlite_master WHERE type = 'trigger' AND tbl_name = 'record_links' COLLATE NOCASE"


def missing_link_gate(ask: Callable[[str], Any]) -> str:
    """Name of a trigger that a file is without, that says something else, or that is none of ours; empty where all
    stand and no other. ask: rows of a query."""
    found = dict(tuple(row) for row in ask(_GATES))
    return next((name for name in (*TRIGGERS, *found) if found.get(name) != TRIGGERS.get(name, "")), "")
