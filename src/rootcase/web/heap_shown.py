"""What the pages of heaps show."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from rootcase.casework.make.heap import judged
from rootcase.casework.make.heap_figures import UNITS, bars, to_lift
from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.records.make.heap import Heap
from rootcase.report.pictures.heat import draw_heat
from rootcase.report.text.figures import sentence
from rootcase.report.text.heap import (
    beans_told,
    entries,
    finding,
    limit_told,
    moment_at,
    part_told,
    reckoning,
    warmth_alone,
)
from rootcase.services.heap import MOST_PROBES, SHAPES, entry_cells, rules_for, usual_zone
from rootcase.services.heap_figures import WETTINGS, beans_cells, figure_cells
from rootcase.services.recipe import CELLS
from rootcase.web.desk import Desk
from rootcase.web.picture import both
from rootcase.web.showing import cells
from rootcase.web.who import Visitor

MOST_ENTRIES = 200
_FEWEST_PROBES = 3


def new_shown(desk: Desk, visitor: Visitor, typed: Mapping[str, str]) -> dict[str, Any]:
    """The form of a new heap."""
    book = desk.book(visitor.practice_id)
    begun = {"mark": book.making.new_id(), "time_zone": usual_zone(book), "shape": "windrow", "rule": "cfr_503"}
    rules = dict.fromkeys((*rules_for("windrow"), *rules_for("static")))
    return {"typed": cells({**begun, **typed}), "recipe": hidden_of(typed),
            "materials": materials_of(typed), "shapes": [(each, say(f"heap.shape.{each}")) for each in SHAPES],
            "rules": [(each, say(f"heap.rule.{each}")) for each in rules]}


def hidden_of(typed: Mapping[str, str]) -> dict[str, str]:
    """The cells of a recipe that a new heap is built by; who a material was bought from is asked beside them."""
    return {name: text for name, text in typed.items() if re.fullmatch(r"\d{1,2}\.[a-z]+", name)
            and name.partition(".")[2] in CELLS and name.partition(".")[2] not in ("bought_from", "lot")}


def materials_of(typed: Mapping[str, str]) -> list[tuple[str, str, str]]:
    """Number, name and amount of each material of a recipe."""
    return [(name.partition(".")[0], text.replace("_", " "), typed.get(f"{name.partition('.')[0]}.amount", ""))
            for name, text in hidden_of(typed).items() if name.endswith(".feedstock")]


def heap_shown(desk: Desk, visitor: Visitor, heap: Heap, typed: Mapping[str, str], form: str) -> dict[str, Any]:
    """A heap's page; typed: what stands in the form of this name, else what the address brought."""
    found, system = judged(heap), visitor.system
    probes = range(1, max([_FEWEST_PROBES, *(each.probe for each in heap.readings),
                           *(each.probe for each in heap.logged),
                           *(each for check in heap.checks for each in check.probes)]) + 1)
    last_read = {each.probe: warmth_alone(each.temperature_c, system)
                 for each in sorted(heap.readings, key=lambda each: (each.at, each.id))}
    last = typed.get("probe", "")
    read = not form and last.isascii() and last.isdigit() and len(last) < 3
    coming = str(int(last) % len(probes) + 1) if read else "1"
    of_days = {*(each.id for each in heap.figures), *(each.id for each in heap.beans)}
    begun = {"mark": desk.book(visitor.practice_id).making.new_id(), "probe": coming,
             "probes": " ".join(map(str, probes))}
    log = entries(heap, found, system)
    kept = next((each for each in log if each.id == typed.get("kept")), None)
    return {
        "found": found, "finding": finding(heap, found, system), "behind": reckoning(heap, found, system),
        "picture": both(draw_heat(heap, found, system, "wide"), draw_heat(heap, found, system, "phone")),
        "entries": [*log[:MOST_ENTRIES], *(each for each in log[MOST_ENTRIES:] if each.id in of_days)],
        "kept": kept, "undone": typed.get("undone") == "true" and not form,
        "may_undo": kept is not None and kept.by == visitor.code and not bars(heap, kept.id), "probes": probes,
        "probe_marks": [(each, last_read.get(each, "")) for each in probes],
        "degrees": "°F" if system == "us" else "°C",
        "typed": cells({**begun, **typed, "mark": begun["mark"]} if form else begun),
        "another": len(probes) + 1 if len(probes) < MOST_PROBES else None,
        "beans": [beans_told(each) for each in found.bean_tests],
        "barred": heap.held is not None or bool(to_lift(heap)), "lifts": " ".join(to_lift(heap)),
        "limits": [(row, *limit_told(row)) for row in found.limits],
        "quantities": _quantities(), "nothing": cells({}), "why_not": [f"{sentence(line)}." for line in found.why_not],
        "parts": [part_told(part, system) for part in heap.parts],
        "holdings": [say("heap.page.was_held" if each.held else "heap.page.was_freed", at=moment_at(each.at, heap),
                         by=each.by, reason=each.reason) for each in reversed(heap.holdings)],
        "batches": _batches(desk, visitor, heap),
        "wettings": ", ".join(WETTINGS), "time_zone": heap.time_zone}


def _batches(desk: Desk, visitor: Visitor, heap: Heap) -> list[tuple[int, str]]:
    """Number of each batch that was made of it, and how far that went, the newest first."""
    ways = desk.book(visitor.practice_id).making.tracing.of("heap", heap.id)
    numbers = sorted({way.batch_number for way in ways if way.batch_number is not None}, reverse=True)
    loads = {number: {way.load_id for way in ways if way.batch_number == number and way.load_id} for number in numbers}
    trees = {number: {way.applied.tree_id for way in ways if way.batch_number == number and way.applied}
             for number in numbers}
    return [(number, say("heap.page.batch", number=number, loads=len(loads[number]), trees=len(trees[number])))
            for number in numbers]


def entry_shown(heap: Heap, slot: str, visitor: Visitor, typed: Mapping[str, str]) -> dict[str, Any]:
    """One entry of a heap's log, to be corrected or taken back."""
    entry = next((each for each in entries(heap, judged(heap), visitor.system) if each.id == slot), None)
    if entry is None:
        raise Missing(say("heap.no_entry"), value=slot[-5:], right=say("heap.right_entry"))
    begun = {**{each.id: ("heat", entry_cells(heap, each, visitor.system)) for each in heap.readings},
             **{each.id: ("measured", figure_cells(each)) for each in heap.figures},
             **{each.id: ("beans", beans_cells(each, visitor.system)) for each in heap.beans}}
    form, before = begun.get(slot, ("", {}))
    return {"entry": entry, "form": form, "typed": cells({**before, **typed}), "quantities": _quantities(),
            "wettings": ", ".join(WETTINGS),
            "barred": bars(heap, slot) and not visitor.may("free_heaps"),
            "degrees": "°F" if visitor.system == "us" else "°C"}


def _quantities() -> list[tuple[str, str]]:
    """What can be measured of a heap, as it is chosen."""
    return [(name, say("heap.measured_in", quantity=say(f"heap.quantity.{name}"), unit=unit) if unit != "1"
             else say(f"heap.quantity.{name}")) for name, unit in UNITS.items()]
