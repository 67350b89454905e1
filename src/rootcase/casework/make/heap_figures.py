"""What was measured of a heap beside the limits, ranges and classes of its own unit and method."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Literal

import numpy as np

from rootcase.ground.errors import ImpossibleValue, Missing, OutOfRange
from rootcase.records.make.heap import BeansJudged, BeansRead, ClassJudged, Heap, HeapFigure, LimitJudged
from rootcase.science.compost.maturity import bean_test, maturity_class, may_be_mature
from rootcase.science.compost.quality import Conductivity, limit_kept, usual_conductivity, usual_rows
from rootcase.tables.load import table

START_RATIO, RATIO, CONDUCTIVITY = "carbon_nitrogen_start", "carbon_nitrogen", "conductivity"
LAW = ("cfr_21_112", "cfr_503_13")
"""Lists of limits that hold; the others of the table are superseded."""
WORKING: Mapping[str, str] = {"heap_moisture": "moisture", "heap_oxygen": "oxygen",
                              "heap_free_air_space": "free_air_space"}
"""Figures of a working heap, by their quantity in table compost/targets."""
UNITS: Mapping[str, str] = {
    START_RATIO: "1", "heap_moisture": "%", "heap_oxygen": "%", "heap_free_air_space": "%", RATIO: "1",
    "ammonium_mg_kg": "mg/kg dry", "ammonium_to_nitrate": "1", "carbon_dioxide_mg_g_day": "mg C/g OM day",
    "self_heating_c": "degC", "emergence_pct": "%", "vigor_pct": "%", CONDUCTIVITY: "dS/m", "ph": "pH",
    "nitrogen": "% dry", "organic_matter": "% dry", "moisture": "%", "fecal_coliform": "MPN/g dry",
    "salmonella": "MPN/4 g dry", "e_coli_o157": "MPN/g", "listeria": "CFU/5 g", "arsenic": "mg/kg dry",
    "cadmium": "mg/kg dry", "copper": "mg/kg dry", "lead": "mg/kg dry", "mercury": "mg/kg dry",
    "nickel": "mg/kg dry", "zinc": "mg/kg dry", "selenium": "mg/kg dry"}
"""What is measured of a heap, in the order of its life, with the unit that limits and classes have."""

Beans = Literal["sound", "slow", "weedkiller_likely", "not_shown"]


def newest(heap: Heap, quantity: str) -> HeapFigure | None:
    """The newest figure of a quantity.

    Parameters
    ----------
    heap : as it stands.
    quantity : a key of `UNITS`.

    Returns
    -------
    HeapFigure in its own unit; None where none was told.

    Raises
    ------
    Nothing.

    Notes
    -----
    By the day it is of; figures of other methods count as other figures where limits are judged.

    References
    ----------
    None: arrangement only.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> heap = Heap(id="h", name="4", shape="static", rule="cfr_503", complete_at=datetime(2015, 5, 1, tzinfo=UTC),
    ...             time_zone="America/New_York", by="rs")
    >>> newest(heap, "lead")
    """
    return next((each for each in reversed(heap.figures) if each.quantity == quantity), None)


def limits_judged(heap: Heap) -> tuple[LimitJudged, ...]:
    """Which limits and usual ranges do a heap's newest figures keep?

    Parameters
    ----------
    heap : as it stands; figures in the unit their laboratory prints.

    Returns
    -------
    tuple of LimitJudged, a row for each list that speaks of the quantity; ends in the list's unit.

    Raises
    ------
    Nothing.

    Notes
    -----
    The newest figure of each quantity and method, and each older one that broke a limit of law: a newer figure lifts
    none of them, but taking it back, correcting it, or freeing the heap of it. Of another unit or method than the
    limit's it is held against nothing, `kept` None. Only limits of law bind, also where `kept` is None: nothing shows
    then that they are kept. A figure that is only known from below, as ">500", breaks a limit or shows nothing of it.

    References
    ----------
    Table compost/product_limits, table compost/conductivity, table compost/usual, table compost/targets, table
    compost/maturity_gate.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> heap = Heap(id="h", name="4", shape="static", rule="cfr_503", complete_at=datetime(2015, 5, 1, tzinfo=UTC),
    ...             time_zone="America/New_York", by="rs")
    >>> limits_judged(heap)
    ()
    """
    last = {(each.quantity, each.method): each for each in heap.figures}
    newest_ones, lifted = {each.id for each in last.values()}, _lifted(heap)
    return tuple(row for figure in heap.figures if figure.told_id not in lifted for row in _rows(figure)
                 if figure.id in newest_ones or (row.binding and row.kept is False))


def classes_judged(heap: Heap) -> tuple[ClassJudged, ...]:
    """In which class of stability or of harm to plants do a heap's newest figures lie?

    Parameters
    ----------
    heap : as it stands; figures in the unit of `UNITS`.

    Returns
    -------
    tuple of ClassJudged, each list by itself.

    Raises
    ------
    Nothing.

    Notes
    -----
    A figure in another unit is in no class; no list's class is turned into another's.

    References
    ----------
    Table compost/maturity_classes.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> heap = Heap(id="h", name="4", shape="static", rule="cfr_503", complete_at=datetime(2015, 5, 1, tzinfo=UTC),
    ...             time_zone="America/New_York", by="rs")
    >>> classes_judged(heap)
    ()
    """
    found = []
    for figure in {each.quantity: each for each in heap.figures}.values():
        rows = {row["list"]: row["source"] for row in table("compost/maturity_classes").rows
                if row["quantity"] == figure.quantity and figure.unit == UNITS.get(figure.quantity)}
        if figure.value is not None and figure.value >= 0:
            found += [ClassJudged(figure=figure, list=name, source=source,
                                  class_=maturity_class(figure.quantity, figure.value, name))
                      for name, source in rows.items()]
    return tuple(found)


def beans_judged(heap: Heap) -> Beans | None:
    """What do beans in a heap's compost say?

    Parameters
    ----------
    heap : as it stands; heights in mm.

    Returns
    -------
    `weedkiller_likely` where one test says so; else the verdict of the newest that shows anything, else `not_shown`;
    None where no test stands.

    Raises
    ------
    Nothing.

    Notes
    -----
    No later test lifts one that twisted: weedkiller lies in a heap unevenly. It counts until it is taken back or the
    heap is freed of it, each with a reason.

    References
    ----------
    `rootcase.science.compost.maturity.bean_test`. What lifts a test: JUDGEMENT, on the cautious side.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> heap = Heap(id="h", name="4", shape="static", rule="cfr_503", complete_at=datetime(2015, 5, 1, tzinfo=UTC),
    ...             time_zone="America/New_York", by="rs")
    >>> beans_judged(heap)
    """
    said = [each.verdict for each in bean_tests(heap) if each.verdict != "weedkiller_likely" or not each.freed]
    if "weedkiller_likely" in said:
        return "weedkiller_likely"
    shown = [each for each in said if each != "not_shown"]
    return (shown or said)[-1] if said else None


def bean_tests(heap: Heap) -> tuple[BeansJudged, ...]:
    """What does each test with beans say, and was the heap freed of it?

    Parameters
    ----------
    heap : as it stands; heights in mm.

    Returns
    -------
    tuple of BeansJudged, oldest first.

    Raises
    ------
    Nothing.

    Notes
    -----
    Freeing lifts what it names, as it was told then: whatever the clock said, no test that came or was corrected later.

    References
    ----------
    `rootcase.science.compost.maturity.bean_test`.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> heap = Heap(id="h", name="4", shape="static", rule="cfr_503", complete_at=datetime(2015, 5, 1, tzinfo=UTC),
    ...             time_zone="America/New_York", by="rs")
    >>> bean_tests(heap)
    ()
    """
    lifted = _lifted(heap)
    return tuple(BeansJudged(read=each, verdict=_beans(each), freed=each.told_id in lifted) for each in heap.beans)


def to_lift(heap: Heap) -> tuple[str, ...]:
    """What would freeing a heap lift beside a hold?

    Parameters
    ----------
    heap : as it stands.

    Returns
    -------
    Ids of what was told: tests with beans that twisted and figures that break a limit of law, not lifted yet.

    Raises
    ------
    Nothing.

    Notes
    -----
    A figure in another unit than its limit of law is not among them: it is told in the limit's unit.

    References
    ----------
    `limits_judged`, `beans_judged`.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> heap = Heap(id="h", name="4", shape="static", rule="cfr_503", complete_at=datetime(2015, 5, 1, tzinfo=UTC),
    ...             time_zone="America/New_York", by="rs")
    >>> to_lift(heap)
    ()
    """
    beans = [each.read.told_id for each in bean_tests(heap) if each.verdict == "weedkiller_likely" and not each.freed]
    return (*beans, *dict.fromkeys(row.figure.told_id for row in limits_judged(heap)
                                   if row.binding and row.kept is False))


def _lifted(heap: Heap) -> set[str]:
    return {each for holding in heap.holdings if not holding.held for each in holding.lifts}


def bars(heap: Heap, entry_id: str) -> bool:
    """Does an entry of a heap's log, a figure or beans, speak against using the heap?

    Parameters
    ----------
    heap : as it stands.
    entry_id : of one of its figures or tests with beans; any other entry bars nothing by itself.

    Returns
    -------
    bool

    Raises
    ------
    Nothing.

    Notes
    -----
    Each for itself, also where a later one speaks otherwise: beans that twisted in the compost and not beside it, a
    figure that breaks a limit of law or cannot be held against it.

    References
    ----------
    `limits_judged`, `beans_judged`.

    Examples
    --------
    >>> from datetime import UTC, date, datetime
    >>> lead = HeapFigure(id="f", quantity="lead", value=900.0, unit="mg/kg dry", method="", lab="a laboratory",
    ...                   day=date(2015, 6, 1), by="rs")
    >>> heap = Heap(id="h", name="4", shape="static", rule="cfr_503", complete_at=datetime(2015, 5, 1, tzinfo=UTC),
    ...             time_zone="America/New_York", by="rs", figures=(lead,))
    >>> bars(heap, "f"), bars(heap, "h")
    (True, False)
    """
    return any(_beans(each) == "weedkiller_likely" for each in heap.beans if each.id == entry_id) or any(
        row.binding and row.kept is not True
        for each in heap.figures if each.id == entry_id for row in _rows(each))


def _beans(read: BeansRead) -> Beans:
    try:
        return bean_test(np.array(read.height_mm), np.array(read.control_mm), read.seeds_a_pot, twisted=read.twisted,
                         control_twisted=read.control_twisted).verdict
    except (OutOfRange, ValueError):  # of another program's making: no whole pots
        return "not_shown"


def _rows(figure: HeapFigure) -> Iterator[LimitJudged]:
    for row in table("compost/product_limits").rows:
        if row["quantity"] == figure.quantity and row["list"] in LAW:
            yield LimitJudged(figure=figure, list=row["list"], low=None, high=row["limit"], unit=row["unit"],
                              kept=_kept(figure, row["list"]), binding=True, source=row["source"])
    if figure.quantity == RATIO and figure.value is not None:
        for row in table("compost/maturity_gate").rows:
            yield LimitJudged(figure=figure, list=row["list"], low=None, high=row["most_carbon_nitrogen"], unit="1",
                              kept=may_be_mature(figure.value, row["list"]), binding=False,
                              source="California Compost Quality Council 2001")
    if figure.quantity == CONDUCTIVITY and figure.value is not None:
        yield from _conductivity(figure, figure.value)
    working = figure.quantity in WORKING
    for row in usual_rows(WORKING.get(figure.quantity, figure.quantity), finished=not working):
        low, high = (row["accepted_low"], row["accepted_high"]) if working else (row["low"], row["high"])
        if low is None and high is None:
            continue
        kept = None if figure.value is None or figure.from_below or figure.unit != row["unit"] else (
            (low is None or figure.value >= low) and (high is None or figure.value <= high))
        yield LimitJudged(figure=figure, list="usual", low=low, high=high, unit=row["unit"], kept=kept, binding=False,
                          source=row["source"])


def _kept(figure: HeapFigure, list_: str) -> bool | None:
    try:
        kept = limit_kept(figure.quantity, figure.value, figure.unit, list_)
    except ImpossibleValue:
        return None
    if not figure.from_below or figure.value is None or not kept:
        return kept
    limit = table("compost/product_limits").row(quantity=figure.quantity, list=list_)["limit"]
    return False if figure.value >= limit else None


def _conductivity(figure: HeapFigure, ds_m: float) -> Iterator[LimitJudged]:
    """Beside the row of its own way of wetting, and no other."""
    try:
        kept = usual_conductivity(Conductivity(ds_m, figure.method))[0] if figure.unit == "dS/m" else None
        row = table("compost/conductivity").row(method=figure.method)
    except (Missing, OutOfRange):
        yield LimitJudged(figure=figure, list="usual", low=None, high=None, unit="dS/m", kept=None, binding=False,
                          source="")
        return
    yield LimitJudged(figure=figure, list="usual", low=row["low_ds_m"], high=row["high_ds_m"], unit="dS/m", kept=kept,
                      binding=False, source=row["source"])
