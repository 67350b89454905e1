"""The heat rules as their sources print them."""

from __future__ import annotations

from typing import Literal, NamedTuple

import numpy as np

from rootcase.ground.units import convert
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table

Heap = Literal["static", "windrow"]
"""`static`: in a vessel or aerated and not turned; `windrow`: turned."""
SHORTEST_DAYS = 20 / (24 * 60)
LEAST_LETHAL_C = 50.0


class HeatRule(NamedTuple):
    lowest_c: float
    highest_c: float
    """Infinite where the rule has no upper limit."""
    days: float
    unbroken: bool
    """Else the days are summed."""
    turns: int
    every_part: bool
    """Whether the rule asks that all of the heap was brought to the heat, which no probe shows."""
    carbon_nitrogen: tuple[float, float] | None
    """At the start; None where the rule says nothing of it."""
    source: str


def heat_rule(name: str, heap: Heap) -> HeatRule:
    """One rule for one kind of heap.

    Parameters
    ----------
    name : such as "nop" or "cfr_503"
    heap : "static" or "windrow"

    Returns
    -------
    HeatRule : in degC and days.

    Raises
    ------
    Missing : no such rule for this kind of heap.

    Notes
    -----
    A rule printed in degF keeps its own ends: 131 degF is 55 degC, 170 degF is 76.7. Which rule holds for a practice
    is its law's and its buyer's to say.

    References
    ----------
    Table compost/heat_rules, a source each row.

    Examples
    --------
    >>> rule = heat_rule("nop", "windrow")
    >>> rule.lowest_c, round(rule.highest_c, 1), rule.days, rule.turns, rule.carbon_nitrogen
    (55.0, 76.7, 15.0, 5, (25.0, 40.0))
    """
    row = table("compost/heat_rules").row(rule=name, heap=heap)
    lowest, highest = (np.inf if row[end] is None else convert(row[end], row["unit"], "degC")
                       for end in ("lowest", "highest"))
    start = None if row["cn_low"] is None else (row["cn_low"], row["cn_high"])
    return HeatRule(lowest, highest, row["days"], row["count"] == "unbroken", int(row["turns"]),
                    row["every_part"] == "yes", start, row["source"])


def starts_within(carbon_nitrogen: float, rule: HeatRule) -> bool:
    """Does a heap's carbon to nitrogen at the start keep a rule?

    Parameters
    ----------
    carbon_nitrogen : of the fresh mix. [-], 0 to 2000
    rule : the heat rule

    Returns
    -------
    bool : also true where the rule says nothing of it.

    Raises
    ------
    OutOfRange : outside its range.

    Notes
    -----
    A mix of feedstocks from a library has an interval that may pass either end: then a laboratory's figure shows it.

    References
    ----------
    Table compost/heat_rules, a source each row.

    Examples
    --------
    >>> starts_within(24.0, heat_rule("nop", "windrow")), starts_within(24.0, heat_rule("cfr_503", "windrow"))
    (False, True)
    """
    ratio = float(within("carbon_nitrogen", carbon_nitrogen, 0.0, 2000.0, ""))
    return rule.carbon_nitrogen is None or rule.carbon_nitrogen[0] <= ratio <= rule.carbon_nitrogen[1]


def holding_days(temperature_c: Numbers) -> Lanes:
    """For how long sludge must be held at a temperature, as a yardstick of how deadly heat is.

    Parameters
    ----------
    temperature_c : scalar or one per lane. [degC], 50 to 100

    Returns
    -------
    same shape. [day], at least 20 minutes

    Raises
    ------
    OutOfRange : outside its range.

    Notes
    -----
    Written for sewage sludge of at least 7 % solids. No rule for compost rests on it: it is a figure beside the
    verdict.

    References
    ----------
    40 CFR 503.32(a)(3), alternative 1: D = 131,700,000 / 10^(0.14 t) (seen as North Carolina's rule 15A NCAC 02T .1106
    repeats it).

    Examples
    --------
    >>> holding_days([50.0, 55.0, 60.0]).round(2).tolist()
    [13.17, 2.63, 0.52]
    """
    hot = within("temperature_c", temperature_c, LEAST_LETHAL_C, 100.0, "degC")
    return np.maximum(131_700_000.0 / 10.0 ** (0.14 * hot), SHORTEST_DAYS)
