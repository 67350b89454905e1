"""What a heap shows: its heat by the rule it is judged by, its limits, its beans, and whether it may be used."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from functools import lru_cache
from typing import Literal

import numpy as np

from rootcase.casework.draws import stream
from rootcase.casework.make.heap_figures import (
    START_RATIO,
    bean_tests,
    beans_judged,
    classes_judged,
    limits_judged,
    newest,
)
from rootcase.casework.make.heap_slips import slips, turned_at, unlikely
from rootcase.ground.errors import OutOfRange
from rootcase.ground.words import say
from rootcase.records.make.heap import (
    Heap,
    HeapJudged,
    HeapPart,
    HeapVerdict,
    HeatDoubt,
    LimitJudged,
    Stretch,
)
from rootcase.science.compost.feedstocks import feedstock, printed_spread
from rootcase.science.compost.heat import Deciding, Judged, judge, lethality
from rootcase.science.compost.heat_log import GAP_BY_HAND_S, GAP_OF_A_LOGGER_S, HOUR_S, HeatLog
from rootcase.science.compost.heat_rules import HeatRule, heat_rule, starts_within
from rootcase.science.compost.material import Material, stacked
from rootcase.science.compost.spread import Spread, mix_interval

COLDEST_C, HOTTEST_C = -60.0, 120.0
"""What a probe in a heap can read; the rest is kept and does not count."""
Start = Literal["kept", "not kept", "not known"]
VERDICTS: dict[str, HeapVerdict] = {"met": "met", "not_met": "not met", "not_shown": "not shown"}
STATES: dict[str, Literal["hot", "outside", "not known"]] = {
    "hot": "hot", "outside": "outside", "not_known": "not known"}


def judged(heap: Heap) -> HeapJudged:
    """What does a heap show, and may it be used?

    Parameters
    ----------
    heap : as it stands; temperatures in degC.

    Returns
    -------
    HeapJudged : the verdict by its heat rule, both counts of days, what decides, limits, beans, and of one that may not
        be used a line each of what is wrong and what would be right.

    Raises
    ------
    Missing : the heap's rule is not in the table.

    Notes
    -----
    Readings before the last material went on do not count. A probe that a logger reads keeps the logger's longest
    gap, also where it was read by hand as well: the stricter of the two. A carbon to nitrogen at the start that is
    asked for and not shown makes the verdict `not shown`, one outside makes it `not met`; a laboratory's figure goes
    before the mix's. Where no probe was checked in ice water, that decides before turns and days that are too few: they
    cannot be counted. A heap may be used that met its rule, is not held, whose beans did not twist and whose figures
    keep the limits of law; a figure in another unit than its limit of law shows nothing, and keeps it back.

    References
    ----------
    `rootcase.science.compost.heat.judge`, `rootcase.science.compost.heat_rules.starts_within`. What may be used:
    JUDGEMENT.

    Examples
    --------
    >>> heap = Heap(id="h", name="4", shape="static", rule="cfr_503", complete_at=datetime(2015, 5, 1, tzinfo=UTC),
    ...             time_zone="America/New_York", by="rs")
    >>> found = judged(heap)
    >>> found.verdict, found.deciding_why, found.may_be_used
    ('not met', 'no_readings', False)
    """
    return _judged(heap)


@lru_cache(maxsize=64)
def _judged(heap: Heap) -> HeapJudged:
    """Each look at the heaps of a yard asks anew; as long as all of a heap is the same, so is what it shows."""
    rule, log = heat_rule(heap.rule, heap.shape), log_of(heap)
    heat = judge(log, rule)
    ratio, start = _start(heap, rule)
    verdict = VERDICTS[heat.verdict]
    decides = _decides(log, heat)
    deciding: str = decides.why
    if start != "kept" and (verdict == "met" or start == "not kept"):
        verdict, deciding = ("not met" if start == "not kept" else "not shown"), "carbon_nitrogen"
    beans, limits = beans_judged(heap), limits_judged(heap)
    why_not = tuple(_why_not(heap, verdict, deciding, heat, rule, beans, limits))
    return HeapJudged(
        heap_id=heap.id, verdict=verdict, total_days=heat.total_days, unbroken_days=heat.unbroken_days,
        most_total_days=heat.most_total_days, most_unbroken_days=heat.most_unbroken_days, needed_days=rule.days,
        unbroken=rule.unbroken, turns=heat.turns, needed_turns=rule.turns, lowest_c=rule.lowest_c,
        highest_c=None if np.isinf(rule.highest_c) else rule.highest_c,
        deciding_from=_moment(decides.from_s), deciding_to=_moment(decides.to_s), deciding_why=deciding,
        stretches=tuple(Stretch(start=_at(each.from_s), end=_at(each.to_s), state=STATES[each.state])
                        for each in heat.stretches),
        doubts=tuple(HeatDoubt(probe=each.probe, start=_at(each.from_s), end=_at(each.to_s), why=each.why)
                     for each in heat.doubts),
        slips=slips(heap), unlikely=unlikely(heap), turned_at=turned_at(heap),
        reheat_hours=tuple(None if np.isnan(each) else each / HOUR_S for each in heat.reheat_s),
        carbon_nitrogen=ratio, carbon_nitrogen_asked=rule.carbon_nitrogen, lethality=_lethality(log), beans=beans,
        bean_tests=bean_tests(heap), limits=limits, classes=classes_judged(heap), may_be_used=not why_not,
        why_not=why_not, rule_source=rule.source)


def log_of(heap: Heap) -> HeatLog:
    """A heap's readings as the log that its heat is judged by.

    Parameters
    ----------
    heap : as it stands; temperatures in degC.

    Returns
    -------
    HeatLog : seconds since 1970 (UTC), degC.

    Raises
    ------
    Nothing.

    Notes
    -----
    From the moment the last material went on; what no probe can read (below -60, above 120 degC) is left out. Turns
    told within ten minutes of one another are one.

    References
    ----------
    `rootcase.casework.make.heap_slips.turned_at`.

    Examples
    --------
    >>> heap = Heap(id="h", name="4", shape="static", rule="cfr_503", complete_at=datetime(2015, 5, 1, tzinfo=UTC),
    ...             time_zone="America/New_York", by="rs")
    >>> log_of(heap).time_s.size
    0
    """
    complete_s = heap.complete_at.timestamp()
    rows = [row for row in _readings(heap) if row[0] >= complete_s and COLDEST_C <= row[2] <= HOTTEST_C]
    time_s, probe, temperature_c, air_c = np.array(rows).reshape(-1, 4).T
    checks = np.array([(each.at.timestamp(), number) for each in heap.checks for number in each.probes]).reshape(-1, 2)
    return HeatLog(time_s=time_s, probe=probe.astype(np.int64), temperature_c=temperature_c, air_c=air_c,
                   turn_s=np.array([at.timestamp() for at in turned_at(heap) if at >= heap.complete_at]),
                   checked_s=checks[:, 0], checked_probe=checks[:, 1].astype(np.int64), max_gap_s=GAP_BY_HAND_S,
                   own_gap_s={each.probe: GAP_OF_A_LOGGER_S for each in heap.logged},
                   every_part_heated=heap.every_part_heated)


def spread_of(part: HeapPart) -> Spread:
    """Between what do the figures of a material that went in lie?

    Parameters
    ----------
    part : in %.

    Returns
    -------
    Spread : low, middle, high. [%]

    Raises
    ------
    Missing : its row is not in the library.
    OutOfRange : a figure leaves its range.

    Notes
    -----
    What the practice measured stands as it was measured; a printed figure has its row's spread, around the moisture
    of the part where that is another one.

    References
    ----------
    `rootcase.science.compost.feedstocks.printed_spread`.

    Examples
    --------
    >>> spread = spread_of(HeapPart(material="leaves", mass_kg=1.0, moisture_pct=38.0, carbon_pct=48.6,
    ...                             nitrogen_pct=0.9, feedstock="leaves"))
    >>> [round(float(end.nitrogen_pct), 3) for end in spread]
    [0.585, 0.9, 1.395]
    """
    if part.feedstock:
        row = feedstock(part.feedstock)
        measured = None if part.moisture_pct == row.moisture_pct[1] else part.moisture_pct
        return printed_spread(row, measured)
    own = Material(part.moisture_pct, part.carbon_pct, part.nitrogen_pct)
    return Spread(own, own, own)


def _readings(heap: Heap) -> Iterator[tuple[float, float, float, float]]:
    """Time, probe, temperature and that of the air."""
    for each in heap.readings:
        yield (each.at.timestamp(), each.probe, each.temperature_c, np.nan if each.air_c is None else each.air_c)
    for file in heap.logged:
        start_s = file.start.timestamp()
        for after_s, temperature_c in zip(file.after_s, file.temperature_c, strict=False):
            yield start_s + after_s, file.probe, temperature_c, np.nan


def _start(heap: Heap, rule: HeatRule) -> tuple[tuple[float, float, float] | None, Start]:
    """Carbon to nitrogen of the fresh mix, and whether the rule's band holds it."""
    told = newest(heap, START_RATIO)
    ratio: tuple[float, float, float] | None = None
    if told is not None and told.value is not None:
        ratio = (told.value, told.value, told.value)
    elif heap.parts:
        spreads = [spread_of(part) for part in heap.parts]
        whole = Spread(*(stacked(tuple(getattr(each, end) for each in spreads)) for end in Spread._fields))
        ratio = mix_interval(np.array([part.mass_kg for part in heap.parts]), whole,
                             stream(0, "heap", heap.id)).carbon_nitrogen
    if rule.carbon_nitrogen is None:
        return ratio, "kept"
    if ratio is None:
        return None, "not known"
    ends = [starts_within(min(end, 2000.0), rule) for end in (ratio[0], ratio[2])]
    low, high = rule.carbon_nitrogen
    if all(ends):
        return ratio, "kept"
    return ratio, "not kept" if ratio[2] < low or ratio[0] > high else "not known"


def _decides(log: HeatLog, heat: Judged) -> Deciding:
    """What decides; where no probe is believed for want of a check, that, and not what could not be counted."""
    unchecked = [each for each in heat.doubts if each.why == "unchecked"]
    if heat.verdict != "not_met" or heat.total_days or {each.probe for each in unchecked} < set(log.probe.tolist()):
        return heat.deciding
    if not unchecked or any(each.state == "outside" for each in heat.stretches):
        return heat.deciding
    return Deciding(min(each.from_s for each in unchecked), max(each.to_s for each in unchecked), "unchecked")


def _why_not(heap: Heap, verdict: HeapVerdict, deciding: str, heat: Judged, rule: HeatRule, beans: str | None,
             limits: tuple[LimitJudged, ...]) -> Iterator[str]:
    """A line each: what is wrong and what would be right."""
    if heap.held is not None:
        yield say("heap.not.held", name=heap.name, reason=heap.held.reason)
    if beans == "weedkiller_likely":
        yield say("heap.not.weedkiller", name=heap.name)
    for each in limits:
        if each.binding and each.kept is None and each.figure.from_below and each.figure.unit == each.unit:
            yield say("heap.not.from_below", name=heap.name, limit=f"{each.high:g} {each.unit}",
                      quantity=say(f"heap.quantity.{each.figure.quantity}"), value=f">{each.figure.value:g}")
        elif each.binding and each.kept is None:
            yield say("heap.not.other_unit", name=heap.name, quantity=say(f"heap.quantity.{each.figure.quantity}"),
                      unit=each.figure.unit, right=each.unit)
        elif each.binding and each.kept is False:
            above = ">" if each.figure.from_below else ""
            value = say("heap.detected") if each.figure.value is None else above + f"{each.figure.value:g}"
            yield say("heap.not.limit", name=heap.name, quantity=say(f"heap.quantity.{each.figure.quantity}"),
                      value=value, limit=f"{each.high:g}", unit=each.figure.unit)
    if verdict != "met":
        yield _not_shown(heap, verdict, deciding, heat, rule)


def _not_shown(heap: Heap, verdict: HeapVerdict, deciding: str, heat: Judged, rule: HeatRule) -> str:
    """What is missing of the heat rule, by what really decides."""
    days = heat.unbroken_days if rule.unbroken else heat.total_days
    if deciding == "carbon_nitrogen":
        low, high = rule.carbon_nitrogen or (0.0, 0.0)
        return say("heap.not.carbon_nitrogen", name=heap.name, low=f"{low:g}", high=f"{high:g}")
    if deciding == "one_probe":
        return say("heap.not.one_probe", name=heap.name)
    if deciding == "unchecked" and not heat.total_days:
        return say("heap.not.unchecked", name=heap.name)
    shown = {"name": heap.name, "days": f"{np.floor(days * 10) / 10:g}", "needed": f"{rule.days:g}"}
    if verdict == "not met":
        turns = say("heap.not.turns", turns=heat.turns, needed=rule.turns) if rule.turns else ""
        return say("heap.not.not_met", turns=turns, **shown)
    return say("heap.not.not_shown", **shown)


def _lethality(log: HeatLog) -> float | None:
    try:
        return lethality(log)
    except OutOfRange:  # over 100 degC
        return None


def _at(seconds: float) -> datetime:
    return datetime.fromtimestamp(seconds, UTC)


def _moment(seconds: float) -> datetime | None:
    return None if np.isnan(seconds) else _at(seconds)
