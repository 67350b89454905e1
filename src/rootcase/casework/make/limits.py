"""How long a batch may be used, and what its oxygen says of it."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import NamedTuple

from rootcase.ground.errors import ImpossibleValue
from rootcase.ground.words import say
from rootcase.records.make.batch import Batch, BatchRules, ToldStep
from rootcase.science.tank.hygiene import holding_limit_h
from rootcase.science.tank.oxygen import Uptake, hours_to_floor, oxygen_uptake_mg_l_h, share_of_saturation_pct
from rootcase.science.water.dissolved_oxygen import oxygen_saturation_mg_l
from rootcase.tables.readings import kind_of

_RULE = "extract"
_HOUR_S, _MOST_DIGITS = 3600.0, 6


class AgeLimit(NamedTuple):
    """How old a batch may be, and whose limit that is."""

    hours: float
    own_h: float | None
    """The practice's own; None: the rule's hour."""
    note: str


class AirOff(NamedTuple):
    """What readings with the air off say."""

    uptake: Uptake
    last_at: datetime
    """When the last of them was taken."""
    hours: float
    """From then to the floor, by the upper end of the uptake."""


def saturation_mg_l(told: ToldStep, rules: BatchRules) -> float:
    """How much oxygen does the water of a reading hold?

    Parameters
    ----------
    told : a reading of oxygen with its temperature.
    rules : the yard's height.

    Returns
    -------
    [mg/L]

    Raises
    ------
    OutOfRange : temperature or height leaves its range.

    Notes
    -----
    Fresh water, and the standard air's pressure at that height.

    References
    ----------
    Benson and Krause 1984, see science.water.dissolved_oxygen (computed).

    Examples
    --------
    >>> from datetime import UTC
    >>> from rootcase.records.make.batch import Figure
    >>> told = ToldStep(id="1", step="oxygen", at=datetime(2016, 5, 3, tzinfo=UTC), by="rs", words={},
    ...                 figures=(Figure("oxygen_mg_l", 8.0), Figure("temperature_c", 20.0)))
    >>> round(saturation_mg_l(told, BatchRules(oxygen_floor_mg_l=6.0, elevation_m=500.0)), 2)
    8.55
    """
    return float(oxygen_saturation_mg_l(told.figure("temperature_c") or 0.0, rules.elevation_m))


def cannot_be(told: ToldStep, rules: BatchRules) -> bool:
    """Does a reading show more oxygen than water can hold?

    Parameters
    ----------
    told : a reading of oxygen with its temperature.
    rules : the yard's height.

    Returns
    -------
    Whether it lies above saturation by more than the margin.

    Raises
    ------
    OutOfRange : a figure leaves its range.

    Notes
    -----
    Such a reading stays on record and decides nothing: the meter is calibrated and read again.

    References
    ----------
    Table observe/agreements, oxygen_saturation.

    Examples
    --------
    >>> from datetime import UTC
    >>> from rootcase.records.make.batch import Figure
    >>> told = ToldStep(id="1", step="oxygen", at=datetime(2016, 5, 3, tzinfo=UTC), by="rs", words={},
    ...                 figures=(Figure("oxygen_mg_l", 11.9), Figure("temperature_c", 20.0)))
    >>> cannot_be(told, BatchRules(oxygen_floor_mg_l=6.0))
    True
    """
    try:
        share_of_saturation_pct(told.figure("oxygen_mg_l") or 0.0, saturation_mg_l(told, rules))
    except ImpossibleValue:
        return True
    return False


def of_the_liquid(batch: Batch) -> tuple[ToldStep, ...]:
    """Which readings of oxygen were taken of the liquid, and not of the water before compost was in it?

    Parameters
    ----------
    batch : as it stands.

    Returns
    -------
    Those from the earliest start of extraction on that was ever told; all of them while nobody told one.

    Raises
    ------
    Nothing.

    Notes
    -----
    Water alone holds what it holds and says nothing of what the compost will use. A start that is told anew, later,
    wipes no reading out.

    References
    ----------
    None: a rule of this house.

    Examples
    --------
    >>> from datetime import UTC
    >>> of_the_liquid(Batch(id="b", number=1, heap_id="h", started_at=datetime(2016, 5, 3, tzinfo=UTC), by="rs",
    ...                     steps=(), judgement=None, loads=()))
    ()
    """
    return tuple(told for told in batch.told("oxygen") if batch.begun_at is None or told.at >= batch.begun_at)


def under_the_floor(batch: Batch, told: ToldStep, rules: BatchRules) -> str:
    """Does a reading of oxygen forbid any further load of a fit batch?

    Parameters
    ----------
    batch : as it stands.
    told : the reading.
    rules : the practice's oxygen floor and the yard's height.

    Returns
    -------
    The figure in one line; empty where it is at the floor or above, cannot be, or was taken before the start of
    extraction or after the batch's age was over.

    Raises
    ------
    OutOfRange : a figure leaves its range.

    Notes
    -----
    What is left of a batch over its age uses up its oxygen; that says nothing of what was loaded before. Of what was
    taken back counts whatever was read since compost was in the water: no later word of the start makes it the water's.

    References
    ----------
    Table tank/oxygen_floors; that one dip decides: JUDGEMENT.

    Examples
    --------
    >>> from datetime import UTC
    >>> from rootcase.records.make.batch import Figure
    >>> at = datetime(2016, 5, 3, tzinfo=UTC)
    >>> told = ToldStep(id="1", step="oxygen", at=at, by="rs", words={},
    ...                 figures=(Figure("oxygen_mg_l", 4.1), Figure("temperature_c", 20.0)))
    >>> under_the_floor(Batch(id="b", number=1, heap_id="h", started_at=at, by="rs", steps=(), judgement=None,
    ...                       loads=()), told, BatchRules(oxygen_floor_mg_l=6.0))
    'Oxygen 4.1 mg/L; floor 6.0'
    """
    until = batch.judgement.good_until if batch.judgement else None
    begun = batch.soaked_at if told.id in {each.told.id for each in batch.taken_back} else batch.begun_at
    oxygen, floor = told.figure("oxygen_mg_l") or 0.0, rules.oxygen_floor_mg_l
    if oxygen >= floor or (begun is not None and told.at < begun) or (until is not None and told.at > until):
        return ""
    return "" if cannot_be(told, rules) else say("batch.oxygen_under", oxygen=apart(oxygen, floor, 1),
                                                 floor=f"{floor:.1f}")


def apart(value: float, limit: float, digits: int = 0) -> str:
    """How is a value written so that it is seen on which side of its limit it lies?

    Parameters
    ----------
    value : not the limit itself.
    limit : in the same unit.
    digits : behind the point, at least.

    Returns
    -------
    With as many digits as it takes to look unlike the limit.

    Raises
    ------
    Nothing.

    Notes
    -----
    Six digits at most.

    References
    ----------
    None: arrangement only.

    Examples
    --------
    >>> apart(4.1, 6.0, 1), apart(5.96, 6.0, 1), apart(60.02, 60.0)
    ('4.1', '5.96', '60.02')
    """
    enough = next((each for each in range(digits, _MOST_DIGITS) if f"{value:.{each}f}" != f"{limit:.{each}f}"),
                  _MOST_DIGITS)
    return f"{value:,.{enough}f}"


def air_off(batch: Batch, rules: BatchRules) -> AirOff | None:
    """How fast does a batch use its oxygen, and how long does it last?

    Parameters
    ----------
    batch : as it stands.
    rules : floor and height.

    Returns
    -------
    AirOff(uptake, last_at, hours); None with fewer than two readings with the air off behind the last one with it on.

    Raises
    ------
    OutOfRange : a figure leaves its range.

    Notes
    -----
    Readings that cannot be are left out, but one with the air on still parts those before it from those behind. The
    meter's own error counts, so two readings never look surer than it.

    References
    ----------
    See science.tank.oxygen; the meter's error: table observe/readings, dissolved_oxygen.

    Examples
    --------
    >>> from datetime import UTC
    >>> air_off(Batch(id="b", number=1, heap_id="h", started_at=datetime(2016, 5, 3, tzinfo=UTC), by="rs", steps=(),
    ...               judgement=None, loads=()), BatchRules(oxygen_floor_mg_l=6.0)) is None
    True
    """
    readings = sorted(of_the_liquid(batch), key=lambda told: told.at)
    last_on = next((told.at for told in reversed(readings) if told.words.get("air") != "off"), None)
    off = [told for told in readings if (last_on is None or told.at > last_on) and not cannot_be(told, rules)]
    if len({told.at for told in off}) < 2:
        return None
    hours = [(told.at - off[0].at).total_seconds() / _HOUR_S for told in off]
    oxygen = [told.figure("oxygen_mg_l") or 0.0 for told in off]
    meter_sd = float(kind_of("dissolved_oxygen").error_size or 0.0)
    uptake = oxygen_uptake_mg_l_h(hours, oxygen, meter_sd)
    return AirOff(uptake, off[-1].at, float(hours_to_floor(oxygen[-1], rules.oxygen_floor_mg_l, uptake.high)))


def age_limit(batch: Batch, rules: BatchRules) -> AgeLimit:
    """How old may a batch be when it is used?

    Parameters
    ----------
    batch : as it stands.
    rules : the practice's own limit and its oxygen floor.

    Returns
    -------
    AgeLimit(hours, own_h, note)

    Raises
    ------
    OutOfRange : a figure leaves its range.

    Notes
    -----
    One hour from the end of extraction. A longer limit is the practice's own, has to be told, and holds only for a
    batch whose oxygen with the air off is measured to stay above the floor that long from that end; a shorter one
    always holds.

    References
    ----------
    Table tank/holding, rule extract.

    Examples
    --------
    >>> from datetime import UTC
    >>> age_limit(Batch(id="b", number=1, heap_id="h", started_at=datetime(2016, 5, 3, tzinfo=UTC), by="rs", steps=(),
    ...                 judgement=None, loads=()), BatchRules(oxygen_floor_mg_l=6.0, holding_h=4.0)).hours
    1.0
    """
    hour = holding_limit_h(_RULE)
    if rules.holding_h is None:
        return AgeLimit(hour, None, say("batch.limit.rule", hours=f"{hour:g}"))
    own = f"{rules.holding_h:g}"
    if rules.holding_h <= hour:
        return AgeLimit(rules.holding_h, rules.holding_h, say("batch.limit.own_short", hours=own))
    found, end = air_off(batch, rules), batch.newest("end")
    if found is None or end is None:
        return AgeLimit(hour, None, say("batch.limit.not_measured", hours=f"{hour:g}", own=own))
    lasts_h = (found.last_at - end.at).total_seconds() / _HOUR_S + found.hours
    if lasts_h < rules.holding_h:
        return AgeLimit(hour, None, say("batch.limit.too_fast", hours=f"{hour:g}", own=own,
                                        lasts=apart(lasts_h, rules.holding_h, 1), floor=f"{rules.oxygen_floor_mg_l:g}"))
    return AgeLimit(rules.holding_h, rules.holding_h, say("batch.limit.own", hours=own,
                                                          floor=f"{rules.oxygen_floor_mg_l:g}"))


def good_until(ended: datetime, limit: AgeLimit) -> datetime:
    """Until when may a batch be loaded?

    Parameters
    ----------
    ended : when its extraction ended.
    limit : see `age_limit`.

    Returns
    -------
    The last moment.

    Raises
    ------
    Nothing.

    Notes
    -----
    Every load inherits it; neither air nor a second tank starts it anew.

    References
    ----------
    Table tank/holding.

    Examples
    --------
    >>> good_until(datetime(2016, 5, 3, 9, 5), AgeLimit(1.0, None, "")).hour
    10
    """
    return ended + timedelta(hours=limit.hours)
