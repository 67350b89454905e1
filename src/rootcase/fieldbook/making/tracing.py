"""One question from a heap to the trees, and back: heap, batches, loads, what was put on, in one query of the file.

The parts of the question are worded as the indexes of `store/gate.py` are, which answer them. A plus before a column
takes its type away, without which SQLite would not use the index of an expression, or use one only to sort.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any, Literal

from sqlalchemy import Row, text

from rootcase.fieldbook.canonical import read_canonical
from rootcase.fieldbook.events import Event
from rootcase.fieldbook.making.by_batch import ByBatch, told_by_batch
from rootcase.fieldbook.people.tokens import read_perhaps
from rootcase.fieldbook.store.gate import BESIDE, CHILDREN, NO_LOAD, ORDERED
from rootcase.fieldbook.store.store import Store
from rootcase.records.make.trace import Applied, Traced, TracedPart

Level = Literal["feedstock", "supplier", "lot", "heap", "batch", "load", "tree"]
_KINDS = ", ".join(f"'{kind}'" for kind in ORDERED)


def _part(row: str, name: str) -> str:
    return f"json_extract({row}.body, '$.{name}')"


def _newest(value: str, where: str, by: str = "") -> str:
    """by: the index to ask, where SQLite would walk all events of a property for the one that opened it."""
    return f"(SELECT {value} FROM events AS said {by} WHERE {where} ORDER BY said.received DESC LIMIT 1)"


_BATCHES = f"made.practice_id = :practice AND made.kind = 'batch_started' AND made.kind IN ({_KINDS})"
_LOADS = (f"loads.practice_id = made.practice_id AND {_part('loads', 'batch')} = {_part('made', 'batch')} "
          f"AND loads.kind IN ({_KINDS}) AND loads.kind = 'load_filled'")
_PUT_ON = (f"put.practice_id = loads.practice_id AND put.kind = 'put_on_logged' "
           f"AND {_part('put', 'load')} = {_part('loads', 'load')} AND {_part('put', 'not_done')} IS NULL "
           "AND NOT EXISTS (SELECT 1 FROM events AS anew WHERE anew.practice_id = put.practice_id "
           f"AND anew.kind = 'put_on_logged' AND {_part('anew', 'supersedes')} = +put.id)")


def _with_part(name: str) -> str:
    """Batches of every heap that was ever told with such a part."""
    return (f"{_part('made', 'heap')} IN (SELECT {_part('mixed', 'heap')} FROM events AS mixed, "
            f"json_each(mixed.body, '$.parts') AS part WHERE mixed.practice_id = :practice "
            f"AND mixed.kind = 'heap_started' AND json_extract(part.value, '$.{name}') = :wanted)")


_BACKWARD: Mapping[Level, str] = {
    "feedstock": _with_part("material"), "supplier": _with_part("bought_from"), "lot": _with_part("lot"),
    "heap": f"{_part('made', 'heap')} = :wanted", "batch": f"{_part('made', 'batch')} = :wanted",
    "load": f"{_part('made', 'batch')} = (SELECT {_part('one', 'batch')} FROM events AS one WHERE "
            f"one.practice_id = :practice AND one.kind = 'load_filled' AND {_part('one', 'load')} = :wanted)",
    "tree": f"{_part('made', 'batch')} IN (SELECT {_part('one', 'batch')} FROM events AS had JOIN events AS one "
            f"ON one.practice_id = had.practice_id AND one.kind = 'load_filled' "
            f"AND {_part('one', 'load')} = {_part('had', 'load')} WHERE had.practice_id = :practice "
            f"AND had.kind = 'put_on_logged' AND {_part('had', 'tree')} = :wanted)"}
"""From what is asked about to its batches; forward from them it is the same way."""
_ONLY: Mapping[Level, str] = {"feedstock": "", "supplier": "", "lot": "", "heap": "", "batch": "",
                              "load": f" AND {_part('loads', 'load')} = :wanted",
                              "tree": f" AND {_part('put', 'tree')} = :wanted"}
_CHAIN = f"""
WITH ways AS (
  SELECT made.practice_id AS practice_id, {_part('made', 'heap')} AS heap, {_part('made', 'batch')} AS batch,
         {_part('made', 'number')} AS number, {_part('loads', 'load')} AS load, {_part('loads', 'at')} AS at,
         {_part('loads', 'volume_l')} AS volume_l, {_part('loads', 'tank')} AS tank, put.id AS put_id,
         put.property_id AS property_id, put.body AS put, {_part('put', 'tree')} AS tree
  FROM events AS made LEFT JOIN events AS loads ON {_LOADS} LEFT JOIN events AS put ON {_PUT_ON}
  WHERE {_BATCHES} AND {{backward}}{{only}})
SELECT ways.*,
  {_newest("said.body", f"said.practice_id = ways.practice_id AND said.kind = 'heap_started' "
           f"AND {_part('said', 'heap')} = ways.heap")} AS heap_body,
  {_newest(_part('said', 'name'), "said.practice_id = ways.practice_id AND said.kind = 'property_opened' "
           "AND said.property_id = ways.property_id", "INDEXED BY events_of_properties")} AS property_name,
  {_newest(_part('said', 'label'), "said.practice_id = ways.practice_id AND said.kind = 'tree_opened' "
           f"AND {_part('said', 'tree')} = ways.tree")} AS tree_label, linked.number AS record, linked.flags AS flags
FROM ways LEFT JOIN record_links AS linked ON linked.practice_id = ways.practice_id AND linked.event_id = ways.put_id
ORDER BY +ways.number, at, load, property_name, property_id, tree_label, put_id
"""
_AT_CHILDREN = ("SELECT DISTINCT property_id FROM events INDEXED BY events_of_children "
                f"WHERE practice_id = :practice AND {CHILDREN} AND json_extract(body, '$.choice') = 'children'")
_UNNAMED = ("SELECT count(*) FROM events WHERE practice_id = :practice AND kind = 'put_on_logged' "
            f"AND {NO_LOAD} AND json_extract(body, '$.day') BETWEEN :first AND :last "
            "AND json_extract(body, '$.remedy') = 'extract' AND json_extract(body, '$.not_done') IS NULL "
            "AND json_extract(body, '$.batch') IS NULL")


def chain(level: Level) -> str:
    """The question of every way through what a level names."""
    return _CHAIN.format(backward=_BACKWARD[level], only=_ONLY[level])


class Tracing:
    """What came of what, asked of the file itself."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def of(self, level: Level, wanted: str) -> tuple[Traced, ...]:
        """Every way that runs through what went into a heap, by its words, or a heap, a batch, a load or a tree, by its
        id: in the order of the batches."""
        with self._store.whole_file() as file:
            asked = {"practice": self._store.practice_id, "wanted": wanted}
            ways = [_traced(row) for row in file.execute(text(chain(level)), asked)]
            told = told_by_batch(file, self._store.practice_id)
        return tuple(ways) if not told else (*ways, *self._by_batch(level, wanted, ways, told))

    def _by_batch(self, level: Level, wanted: str, ways: Sequence[Traced],
                  told: Sequence[ByBatch]) -> Iterator[Traced]:
        """Ways of records that tell a batch and no load: a recall errs to more, so where several loads can be meant it
        is of each."""
        ways = list(ways)
        for each in told:
            one = _applied(each.row)
            if (level == "tree" and one.tree_id != wanted) or (level == "load" and each.load_id not in ("", wanted)):
                continue
            if level == "tree" and each.batch_id:
                ways += self.of("batch", each.batch_id)
            those = [way for way in ways if way.batch_id == each.batch_id]
            load = next((way for way in those if each.load_id and way.load_id == each.load_id), None)
            if those:
                yield replace(load or replace(those[0], load_id="", load_at=None, load_volume_l=None, tank=""),
                              applied=one)

    def told_of_batch(self, named: str) -> tuple[Event, ...]:
        """All that was told of the one batch of this number or whole id, in the order received; none where there is
        none, or several. Only SQLite has the indexes that this is asked of: elsewhere none is found so."""
        with self._store.reading() as look:
            return tuple(look.told_of_batch(named, (_KINDS, BESIDE)))

    def with_children(self) -> frozenset[str]:
        """Properties where somebody read that children use the ground; a reading taken back since still counts."""
        with self._store.whole_file() as file:
            return frozenset(file.scalars(text(_AT_CHILDREN), {"practice": self._store.practice_id}))

    def extract_without_load(self, first: str, last: str) -> int:
        """How many records of extract put on from one day to another name no load."""
        with self._store.whole_file() as file:
            count: int = file.scalars(text(_UNNAMED), {"practice": self._store.practice_id, "first": first,
                                                       "last": last}).one()
        return count


def _traced(row: Row[Any]) -> Traced:
    heap = read_canonical(row.heap_body) if row.heap_body else {}
    return Traced(
        heap_id=row.heap, heap_name=heap.get("name", ""), time_zone=heap.get("time_zone", ""),
        parts=tuple(_parts(heap.get("parts", ()))),
        batch_id=row.batch, batch_number=row.number, load_id=row.load or "", load_at=read_perhaps(row.at),
        load_volume_l=None if row.volume_l is None else float(row.volume_l), tank=row.tank or "",
        applied=_applied(row) if row.put_id else None)


def _parts(told: Sequence[Mapping[str, str]]) -> Iterator[TracedPart]:
    for part in told:
        yield TracedPart(material=part["material"], bought_from=part.get("bought_from", ""), lot=part.get("lot", ""))


def _applied(row: Row[Any]) -> Applied:
    put = read_canonical(row.put)
    flags: Any = (row.flags or "").split()  # as the chain wrote them
    return Applied(id=row.put_id, property_id=row.property_id, property_name=row.property_name or "",
                   tree_id=put["tree"], tree_label=row.tree_label or "", remedy=put["remedy"], day=put["day"],
                   by=put["by"], amount_typed=put.get("amount", ""), area_typed=put.get("area", ""),
                   number=row.record or 0, flags=tuple(flags))
