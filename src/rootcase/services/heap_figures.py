"""What is measured of a heap, its beans, and holding it."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime
from functools import partial

from rootcase.casework.make.heap_figures import CONDUCTIVITY, UNITS, to_lift
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.made.heaps import BeansReadOff, HeapFreed, HeapHeld, HeapMeasured
from rootcase.fieldbook.people.tokens import written
from rootcase.ground.clock import day_there, zone
from rootcase.ground.dates import read_date
from rootcase.ground.errors import ImpossibleValue, RootcaseError
from rootcase.ground.typed import Limits, read
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.make.heap import BeansRead, Heap, HeapFigure
from rootcase.records.observe import System
from rootcase.services.asked import sign_said
from rootcase.services.heap import HeapTold, beside, correct_heat, keep, line_perhaps, one_line, standing
from rootcase.tables.load import table

WETTINGS = tuple(row["method"] for row in table("compost/conductivity").rows)
_MOST = 1e12
_MOST_PLANTS = 400
_TALLEST_MM = 2000.0


def measure(book: Fieldbook, heap: Heap, cells: Mapping[str, str], *, by: str, now: datetime) -> HeapTold:
    """Keep a figure of a laboratory or of the practice. cells: quantity, value, unit, method, lab, day."""
    body, wrong = _measured(heap, cells, by=by, now=now)
    return HeapTold(heap.id, wrong=wrong) if body is None else HeapTold(
        heap.id, keep(book, cells, lambda slot: replace(body, slot=slot)))


def read_beans(book: Fieldbook, heap: Heap, cells: Mapping[str, str], *, by: str, now: datetime,
               system: System) -> HeapTold:
    """Keep a test with beans. cells: seeds (a pot), heights and control (a number a plant, 0: none came up),
    twisted, control_twisted, day."""
    body, wrong = _beans(heap, cells, by=by, now=now, system=system)
    return HeapTold(heap.id, wrong=wrong) if body is None else HeapTold(
        heap.id, keep(book, cells, lambda slot: replace(body, slot=slot)))


def correct_entry(book: Fieldbook, heap: Heap, slot: str, cells: Mapping[str, str], *, by: str, now: datetime,
                  system: System) -> HeapTold:
    """Put another reading, figure or test in the place of one; the old one stays on record. cells: as of its form."""
    body: HeapMeasured | BeansReadOff | None
    if slot in {each.id for each in heap.figures}:
        body, wrong = _measured(heap, cells, by=by, now=now)
    elif slot in {each.id for each in heap.beans}:
        body, wrong = _beans(heap, cells, by=by, now=now, system=system)
    else:
        return correct_heat(book, heap, slot, cells, by=by, now=now, system=system)
    if body is None:
        return HeapTold(heap.id, slot, wrong)
    told = replace(body, slot=slot)
    book.making.tell(lambda events: [replace(told, supersedes=standing(events, slot).id)])
    return HeapTold(heap.id, slot)


def figure_cells(figure: HeapFigure) -> dict[str, str]:
    """A figure as it would be typed."""
    above = ">" if figure.from_below else ""
    value = say("heap.not_detected").partition("|")[0] if figure.value is None else f"{above}{figure.value:.12g}"
    return {"quantity": figure.quantity, "value": value, "method": figure.method, "lab": figure.lab,
            "unit": "" if figure.unit == UNITS.get(figure.quantity) else figure.unit, "day": figure.day.isoformat()}


def beans_cells(beans: BeansRead, system: System) -> dict[str, str]:
    """A test with beans as it would be typed."""
    box = "in" if system == "us" else "cm"
    heights, control = (" ".join(f"{convert(each, 'mm', box):.4g}" for each in told)
                        for told in (beans.height_mm, beans.control_mm))
    return {"seeds": str(beans.seeds_a_pot), "heights": heights, "control": control, "twisted": str(beans.twisted),
            "control_twisted": str(beans.control_twisted), "day": beans.day.isoformat()}


def _measured(heap: Heap, cells: Mapping[str, str], *, by: str, now: datetime
              ) -> tuple[HeapMeasured | None, dict[str, str]]:
    wrong: dict[str, str] = {}
    quantity = cells.get("quantity", "")
    if quantity not in UNITS:
        return None, {"quantity": say("heap.no_quantity")}
    value = _figure(cells.get("value", ""), quantity, wrong)
    lab = one_line(cells, "lab", wrong)
    method, unit = line_perhaps(cells, "method", wrong), line_perhaps(cells, "unit", wrong)
    if quantity == CONDUCTIVITY and not method:
        wrong["method"] = say("heap.which_wetting", ways=", ".join(WETTINGS))
    day = day_of(cells, heap, now, wrong)
    if wrong or day is None:
        return None, wrong
    return HeapMeasured(slot="", heap=heap.id, quantity=quantity, value=value, unit=unit or UNITS[quantity],
                        method=method, lab=lab, day=day, by=by,
                        from_below=value is not None and sign_said(cells["value"]) == ">"), wrong


def _beans(heap: Heap, cells: Mapping[str, str], *, by: str, now: datetime, system: System
           ) -> tuple[BeansReadOff | None, dict[str, str]]:
    wrong: dict[str, str] = {}
    seeds = _count(cells, "seeds", 1, 20, wrong)
    grown, control = (_heights(cells, name, seeds, system, wrong) for name in ("heights", "control"))
    # Of plants whose heights cannot be read nobody knows how many there are.
    twisted = _count(cells, "twisted", 0, len(grown) or _MOST_PLANTS, wrong)
    control_twisted = _count(cells, "control_twisted", 0, len(control) or _MOST_PLANTS, wrong)
    day = day_of(cells, heap, now, wrong)
    if wrong or day is None:
        return None, wrong
    return BeansReadOff(slot="", heap=heap.id, day=day, seeds_a_pot=seeds, height_mm=grown, control_mm=control,
                        twisted=twisted, control_twisted=control_twisted, by=by), wrong


def hold(book: Fieldbook, heap: Heap, reason: str, *, by: str, now: datetime, mark: str = "") -> HeapTold:
    """Hold a heap: nothing may be made of it until somebody frees it. mark: of the form, so that it is told once."""
    return _held(book, heap, {"reason": reason, "mark": mark}, by, now, HeapHeld)


def free(book: Fieldbook, heap: Heap, reason: str, *, by: str, now: datetime, mark: str = "",
         lifts: Sequence[str] | None = None) -> HeapTold:
    """Free a heap of its hold and of what keeps it from being used. mark: as of `hold`; lifts: of what was shown to who
    frees it, where that is not the heap as given."""
    told = {*(each.told_id for each in heap.figures), *(each.told_id for each in heap.beans)}
    named = to_lift(heap) if lifts is None else tuple(each for each in lifts if each in told)
    return _held(book, heap, {"reason": reason, "mark": mark}, by, now, partial(HeapFreed, lifts=named))


def day_of(cells: Mapping[str, str], heap: Heap, now: datetime, wrong: dict[str, str]) -> date | None:
    """The day of a form; today, where it is empty."""
    today = day_there(now, zone(heap.time_zone))
    text = cells.get("day", "").strip()
    try:
        day = read_date(text, None) if text else today
    except RootcaseError as error:
        wrong["day"] = beside(error)
        return None
    if day > today:
        wrong["day"] = say("heap.ahead")
    return day


def _held(book: Fieldbook, heap: Heap, cells: Mapping[str, str], by: str, now: datetime,
          kind: Callable[..., HeapHeld | HeapFreed]) -> HeapTold:
    wrong: dict[str, str] = {}
    why = one_line(cells, "reason", wrong)
    if wrong:
        return HeapTold(heap.id, wrong=wrong)
    return HeapTold(heap.id, keep(book, cells, lambda slot: kind(slot=slot, heap=heap.id, reason=why, at=written(now),
                                                                 by=by)))


def _figure(text: str, quantity: str, wrong: dict[str, str]) -> float | None:
    """A figure; None where none was detected, also as "< 3" below every limit. Of what has a limit also as ">1,600"."""
    form = text.strip().casefold()
    if form in say("heap.not_detected").split("|"):
        return None
    try:
        typed = read(text, Limits(0.0, _MOST, "1", "1"))
    except RootcaseError as error:
        wrong["value"] = beside(error)
        return None
    if typed is None or typed.value is None or typed.unit is not None or not 0 <= typed.value <= _MOST:
        wrong["value"] = say("heap.no_figure")
        return None
    limits = [row["limit"] for row in table("compost/product_limits").rows if row["quantity"] == quantity]
    if typed.sign == "=" or (typed.sign == ">" and limits):
        return typed.value
    if typed.sign != "<" or not limits or typed.value > min(limits):
        wrong["value"] = say("heap.not_seen_far_enough")
    return None


def _count(cells: Mapping[str, str], name: str, least: int, most: int, wrong: dict[str, str]) -> int:
    digits = cells.get(name, "").strip()
    if digits.isascii() and digits.isdigit() and len(digits) < 5 and least <= int(digits) <= most:
        return int(digits)
    wrong.setdefault(name, say("heap.no_count", least=least, most=most))
    return least


def _heights(cells: Mapping[str, str], name: str, seeds: int, system: System, wrong: dict[str, str]
             ) -> tuple[float, ...]:
    box = "in" if system == "us" else "cm"
    found = []
    for text in re.split(r"[\s;/]+", cells.get(name, "").strip()):
        try:
            typed = read(text, Limits(0.0, _TALLEST_MM, "mm", box))
            value = None if typed is None else typed.to("mm", box).value
        except RootcaseError as error:
            wrong[name] = beside(error)
            return ()
        if value is None or not 0 <= value <= _TALLEST_MM:
            wrong[name] = str(ImpossibleValue(say("heap.no_height"), value=f'"{text[:60]}"',
                                              right=say("heap.right_height")))
            return ()
        found.append(value)
    if len(found) % seeds or len(found) > _MOST_PLANTS:
        wrong[name] = say("heap.no_pots", count=len(found), seeds=seeds)
    return tuple(found)
