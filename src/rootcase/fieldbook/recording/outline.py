"""Which records of work stand and in what order, without reading them: what a long list is paged by."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from json import loads
from typing import Any

from sqlalchemy import Connection, text

from rootcase.records.apply.done import Application, ChainHead

AT_ONCE = 500
"""Slots asked about in one question."""
_FIELDS = ", ".join(f"json_extract(put.body, '$.{name}') AS {name}"
                    for name in ("slot", "day", "restricted", "not_done", "jobs", "part"))
_ROWS = (f"SELECT {_FIELDS}, linked.number AS number FROM events AS put LEFT JOIN record_links AS linked "
         "ON linked.practice_id = put.practice_id AND linked.event_id = put.id "
         "WHERE put.practice_id = :practice AND put.kind = 'put_on_logged'")
_LABELS = text("SELECT json_extract(body, '$.label') FROM events WHERE practice_id = :practice "
               "AND kind = 'tree_opened' AND json_extract(body, '$.tree') = :tree ORDER BY received DESC LIMIT 1")


@dataclass(frozen=True, slots=True)
class Outlined:
    """What a list has to know of a record."""

    slot: str
    day: str
    number: int
    """Of its link."""
    restricted: bool
    """Done, with a product of restricted use."""
    jobs: tuple[tuple[str, int], ...]
    """That it says were done, each with its part."""


@dataclass(frozen=True)
class Outline:
    """Every record that stands, the newest first, as at a head of the chain."""

    head: ChainHead
    every: tuple[Outlined, ...]

    @cached_property
    def of_job(self) -> Mapping[tuple[str, int], tuple[int, ...]]:
        """Numbers of the records that say that a job, or one part of it, was done."""
        found: dict[tuple[str, int], list[int]] = defaultdict(list)
        for one in self.every:
            for job in one.jobs:
                found[job].append(one.number)
        return {job: tuple(numbers) for job, numbers in found.items()}


def outline(head: ChainHead, every: Iterable[Outlined]) -> Outline:
    return Outline(head, tuple(sorted(every, key=lambda one: (one.day, one.number), reverse=True)))


def outlined(one: Application) -> Outlined:
    """Of a record that was read."""
    return Outlined(one.slot, one.day.isoformat(), one.number,
                    one.product is not None and one.product.restricted and not one.not_done,
                    () if one.not_done else tuple((job, one.part) for job in one.job_ids))


def told_once(file: Connection, practice_id: str) -> tuple[list[Outlined], list[str]]:
    """Records of which one word was told, and slots of those with several: which of them stands is read."""
    rows: dict[str, Any] = {}
    several: set[str] = set()
    for row in file.execute(text(_ROWS), {"practice": practice_id}):
        if row.slot in rows:
            several.add(row.slot)
        rows[row.slot] = row
    return [_of_row(row) for slot, row in rows.items() if slot not in several], sorted(several)


def tree_labels(file: Connection, practice_id: str, trees: Iterable[str]) -> dict[str, str]:
    """What trees are called, of those that are there."""
    found = {tree: file.scalar(_LABELS, {"practice": practice_id, "tree": tree}) for tree in dict.fromkeys(trees)}
    return {tree: label for tree, label in found.items() if label}


def in_turns(slots: Sequence[str]) -> list[Sequence[str]]:
    return [slots[at:at + AT_ONCE] for at in range(0, len(slots), AT_ONCE)]


def _of_row(row: Any) -> Outlined:
    jobs = () if row.not_done or not row.jobs else tuple((job, row.part or 0) for job in loads(row.jobs))
    return Outlined(row.slot, row.day, row.number or 0, bool(row.restricted) and not row.not_done, jobs)
