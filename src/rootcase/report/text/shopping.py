"""The shopping list in words: by product and day in the trade's units, and the batches of extract."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import ceil

from rootcase.ground.measured import Pair, told
from rootcase.ground.quantity import System
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.apply.jobs import Job
from rootcase.records.apply.shopping import BatchNeed, Need, Shopping
from rootcase.report.text.doses import LIQUID, LOOSE, WEIGHED, containers_told
from rootcase.report.text.figures import sentence
from rootcase.report.text.rounds import clock_told
from rootcase.report.text.windows import day_name
from rootcase.science.zones.containers import UNITS

_PAIRS: Mapping[str, Pair] = {"loose": LOOSE, "weighed": WEIGHED, "liquid": LIQUID}
_FIGURES = 3
_HAIR_L = 0.5
"""Less is no shortage."""


@dataclass(frozen=True, slots=True)
class ShoppingRow:
    """One product."""

    name: str
    cells: tuple[str, ...]
    """For each of the days that are shown."""
    total: str
    carried: str
    """How many containers that fills."""
    note: str


@dataclass(frozen=True, slots=True)
class ShoppingTold:
    """The whole list in words."""

    title: str
    finding: str
    days: tuple[str, ...]
    """Those on which something is taken."""
    rows: tuple[ShoppingRow, ...]
    batches: tuple[str, ...]
    notes: tuple[str, ...]


def shopping_told(found: Shopping, jobs: Mapping[str, Job], system: System) -> ShoppingTold:
    """The list as page, paper and terminal show it."""
    shown = [at for at in range(len(found.days)) if any(each.amounts[at] for each in found.needs)]
    first, last = (day_name(found.days[at]) for at in (0, -1))
    rows = tuple(_row(each, shown, jobs, system) for each in found.needs)
    empty = not rows and not found.batches
    return ShoppingTold(
        say("shopping.title", first=first, last=last), _finding(rows) if rows else say("shopping.nothing"),
        tuple(day_name(found.days[at]) for at in shown), rows,
        tuple(_batch(each, system) for each in found.batches), () if empty else tuple(_notes(found)))


def shopping_lines(shown: ShoppingTold) -> Iterator[str]:
    """The list for a terminal."""
    yield shown.title
    yield shown.finding
    for row in shown.rows:
        days = "; ".join(say("shopping.on", day=day, amount=cell)
                         for day, cell in zip(shown.days, row.cells, strict=True) if cell)
        yield say("shopping.line", product=row.name, total=_with(row.total, row.carried), days=days or row.note)
        if days and row.note:
            yield f"  {row.note}"
    yield from shown.batches
    yield from shown.notes


def _finding(rows: tuple[ShoppingRow, ...]) -> str:
    return sentence(", ".join(say("shopping.of", product=row.name, amount=row.total) for row in rows)) + "."


def _row(need: Need, shown: list[int], jobs: Mapping[str, Job], system: System) -> ShoppingRow:
    trees = ", ".join(dict.fromkeys(jobs[each].tree_label for each in need.not_known if each in jobs))
    untold = "shopping.by_label" if need.measure == "label" else "shopping.not_known"
    notes = [say(untold, trees=trees)] if trees else []
    notes += [say("shopping.note.nitrogen")] if need.product == "nitrogen" else []
    notes += [say("shopping.note.hose_water")] if need.product == "hose_water" else []
    name = say(f"shopping.product.{need.product}")
    if need.measure == "label":
        return ShoppingRow(name, ("",) * len(shown), say("quantity.not_known"), "", " ".join(notes))
    pair, unit = _PAIRS[need.measure], UNITS[need.measure]
    cells = tuple(told(need.amounts[at], unit, system, pair, _FIGURES) if need.amounts[at] else "" for at in shown)
    whole = told(need.total, unit, system, pair, _FIGURES) if need.total else say("quantity.not_known")
    filled = () if need.measure == "liquid" else containers_told(need.measure, need.total, system)
    return ShoppingRow(name, cells, whole, ", ".join(filled), " ".join(notes))


def _batch(need: BatchNeed, system: System) -> str:
    taken, volume = (told(each, "L", system, LIQUID, _FIGURES) for each in (need.taken_l, need.litres))
    at = {"day": day_name(need.day), "ready": clock_told(need.ready_min), "volume": volume, "taken": taken}
    if need.taken_l > need.litres + _HAIR_L:
        at["taken"] = say("shopping.more_than_there_is", taken=taken)
    if need.made:
        return say("shopping.batch_made", **at)
    compost = (say("shopping.compost_not_known") if need.compost_kg is None
               else told(ceil_weight(need.compost_kg, system), "kg", system, WEIGHED, _FIGURES))
    return say("shopping.batch_anew" if need.anew else "shopping.batch", compost=compost, **at)


def ceil_weight(mass_kg: float, system: System) -> float:
    """What a scale shows, never less than is needed. [kg]

    >>> round(ceil_weight(10.1, "metric"), 3), round(convert(ceil_weight(10.1, "us"), "kg", "lb"), 3)
    (11.0, 23.0)
    """
    unit = "lb" if system == "us" else "kg"
    return convert(float(ceil(convert(mass_kg, "kg", unit) - 1e-6)), unit, "kg")


def _notes(found: Shopping) -> Iterator[str]:
    if found.as_batch:
        yield say("shopping.as_batch", number=found.as_batch)
    if found.batches:
        yield say("shopping.water")
    if found.left_out:
        yield say("shopping.left_out", count=found.left_out)
    yield say("shopping.own_stock")


def _with(total: str, containers: str) -> str:
    return f"{total}, {containers}" if containers else total
