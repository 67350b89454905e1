"""How much of what on how much ground, and what it costs."""

from __future__ import annotations

from rootcase.casework.prescribe.paces import hours_in_all, work_of
from rootcase.casework.prescribe.remedies import Remedy, figure, remedies
from rootcase.casework.prescribe.states import Worked
from rootcase.records.observe import MINIMUM_CHARGE, PriceBook
from rootcase.records.prescribe import Dose
from rootcase.tables.load import table

VISIT = "visit"
_OTHERS = {VISIT: ("per_visit",), "reading hour": ("per_hour",), "laboratory": ("per_sample",),
           MINIMUM_CHARGE: ("per_offer",)}


def dose_of(remedy: Remedy, root_zone_m2: float, covers: dict[str, float], worked: Worked, clay: float) -> Dose | None:
    """The quantity of one application on the ground over one tree's roots.

    Parameters
    ----------
    remedy : the remedy.
    root_zone_m2 : ground over the roots. [m2], above 0
    covers : shares of litter, mulch, turf, bare and paved. [-]
    worked : what of turf and bare ground may be worked.
    clay : of the ground. [kg kg-1]

    Returns
    -------
    Dose in SI units, not yet rounded; None for doing nothing and for what is not done on a piece of ground.

    Raises
    ------
    Missing : the table lacks a figure.

    Notes
    -----
    Chips lie thinner on heavy soil. Tilled ground is covered with chips as well, whose volume is given. What a
    laboratory decides, and how it is measured out: see `measured_out`.

    References
    ----------
    Table prescribe/remedies: seen, memory or computed, row by row.

    Examples
    --------
    >>> mulch = next(remedy for remedy in remedies() if remedy.code == "mulch")
    >>> lawn = {"litter": 0.0, "mulch": 0.0, "turf": 0.8, "bare": 0.2, "paved": 0.0}
    >>> dose = dose_of(mulch, 100.0, lawn, Worked(turf=0.5), 0.2)
    >>> round(dose.area_m2, 6), dose.depth_m, round(dose.volume_m3, 6), dose.litres
    (60.0, 0.08, 4.8, None)
    """
    if remedy.code == "nothing" or remedy.ground in ("none", "all"):
        return None
    share = {"open": covers["turf"] * worked.turf + covers["bare"] * worked.bare,
             "turf": covers["turf"] * worked.turf, "unpaved": 1.0 - covers["paved"]}[remedy.ground]
    area = share * root_zone_m2
    heavy = clay >= figure("heavy_soil_clay")
    depth = remedy.heavy_depth_m if heavy else remedy.depth_m
    chips_m = next((r.heavy_depth_m if heavy else r.depth_m) or 0.0 for r in remedies() if r.code == "mulch")
    thickness = chips_m if remedy.chips else depth
    return Dose(
        area_m2=area, depth_m=depth, cover_m=chips_m if remedy.chips and remedy.breaks_surface else None,
        volume_m3=None if thickness is None else area * thickness,
        mass_kg=None if remedy.mass_kg_m2 is None else area * remedy.mass_kg_m2, water_mm=remedy.water_mm,
        every_days=remedy.every_days, litres=None if remedy.water_mm is None else area * remedy.water_mm,
        season=remedy.season,
        turf_m2=covers["turf"] * worked.turf * root_zone_m2 if remedy.chips or remedy.ground == "turf" else None)


def cost_of(remedy: Remedy, dose: Dose | None, book: PriceBook) -> float | None:
    """What a remedy costs of itself over five years.

    Parameters
    ----------
    remedy : the remedy.
    dose : of one application; None where there is none.
    book : the practice's prices.

    Returns
    -------
    Money in the book's currency; None where the book has no line for it that can be reckoned.

    Raises
    ------
    Nothing.

    Notes
    -----
    A line by the area or the tree stands for the whole of five years: chips and their renewal, tillage with the
    chips on top, five seasons of watering. A line by the volume or the visit is paid each time, one by the hour for
    the person-hours of the table of paces.

    References
    ----------
    The practice's own prices: common practice, no source.

    Examples
    --------
    >>> from rootcase.records.observe import Price
    >>> mulch = next(remedy for remedy in remedies() if remedy.code == "mulch")
    >>> book = PriceBook("USD", (Price("mulch", "per_m3", 100.0, "USD", "made up"),))
    >>> cost_of(mulch, Dose(10.0, depth_m=0.08, volume_m3=0.8), book), cost_of(mulch, Dose(10.0), PriceBook("USD", ()))
    (160.0, None)
    """
    if remedy.code == "nothing":
        return 0.0
    if dose is None:
        return None
    times = sum(work.visit for work in work_of(remedy.code))
    hours = hours_in_all(remedy.code, dose).person
    volume = None if dose.volume_m3 is None else times * dose.volume_m3
    units = {"per_m2": dose.area_m2, "per_tree": 1.0, "per_m3": volume, "per_visit": float(times),
             "per_hour": hours or None}
    for price in book.prices:
        if price.item == remedy.code and (size := units.get(price.unit)) is not None:
            return price.amount * size
    return None


def price_units(item: str) -> tuple[str, ...]:
    """What a price of this item can be for, as `cost_of` and the costs of readings count it.

    Parameters
    ----------
    item : code of a remedy, or one of the other items of a price book.

    Returns
    -------
    Some of per_tree, per_visit, per_hour, per_m2, per_m3, per_sample, per_offer; the usual one first.

    Raises
    ------
    Nothing.

    Notes
    -----
    By the area where the dose covers ground, by the volume where it has a depth, by the visit where the table of steps
    has one, by the hour where the table of paces has one.

    References
    ----------
    None; it follows from the tables.

    Examples
    --------
    >>> price_units("mulch"), price_units("keep_off"), price_units("visit")
    (('per_m3', 'per_tree', 'per_m2', 'per_visit', 'per_hour'), ('per_tree',), ('per_visit',))
    """
    remedy = next((each for each in remedies() if each.code == item), None)
    if remedy is None:
        return _OTHERS.get(item, ("per_visit",))
    covers = remedy.ground not in ("none", "all")
    paced = any(row["work"] == item for row in table("prescribe/paces").rows)
    may = {"per_m3": covers and bool(remedy.chips or remedy.depth_m), "per_tree": True, "per_m2": covers,
           "per_visit": any(work.visit for work in work_of(item)), "per_hour": paced}
    return tuple(unit for unit, counted in may.items() if counted)


def visit_cost(book: PriceBook) -> float:
    """Set-up of one visit, shared by all trees that need it.

    Parameters
    ----------
    book : the practice's prices.

    Returns
    -------
    Money; 0 where the book has no line for it.

    Raises
    ------
    Nothing.

    Notes
    -----
    None.

    References
    ----------
    The practice's own prices: common practice, no source.

    Examples
    --------
    >>> visit_cost(PriceBook("USD", ()))
    0.0
    """
    return next((price.amount for price in book.prices if price.item == VISIT), 0.0)
