"""What goes into a tank first, whether it mixes at all, and whether it stayed mixed."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table


class JarStep(NamedTuple):
    """One step of a jar test, and how much of what; no amount where there is none."""

    what: str
    amount: float | None
    unit: str


def mix_order() -> tuple[str, ...]:
    """What goes into a half-filled tank, first to last.

    Returns
    -------
    names of the table tank/mix_order

    Raises
    ------
    Missing : never; the table is always there.

    Notes
    -----
    A product's own label goes before it. Extract is living: no copper, peroxide or chlorine in the same tank, nor in
    one not rinsed since (common practice, no source).

    References
    ----------
    Table tank/mix_order (seen; words of each letter memory).

    Examples
    --------
    >>> mix_order()[:2]
    ('wettable_powders_and_granules', 'agitate')
    """
    return tuple(row["what"] for row in table("tank/mix_order").rows)


def jar_test() -> tuple[JarStep, ...]:
    """How two things are tried together in a jar before they meet in a tank.

    Returns
    -------
    JarStep(what, amount, unit) each, in order

    Raises
    ------
    Missing : never; the table is always there.

    Notes
    -----
    In the open air, with gloves and eye protection, the lid loose: some mixtures heat or give off gas. A jar that
    stays clear says that they mix, not that the organisms live.

    References
    ----------
    Table tank/jar_test (seen).

    Examples
    --------
    >>> jar_test()[4]
    JarStep(what='stand', amount=15.0, unit='min')
    """
    return tuple(JarStep(row["what"], row["amount"], row["unit"]) for row in table("tank/jar_test").rows)


def jar_portion_ml(rate_l_m2: Numbers) -> Lanes:
    """How much of a product goes into a litre jar, by its rate on the ground.

    Parameters
    ----------
    rate_l_m2 : of the product, not of the mix. [L m-2], 0 to 0.1

    Returns
    -------
    same shape. [mL], in a litre of the tank's water

    Raises
    ------
    OutOfRange : the rate leaves its range.

    Notes
    -----
    The source divides litres a hectare by 100 to have litres: a litre jar then stands for 100 L on a hectare, far
    less water than a drench, so that what mixes here mixes there.

    References
    ----------
    GRDC spray application manual, module 7 (seen).

    Examples
    --------
    >>> float(jar_portion_ml(0.0002))
    20.0
    """
    return within("rate_l_m2", rate_l_m2, 0.0, 0.1, "L/m2") * 10_000.0 / 100.0 * 1000.0


def stays_mixed(first_count: Numbers, last_count: Numbers) -> NDArray[np.bool_]:
    """Do the first and the last gallon of a tank hold as much as each other?

    Parameters
    ----------
    first_count : in the first gallon out, any unit. [-], above 0 to 1e13
    last_count : same shape and unit, in the last. [-], 0 to 1e13

    Returns
    -------
    broadcast shape, true or false

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Within 20 % of the first. Counts of few organisms differ by more than that by chance alone: count enough of them.

    References
    ----------
    Table tank/tolerances, first_to_last_gallon: JUDGEMENT.

    Examples
    --------
    >>> stays_mixed(100.0, [85.0, 70.0]).tolist()
    [True, False]
    """
    first = within("first_count", first_count, 1e-9, 1e13, "")
    most = table("tank/tolerances").row(name="first_to_last_gallon")["most_pct"]
    return np.asarray(np.abs(within("last_count", last_count, 0.0, 1e13, "") - first) <= most / 100.0 * first)
