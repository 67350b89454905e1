"""The invented practice's yard: a heap that met its rule, a batch that was refused, one that went out, a slide of it;
and the work that waits near by.

It is told by the doors of the pages at the hours that its files give, for a verdict and a load are of the moment they
are told.
"""

from __future__ import annotations

from pathlib import Path
from typing import Literal, cast
from zoneinfo import ZoneInfo

from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.ground.quantity import System
from rootcase.records.make.batch import Step
from rootcase.records.make.heap import Heap
from rootcase.services.demo_files import Clock, cells_of, moment_of, pairs_of, require, rows_of
from rootcase.services.demo_work import tell_work
from rootcase.services.heap import check_probes, heap_named, start_heap, tell_heat, turn
from rootcase.services.heap_figures import read_beans
from rootcase.services.make_batch import batch_named, end_batch, fill_load, judge_batch, start_batch, tell_step
from rootcase.services.people import DEMO_CODE
from rootcase.services.recipe import parts_of
from rootcase.services.slides import keep_slide

_BY = DEMO_CODE
_SYSTEM: System = "us"
_READ_AT = "08:30"
_PROBES = ("1", "2")


def make_yard(path: Path) -> None:
    """Tell the invented fieldbook in this file what its practice made, what it put on, and who drives where with it."""
    cells = cells_of("heap")
    place = ZoneInfo(cells["time_zone"])
    clock = Clock(moment_of(f"{cells['day']} {cells['time']}", place))
    with open_fieldbook(path, now=clock) as book:
        heap = _heap(book, cells, clock)
        for row in rows_of("batches"):
            clock.at = moment_of(row["time"], place)
            _batch(book, heap, row)
        require(keep_slide(book, cells_of("slide"), by=_BY, today=clock.at.date(), system=_SYSTEM).wrong)
        tell_work(book, clock, place)


def _heap(book: Fieldbook, cells: dict[str, str], clock: Clock) -> Heap:
    """The heap by its recipe, read and turned to its end, and its compost tried with beans."""
    told = start_heap(book, cells, by=_BY, now=clock.at, parts=parts_of(cells, _SYSTEM), invented=True)
    require(told.wrong)
    heap = heap_named(book, told.heap_id)
    require(check_probes(book, heap, {"probes": " ".join(_PROBES)}, by=_BY, now=clock.at).wrong)
    place = ZoneInfo(heap.time_zone)
    for row in rows_of("heat"):
        clock.at = moment_of(f"{row['day']} {_READ_AT}", place)
        for probe in _PROBES:
            read = {"probe": probe, "value": row[f"probe {probe} [degF]"]}
            require(tell_heat(book, heap, read, by=_BY, now=clock.at, system=_SYSTEM).wrong)
        if row["turned"]:
            require(turn(book, heap, {}, by=_BY, now=clock.at).wrong)
    beans = cells_of("beans")
    clock.at = moment_of(f"{beans['day']} {_READ_AT}", place)
    require(read_beans(book, heap, beans, by=_BY, now=clock.at, system=_SYSTEM).wrong)
    return heap


def _batch(book: Fieldbook, heap: Heap, row: dict[str, str]) -> None:
    """One line of the batches' paper."""
    figures = {name: float(value) for name, value in pairs_of(row["figures"]).items()}
    words = pairs_of(row["words"])
    if row["step"] == "new":
        start_batch(book, heap.id, _BY)
        return
    batch_id = batch_named(book, row["batch"]).id
    if row["step"] == "judged":
        judge_batch(book, batch_id, _BY)
    elif row["step"] == "load":
        fill_load(book, batch_id, figures["volume_l"], _BY, air_gap_m=figures["air_gap_m"],
                  oxygen_mg_l=figures["oxygen_mg_l"], tank=words["tank"])
    elif row["step"] == "ended":
        end_batch(book, batch_id, cast(Literal["compost_water", "poured_out"], words["how"]), words["where"], _BY)
    else:
        tell_step(book, batch_id, cast(Step, row["step"]), figures, words, _BY)
