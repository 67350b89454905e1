"""The gate in the database itself: no load of a batch that is not fit, called back or over its age goes into the file.

Whatever writes, by whatever program, SQLite asks these triggers first. What is told of batches can only be added behind
what is there, so that each is asked of all that was told before. The words of a refusal here are for who writes past
our own code; that one refuses first, in the catalogue's words. PostgreSQL has no such triggers yet.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from rootcase.records.make.batch import MOST_LOAD_L
from rootcase.tables.load import table

ORDERED = ("batch_rules_told", "batch_started", "batch_step_told", "batch_judged", "batch_called_back", "batch_ended",
           "load_filled")
"""Kinds that are asked in the order received, and are brought back from an archive in it."""
_KINDS = ", ".join(f"'{kind}'" for kind in ORDERED)
_HOLDS = "'heap_held', 'heap_freed'"
BESIDE = "'batch_step_taken_back', 'ring_noted'"
"""Kinds told of a batch that the gate asks nothing of."""
_FLOORS = table("tank/oxygen_floors")
_USUAL_FLOOR_MG_L = float(_FLOORS.row(rule="usual")["floor_mg_l"])
_LOWEST_FLOOR_MG_L = float(_FLOORS.row(rule="lowest")["floor_mg_l"])
_HOUR_MS = 3_600_000
_FILLED_NOW = "+60 seconds"
"""A load is written down as it is filled: JUDGEMENT, as our own code has it."""


def _part(row: str, name: str) -> str:
    return f"json_extract({row}.body, '$.{name}')"


def _is_moment(value: str) -> str:
    """Whether it is a moment as the fieldbook writes it, and one that there is."""
    return f"strftime('%Y-%m-%dT%H:%M:%fZ', {value}) IS {value}"


def _beside(other: str, kind: str, row: str) -> str:
    """Events of a kind of the same practice and batch, those of the kinds above being at hand by an index."""
    return (f"{other}.practice_id = {row}.practice_id AND {_part(other, 'batch')} = {_part(row, 'batch')} "
            f"AND {other}.kind IN ({_KINDS}) AND {other}.kind = '{kind}'")


def _fit(row: str) -> str:
    """Whether a verdict is fit with an age that may be: from the end that was told, for an hour or the own limit."""
    ended, until, own = _part(row, "ended_at"), _part(row, "good_until"), _part(row, "own_limit_h")
    told_end = (f"(SELECT {_part('ends', 'at')} FROM events AS ends WHERE {_beside('ends', 'batch_step_told', row)} "
                f"AND {_part('ends', 'step')} = 'end' AND ends.received < {row}.received "
                "ORDER BY ends.received DESC LIMIT 1)")
    told_own = (f"(SELECT CAST({_part('rules', 'holding_h')} AS REAL) FROM events AS rules "
                f"WHERE rules.practice_id = {row}.practice_id AND rules.kind = 'batch_rules_told' "
                f"AND rules.received < {row}.received ORDER BY rules.received DESC LIMIT 1)")
    lasts_ms = f"round((julianday({until}) - julianday({ended})) * 24 * {_HOUR_MS})"
    return (f"coalesce({_part(row, 'verdict')} = 'fit' AND {_is_moment(ended)} AND {_is_moment(until)} "
            f"AND {ended} = {told_end} AND ({own} IS NULL OR CAST({own} AS REAL) = {told_own}) "
            f"AND {lasts_ms} BETWEEN 1 AND round(coalesce(CAST({own} AS REAL), 1) * {_HOUR_MS}), 0)")


def _held(row: str) -> str:
    """Whether the heap of a load's batch was held when it was told; only freeing it lifts a hold."""
    heap = f"(SELECT {_part('begun', 'heap')} FROM events AS begun WHERE {_beside('begun', 'batch_started', row)})"
    return (f"(SELECT said.kind FROM events AS said WHERE said.practice_id = {row}.practice_id "
            f"AND said.kind IN ({_HOLDS}) AND {_part('said', 'heap')} = {heap} AND said.received < {row}.received "
            "ORDER BY said.received DESC LIMIT 1) IS 'heap_held'")


def _aired(row: str) -> str:
    """Whether oxygen in a load's tank, where it was read, is at the strictest floor that held since its batch was
    started, or above."""
    oxygen, floor = _part(row, "oxygen_mg_l"), f"CAST({_part('rules', 'oxygen_floor_mg_l')} AS REAL)"
    begun = f"(SELECT begun.received FROM events AS begun WHERE {_beside('begun', 'batch_started', row)})"
    rules = f"FROM events AS rules WHERE rules.practice_id = {row}.practice_id AND rules.kind = 'batch_rules_told'"
    before = f"SELECT {floor} {rules} AND rules.received < {begun} ORDER BY rules.received DESC LIMIT 1"
    since = f"SELECT max({floor}) {rules} AND rules.received BETWEEN {begun} AND {row}.received"
    return (f"({oxygen} IS NULL OR CAST({oxygen} AS REAL) >= max(coalesce(({before}), {_USUAL_FLOOR_MG_L}), "
            f"coalesce(({since}), 0), {_LOWEST_FLOOR_MG_L}))")


def _of_a_volume(row: str) -> str:
    """Whether a load has a volume that a tank can hold."""
    volume = f"CAST({_part(row, 'volume_l')} AS REAL)"
    return f"({volume} > 0 AND {volume} <= {MOST_LOAD_L})"


def _loadable(row: str) -> str:
    """Whether a load is of a batch that was fit, and not called back or gone, when it was told, at a time within its
    age, written down as it was filled, of no heap that was held, with a volume and with enough oxygen."""
    at, told = _part(row, "at"), f"{row}.made_at"
    return (f"coalesce({_is_moment(at)} AND {_is_moment(told)} "
            f"AND {told} BETWEEN {at} AND strftime('%Y-%m-%dT%H:%M:%fZ', {at}, '{_FILLED_NOW}') "
            f"AND EXISTS (SELECT 1 FROM events AS made WHERE "
            f"{_beside('made', 'batch_started', row)} AND made.received < {row}.received) "
            f"AND (SELECT count(*) FROM events AS judged WHERE {_beside('judged', 'batch_judged', row)}) = 1 "
            f"AND EXISTS (SELECT 1 FROM events AS judged WHERE {_beside('judged', 'batch_judged', row)} "
            f"AND judged.received < {row}.received AND {_fit('judged')} "
            f"AND {at} BETWEEN {_part('judged', 'ended_at')} AND {_part('judged', 'good_until')}) "
            f"AND NOT EXISTS (SELECT 1 FROM events AS back WHERE {_beside('back', 'batch_called_back', row)} "
            f"AND back.received < {row}.received) "
            f"AND NOT EXISTS (SELECT 1 FROM events AS gone WHERE {_beside('gone', 'batch_ended', row)} "
            f"AND gone.received < {row}.received) AND NOT {_held(row)} "
            f"AND {_of_a_volume(row)} AND {_aired(row)}, 0)")


def _refusing(name: str, when: str, why: str) -> tuple[str, str]:
    return name, f"CREATE TRIGGER {name} BEFORE INSERT ON events WHEN {when} BEGIN SELECT RAISE(ABORT, '{why}'); END"


def _there(other: str, kind: str) -> str:
    return f"EXISTS (SELECT 1 FROM events AS {other} WHERE {_beside(other, kind, 'NEW')})"


TRIGGERS: Mapping[str, str] = dict((
    # INSERT OR REPLACE would take a row away that stands there; deleting it so wakes no other trigger.
    _refusing("events_once", "EXISTS (SELECT 1 FROM events WHERE practice_id = NEW.practice_id AND id = NEW.id) "
              "OR EXISTS (SELECT 1 FROM events WHERE practice_id = NEW.practice_id AND received = NEW.received) "
              "OR EXISTS (SELECT 1 FROM events WHERE rowid = NEW.rowid)", "events are only ever added"),
    # Else a body could say one thing to the database and another to us.
    _refusing("batch_readable", f"NEW.kind IN ({_KINDS}) AND (typeof(NEW.body) <> 'text' OR NOT json_valid(NEW.body) "
              "OR typeof(NEW.received) <> 'integer' "
              "OR (NEW.kind <> 'batch_rules_told' AND json_type(NEW.body, '$.batch') IS NOT 'text') "
              "OR EXISTS (SELECT 1 FROM json_each(NEW.body) AS part GROUP BY part.key HAVING count(*) > 1))",
              "what is told of a batch names it once"),
    _refusing("batch_in_order", f"NEW.kind IN ({_KINDS}, {_HOLDS}, 'heat_taken_back') "
              "AND NEW.received <= (SELECT max(told.received) "
              f"FROM events AS told WHERE told.practice_id = NEW.practice_id AND told.kind IN ({_KINDS}))",
              "what is told of batches is added behind what is there"),
    _refusing("batch_number_once", f"NEW.kind = 'batch_started' AND ({_there('made', 'batch_started')} "
              "OR EXISTS (SELECT 1 FROM events AS made WHERE made.practice_id = NEW.practice_id "
              f"AND made.kind = 'batch_started' AND {_part('made', 'number')} = {_part('NEW', 'number')}))",
              "a batch and its number are given once"),
    _refusing("batch_end_stands", f"NEW.kind = 'batch_step_told' AND {_part('NEW', 'step')} = 'end' "
              f"AND {_there('judged', 'batch_judged')}", "the end of a batch that was judged stands"),
    _refusing("batch_end_only_earlier", f"NEW.kind = 'batch_step_told' AND {_part('NEW', 'step')} = 'end' "
              f"AND {_part('NEW', 'at')} > (SELECT min(ends.made_at) FROM events AS ends "
              f"WHERE {_beside('ends', 'batch_step_told', 'NEW')} AND {_part('ends', 'step')} = 'end')",
              "the end of a batch is never later than when it was first written down"),
    _refusing("batch_judged_once", f"NEW.kind = 'batch_judged' AND {_there('judged', 'batch_judged')}",
              "a batch is judged once"),
    _refusing("batch_judged_fit", f"NEW.kind = 'batch_judged' AND {_part('NEW', 'verdict')} IS NOT 'refused' "
              f"AND NOT {_fit('NEW')}", "a fit batch has an end that was told and a time it is good for"),
    _refusing("load_once", "NEW.kind = 'load_filled' AND (json_type(NEW.body, '$.load') IS NOT 'text' "
              "OR EXISTS (SELECT 1 FROM events AS loads WHERE loads.practice_id = NEW.practice_id "
              f"AND loads.kind = 'load_filled' AND {_part('loads', 'load')} = {_part('NEW', 'load')}))",
              "a load is filled once"),
    _refusing("load_of_a_fit_batch", f"NEW.kind = 'load_filled' AND NOT {_loadable('NEW')}",
              "no load of a batch that is not fit, or over its age"),
))
NO_LOAD = "json_extract(body, '$.load') IS NULL"
CHILDREN = "kind IN ('reading_taken', 'reading_corrected') AND json_extract(body, '$.kind') = 'sensitive_use'"
"""Parts of a question that an index answers where it is asked in just these words."""
PUT_ON_SLOTS = "events_of_put_on_slots"
_ON = {"events_of_batches": ("{}, json_extract(body, '$.batch'), received", f"kind IN ({_KINDS})"),
       "events_beside_batches": ("{}, json_extract(body, '$.batch'), received", f"kind IN ({BESIDE})"),
       "events_told_of_batches": ("{}, received", f"kind IN ({_KINDS})"),
       "events_of_batch_rules": ("{}, received", "kind = 'batch_rules_told'"),
       "events_of_batch_numbers": ("{}, json_extract(body, '$.number')", "kind = 'batch_started'"),
       "events_of_heaps": ("{}, json_extract(body, '$.heap')", "kind = 'batch_started'"),
       "events_of_loads": ("{}, json_extract(body, '$.load')", "kind = 'load_filled'"),
       "events_of_heap_holds": ("{}, json_extract(body, '$.heap')", f"kind IN ({_HOLDS})"),
       "events_of_put_on": ("{}, json_extract(body, '$.load')", "kind = 'put_on_logged'"),
       PUT_ON_SLOTS: ("{}, json_extract(body, '$.slot')", "kind = 'put_on_logged'"),
       "events_of_put_on_trees": ("{}, json_extract(body, '$.tree')", "kind = 'put_on_logged'"),
       "events_of_put_on_anew": ("{}, json_extract(body, '$.supersedes')", "kind = 'put_on_logged'"),
       "events_of_put_on_days": ("{}, json_extract(body, '$.day')", f"kind = 'put_on_logged' AND {NO_LOAD}"),
       "events_of_heap_facts": ("{}, json_extract(body, '$.heap'), received", "kind = 'heap_started'"),
       "events_of_properties": ("{}, property_id, received", "kind = 'property_opened'"),
       "events_of_trees": ("{}, json_extract(body, '$.tree'), received", "kind = 'tree_opened'"),
       "events_of_children": ("{}, property_id, received", CHILDREN)}
"""Columns and rows of each index."""
INDEXES: Mapping[str, str] = {
    name: f"CREATE INDEX {name} ON events ({columns.format('practice_id')}) WHERE {kinds}"
    for name, (columns, kinds) in _ON.items()}
_GATES = "SELECT name, sql FROM sqlite_master WHERE type = 'trigger' AND tbl_name = 'events' COLLATE NOCASE"
_UNFIT = f"SELECT loads.id FROM events AS loads WHERE loads.kind = 'load_filled' AND NOT {_loadable('loads')} LIMIT 1"
_ALWAYS = {f"events_no_{change.lower()}": f"CREATE TRIGGER events_no_{change.lower()} BEFORE {change} ON events "
           "BEGIN SELECT RAISE(ABORT, 'events are only ever added'); END" for change in ("UPDATE", "DELETE")}
"""By which nothing that stands is changed or taken away, as the first form of the file has them."""


def missing_gate(ask: Callable[[str], Any]) -> str:
    """Name of a trigger that a file is without, that says something else, or that is none of ours; empty where all
    stand and no other. ask: rows of a query."""
    found, ours = dict(tuple(row) for row in ask(_GATES)), {**_ALWAYS, **TRIGGERS}
    return next((name for name in (*ours, *found) if found.get(name) != ours.get(name, "")), "")


def unfit_load(ask: Callable[[str], Any]) -> str:
    """Id of an event of a load that should not be in a file; empty where there is none."""
    return next((row[0] for row in ask(_UNFIT)), "")
