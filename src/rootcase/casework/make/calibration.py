"""What a hose, a boom and an injector really put out, from what was caught."""

from __future__ import annotations

from collections.abc import Sequence

from rootcase.ground.errors import OutOfRange
from rootcase.ground.words import say
from rootcase.records.make.rates import Boom, Cans, Caught, Injector, Nozzles
from rootcase.science.tank import calibration
from rootcase.science.tank.rates import applied_l_m2

_FEWEST_CANS, _FEWEST_NOZZLES = 4, 3


def hose(caught_l: float, minutes: float, area_m2: float | None = None) -> Caught:
    """What a hose puts out, and on the ground that it covers in the same time.

    Parameters
    ----------
    caught_l : in a bucket. [L]
    minutes : for how long. [min]
    area_m2 : covered in as long; None: not told. [m2]

    Returns
    -------
    Caught: flow, and the rate where ground was told. [L/min], [L m-2]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    With the hose, tip and pressure of the work.

    References
    ----------
    `flow_l_min`, `applied_l_m2`.

    Examples
    --------
    >>> hose(20.0, 2.0, 10.0)
    Caught(flow_l_min=10.0, rate_l_m2=2.0)
    """
    rate = None if area_m2 is None else float(applied_l_m2(caught_l, area_m2))
    return Caught(flow_l_min=float(calibration.flow_l_min(caught_l, minutes)), rate_l_m2=rate)


def boom(flow_l_min: float, distance_m: float, seconds: float, width_m: float) -> Boom:
    """Which rate a boom puts on the ground.

    Parameters
    ----------
    flow_l_min : of all its nozzles together. [L/min]
    distance_m : driven or walked on the ground of the work. [m]
    seconds : in this time. [s]
    width_m : of the swath. [m]

    Returns
    -------
    Boom: speed, rate. [m/s], [L m-2]

    Raises
    ------
    OutOfRange : a value leaves its range, or the speed is that of no sprayer.

    Notes
    -----
    None.

    References
    ----------
    `speed_m_s`, `boom_l_m2`.

    Examples
    --------
    >>> boom(6.0, 30.0, 24.0, 4.0)
    Boom(speed_m_s=1.25, rate_l_m2=0.02)
    """
    speed = float(calibration.speed_m_s(distance_m, seconds))
    return Boom(speed_m_s=speed, rate_l_m2=float(calibration.boom_l_m2(flow_l_min, speed, width_m)))


def injector(drawn_l: float, delivered_l: float, wanted_share: float | None = None) -> Injector:
    """Which share an injector draws, and how strong its stock has to be.

    Parameters
    ----------
    drawn_l : gone from the stock. [L]
    delivered_l : caught at the end, with what was drawn. [L]
    wanted_share : of concentrate in what comes out; None: not asked. [-], 0 to 1

    Returns
    -------
    Injector: the share drawn, what is wanted, and the share of concentrate in the stock. [-] each

    Raises
    ------
    OutOfRange : a value leaves its range, more was drawn than came out, or the injector draws too little.

    Notes
    -----
    None.

    References
    ----------
    `injected_share`, `stock_share`.

    Examples
    --------
    >>> found = injector(0.5, 10.0, 0.02)
    >>> found.share, round(found.stock_share, 3)
    (0.05, 0.4)
    """
    if drawn_l > delivered_l:
        raise OutOfRange(say("rates.drawn_too_much"), right=say("rates.right_drawn"))
    share = float(calibration.injected_share(drawn_l, delivered_l))
    if wanted_share is None:
        return Injector(share=share)
    if wanted_share > share:
        raise OutOfRange(say("rates.draws_too_little"), right=say("rates.right_draws"))
    return Injector(share=share, wanted_share=wanted_share,
                    stock_share=float(calibration.stock_share(wanted_share, share)))


def cans(caught: Sequence[float]) -> Cans:
    """How evenly a pass fell on a set of equal cans.

    Parameters
    ----------
    caught : in each can, four or more, one unit. [-]

    Returns
    -------
    Cans: how many, CV, CU and DU. [%] each

    Raises
    ------
    OutOfRange : fewer than four cans, or all of them empty.

    Notes
    -----
    None.

    References
    ----------
    `evenness`.

    Examples
    --------
    >>> found = cans([92, 101, 88, 110, 97, 104, 95, 113])
    >>> found.cans, round(found.cu_pct, 1), round(found.du_pct, 1)
    (8, 93.0, 90.0)
    """
    if len(caught) < _FEWEST_CANS or not any(caught):
        raise OutOfRange(say("rates.few_cans"), right=say("rates.right_cans", fewest=_FEWEST_CANS))
    found = calibration.evenness(list(caught))
    return Cans(cans=len(caught), cv_pct=found.cv_pct, cu_pct=found.cu_pct, du_pct=found.du_pct)


def nozzles(caught: Sequence[float]) -> Nozzles:
    """Which nozzles of a set are worn or clogged.

    Parameters
    ----------
    caught : of each in the same time, three or more, one unit. [-]

    Returns
    -------
    Nozzles: off the median, and whether to replace, each. [%], [-]

    Raises
    ------
    OutOfRange : fewer than three, or one that gave nothing.

    Notes
    -----
    None.

    References
    ----------
    `nozzle_wear`.

    Examples
    --------
    >>> nozzles([16.2, 15.8, 17.9, 16.0]).replace
    (False, False, True, False)
    """
    if len(caught) < _FEWEST_NOZZLES or not all(caught):
        raise OutOfRange(say("rates.few_nozzles"), right=say("rates.right_nozzles", fewest=_FEWEST_NOZZLES))
    found = calibration.nozzle_wear(list(caught))
    return Nozzles(off_pct=tuple(float(off) for off in found.off_pct), replace=found.replace)
