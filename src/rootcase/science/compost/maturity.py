"""How stable and how mature compost is, by each source's own classes, and what a bean says."""

from __future__ import annotations

from typing import Literal, NamedTuple

import numpy as np

from rootcase.ground.errors import Missing
from rootcase.science.lanes import Numbers, within
from rootcase.tables.load import Row, table

LEAST_POTS = 3
"""Of the compost and of the control."""
FEWEST_UP = 0.8
"""Of the seeds in the control; else the test says nothing of the compost. JUDGEMENT."""
SLOW_PCT = 80.0
"""Of the control's height: the lowest class of emergence and vigour in table compost/maturity_classes (memory)."""
ORDER = ("immature", "mature", "very_mature")

Rating = Literal["immature", "mature", "very_mature"]


class BeanTest(NamedTuple):
    verdict: Literal["sound", "slow", "weedkiller_likely", "not_shown"]
    growth_pct: float
    """Mean height beside the control's; not a number where nothing came up in the control."""


def maturity_class(quantity: str, value: float, list_: str) -> str:
    """The class of one figure by one list.

    Parameters
    ----------
    quantity : with its unit and basis in the name, such as "ammonium_mg_kg" (of dry matter) or
        "carbon_dioxide_mg_g_day" (carbon, of organic matter)
    value : >= 0, in that unit
    list_ : whose classes, such as "ccqc_2001"

    Returns
    -------
    str : the list's own name of the class.

    Raises
    ------
    OutOfRange : the value is below zero.
    Missing : the list has no such quantity.

    Notes
    -----
    Lists differ between editions and bases and are not turned into one another. Where a laboratory prints its own
    class, that stands beside this one.

    References
    ----------
    Table compost/maturity_classes, a source each row.

    Examples
    --------
    >>> maturity_class("ammonium_mg_kg", 530.0, "ccqc_2001"), maturity_class("self_heating_c", 15.0, "brinton_1995")
    ('immature', 'IV')
    """
    figure = float(within(quantity, value, 0.0, np.inf, "in its unit"))
    classes = [row for row in table("compost/maturity_classes").rows
               if row["quantity"] == quantity and row["list"] == list_]
    for row in classes:
        if _holds(row, figure):
            return str(row["class"])
    raise Missing("no class of this quantity", where="tables/compost/maturity_classes", value=f"{quantity}, {list_}",
                  right="name a quantity and a list of the table")


def may_be_mature(carbon_nitrogen: float, list_: str = "ccqc_2001") -> bool:
    """Does its carbon to nitrogen let compost be called mature at all?

    Parameters
    ----------
    carbon_nitrogen : of the compost. [-], 0 to 2000
    list_ : whose gate

    Returns
    -------
    bool

    Raises
    ------
    OutOfRange : outside its range.
    Missing : no such list.

    Notes
    -----
    Beyond the gate no other test counts.

    References
    ----------
    Table compost/maturity_gate.

    Examples
    --------
    >>> may_be_mature(28.0), may_be_mature(25.0)
    (False, True)
    """
    most: float = table("compost/maturity_gate").row(list=list_)["most_carbon_nitrogen"]
    return bool(within("carbon_nitrogen", carbon_nitrogen, 0.0, 2000.0, "") <= most)


def maturity_rating(carbon_nitrogen: float, stability: Rating | None, toxicity: Rating | None) -> Rating | None:
    """The rating of compost from its carbon to nitrogen, a test of stability and a test of harm to plants.

    Parameters
    ----------
    carbon_nitrogen : of the compost. [-], 0 to 2000
    stability : class by a test of group A, as its laboratory gives it; None where none was made
    toxicity : class by a test of group B; None where none was made

    Returns
    -------
    The worse of the two; "immature" beyond the gate; None where a test is missing.

    Raises
    ------
    OutOfRange : the ratio leaves its range.

    Notes
    -----
    A missing test is no rating, whatever the other says, save that one immature class is enough to call it so. Which
    class of another list equals which of these three is the laboratory's to say.

    References
    ----------
    California Compost Quality Council 2001, Compost maturity index (located; the combination memory).

    Examples
    --------
    >>> maturity_rating(18.0, "very_mature", "mature"), maturity_rating(18.0, "mature", None)
    ('mature', None)
    """
    if not may_be_mature(carbon_nitrogen) or "immature" in (stability, toxicity):
        return "immature"
    if stability is None or toxicity is None:
        return None
    return min(stability, toxicity, key=ORDER.index)


def bean_test(height_mm: Numbers, control_mm: Numbers, seeds_a_pot: int, *, twisted: int,
              control_twisted: int) -> BeanTest:
    """What beans or peas in the compost say beside those in clean potting mix.

    Parameters
    ----------
    height_mm : (pots, seeds) heights in the compost after 2 to 3 weeks; 0 where none came up. [mm], 0 to 2000
    control_mm : (pots, seeds) the same in potting mix without compost. [mm]
    seeds_a_pot : sown in each. [1], 1 to 20
    twisted, control_twisted : plants with cupped or twisted new leaves. [1], >= 0

    Returns
    -------
    BeanTest : the verdict and the growth beside the control. [%]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    One twisted plant in the compost and none in the control is enough. Twisted plants in the control, too few of them,
    or fewer than three pots show nothing. A slow plant with flat leaves speaks of salt or of unripe compost. The test
    names no chemical; a laboratory does.

    References
    ----------
    WSU Whatcom County Extension 2011, Bioassay test for auxinic herbicide residues in compost (seen: three pots each,
    two to three weeks, legumes). Limits of control and growth: JUDGEMENT.

    Examples
    --------
    >>> grown, control = np.full((3, 3), 95.0), np.full((3, 3), 100.0)
    >>> bean_test(grown, control, 3, twisted=2, control_twisted=0).verdict
    'weedkiller_likely'
    """
    within("seeds_a_pot", seeds_a_pot, 1, 20, "seeds")
    within("twisted plants", [twisted, control_twisted], 0, 1e4, "plants")
    grown, control = (within(name, figures, 0.0, 2000.0, "mm").reshape(-1, seeds_a_pot)
                      for name, figures in (("height_mm", height_mm), ("control_mm", control_mm)))
    growth = float(100.0 * grown.mean() / control.mean()) if control.size and control.any() else float("nan")
    if min(len(grown), len(control)) < LEAST_POTS or (control > 0).mean() < FEWEST_UP or control_twisted:
        return BeanTest("not_shown", growth)
    if twisted:
        return BeanTest("weedkiller_likely", growth)
    return BeanTest("slow" if growth < SLOW_PCT else "sound", growth)


def _holds(row: Row, figure: float) -> bool:
    low, high, ends = row["low"], row["high"], row["ends"]
    above = figure > low or (ends[0] == "[" and figure == low)
    return above and (high is None or figure < high or (ends[1] == "]" and figure == high))
