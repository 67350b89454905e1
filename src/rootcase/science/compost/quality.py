"""Limits of finished compost by their own method; a figure of one method is never held against another."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from rootcase.ground.errors import ImpossibleValue
from rootcase.science.lanes import within
from rootcase.tables.load import Row, table


class Conductivity(NamedTuple):
    """Electrical conductivity with the way the sample was wetted: "paste", "1:1", "1:2" or "1:5"."""

    ds_m: float
    method: str


def limit_kept(quantity: str, value: float | None, unit: str, list_: str) -> bool:
    """Does a laboratory's figure keep a limit?

    Parameters
    ----------
    quantity : such as "salmonella" or "lead"
    value : >= 0, in `unit`; None where the laboratory did not detect any
    unit : as the laboratory prints it; must be the limit's own
    list_ : whose limit, such as "cfr_503_13"

    Returns
    -------
    bool

    Raises
    ------
    OutOfRange : the value is below zero.
    ImpossibleValue : the unit is not the limit's.
    Missing : the list has no such quantity.

    Notes
    -----
    "Not detected" keeps every limit if the method's limit of detection is not above it: that is the laboratory's
    word. Anything detected breaks a limit of "not detected". Local law goes before.

    References
    ----------
    Table compost/product_limits, a source each row.

    Examples
    --------
    >>> limit_kept("lead", 300.0, "mg/kg dry", "cfr_503_13"), limit_kept("salmonella", 3.0, "MPN/4 g dry", "cfr_21_112")
    (True, False)
    """
    row = table("compost/product_limits").row(quantity=quantity, list=list_)
    if unit != row["unit"]:
        raise ImpossibleValue("the figure and the limit have different units", where=quantity, value=unit,
                              right=f"give it in {row['unit']}")
    if value is None:
        return True
    figure = float(within(quantity, value, 0.0, np.inf, unit))
    if row["comparison"] == "not detected":
        return False
    return bool(figure <= row["limit"] if row["comparison"] == "at most" else figure < row["limit"])


def saltier_by_ds_m(one: Conductivity, other: Conductivity) -> float:
    """How much saltier is one compost than another?

    Parameters
    ----------
    one, other : wetted the same way. [dS m-1], 0 to 100

    Returns
    -------
    float : the difference. [dS m-1]

    Raises
    ------
    OutOfRange : a value leaves its range.
    ImpossibleValue : the two were wetted in different ways.

    Notes
    -----
    There is no rule for compost that turns one way of wetting into another.

    References
    ----------
    Penn State, Clemson and Missouri, how to read a compost report (seen): each limit names its method.

    Examples
    --------
    >>> round(saltier_by_ds_m(Conductivity(4.0, "1:5"), Conductivity(2.5, "1:5")), 2)
    1.5
    """
    if one.method != other.method:
        raise ImpossibleValue("conductivity of one method is never held against another",
                              value=f"{one.method} and {other.method}", right="have both wetted the same way")
    first, second = within("conductivity", [one.ds_m, other.ds_m], 0.0, 100.0, "dS/m").tolist()
    return float(first - second)


def usual_conductivity(reading: Conductivity) -> tuple[bool, str]:
    """Does a conductivity lie where its own method's row says?

    Parameters
    ----------
    reading : with its method. [dS m-1], 0 to 100

    Returns
    -------
    whether it does, and what the row means: "usual" or "desired below".

    Raises
    ------
    OutOfRange : the value leaves its range.
    Missing : no row has this method.

    Notes
    -----
    No law, and nothing is refused by it.

    References
    ----------
    Table compost/conductivity, a source each row.

    Examples
    --------
    >>> usual_conductivity(Conductivity(3.0, "1:5")), usual_conductivity(Conductivity(3.0, "1:2"))
    ((True, 'usual'), (False, 'desired below'))
    """
    row = table("compost/conductivity").row(method=reading.method)
    figure = float(within("conductivity", reading.ds_m, 0.0, 100.0, "dS/m"))
    low, high = row["low_ds_m"], row["high_ds_m"]
    inside = (low or 0.0) <= figure <= high if row["meaning"] == "usual" else figure < high
    return bool(inside), str(row["meaning"])


def usual_rows(quantity: str, *, finished: bool) -> tuple[Row, ...]:
    """Where a figure of a fresh mix or of finished compost should lie, one row a source.

    Parameters
    ----------
    quantity : such as "moisture" or "carbon_nitrogen"
    finished : compost for use; else a fresh mix or a working heap

    Returns
    -------
    tuple of rows, each with its ends, unit and source.

    Raises
    ------
    None : a quantity that is not there has no rows.

    Notes
    -----
    Sources that disagree stand side by side; units are those printed.

    References
    ----------
    Table compost/targets and table compost/usual, a source each row.

    Examples
    --------
    >>> [(row["accepted_low"], row["accepted_high"]) for row in usual_rows("carbon_nitrogen", finished=False)]
    [(20.0, 40.0), (20.0, 60.0)]
    """
    rows = table("compost/usual" if finished else "compost/targets").rows
    return tuple(row for row in rows if row["quantity"] == quantity)
