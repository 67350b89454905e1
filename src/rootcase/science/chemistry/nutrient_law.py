"""What some laws on lawn fertilizer ask: closed days, distance from water, years that records are kept."""

from __future__ import annotations

import calendar

from rootcase.ground.dates import day_between
from rootcase.ground.errors import Missing
from rootcase.ground.units import convert
from rootcase.science.lanes import within
from rootcase.tables.load import Row, table


def fertilizer_closed(law: str, month: int, day: int) -> bool:
    """Does a law close this day of the year to fertilizer on lawns?

    Parameters
    ----------
    law : "new_york", "new_jersey" or "collier_florida"
    month : of the year. [-], 1 to 12
    day : of the month. [-], 1 to 31

    Returns
    -------
    true where it is closed; the first and the last day are taken as closed

    Raises
    ------
    OutOfRange : there is no such day.
    Missing : nothing of the kind is known of that law.

    Notes
    -----
    The laws speak of lawns; ask whether feeding trees under turf counts. Laws change, and counties and towns add their
    own: look the day up before the work, and write the rule down for the practice. That the days at both ends are
    closed is JUDGEMENT, the safe side.

    References
    ----------
    Table chemistry/nutrient_laws, a source each row.

    Examples
    --------
    >>> fertilizer_closed("new_york", 12, 15), fertilizer_closed("new_york", 4, 2)
    (True, False)
    """
    within("month", month, 1, 12, "")
    within("day", day, 1, calendar.monthrange(2000, month)[1], "")
    row = _row(law, "closed")
    return day_between(f"{month:02}-{day:02}", str(row["first"]), str(row["last"]))


def fertilizer_off_water_m(law: str, shielded: bool, planted_m: float) -> float:
    """How far from open water does a law keep fertilizer on lawns?

    Parameters
    ----------
    law : "new_york" or "collier_florida"
    shielded : is it put on with a guard, a deflector shield or a drop spreader?
    planted_m : width of a planted strip along the water that gets none. [m], 0 to 1,000

    Returns
    -------
    least distance; 0 where the planted strip does instead. [m]

    Raises
    ------
    OutOfRange : the width leaves its range.
    Missing : nothing of the kind is known of that law.

    Notes
    -----
    Laws change, and counties and towns add their own: look it up before the work. Where a law says nothing of a shield
    or a strip, neither shortens the distance.

    References
    ----------
    Table chemistry/nutrient_laws, a source each row.

    Examples
    --------
    >>> round(fertilizer_off_water_m("new_york", False, 0.0), 3), fertilizer_off_water_m("new_york", False, 3.048)
    (6.096, 0.0)
    """
    within("planted_m", planted_m, 0.0, 1000.0, "m")
    buffer_m = _metres(_row(law, "buffer"))
    strip, shield = (_found(law, about) for about in ("planted_waives", "buffer_with_shield"))
    if strip is not None and planted_m >= _metres(strip) - 1e-9:
        return 0.0
    return _metres(shield) if shielded and shield is not None else buffer_m


def nutrient_records_years(law: str) -> float:
    """How long does a law want records of nutrients kept?

    Parameters
    ----------
    law : "maryland", the one that is known

    Returns
    -------
    [years]

    Raises
    ------
    Missing : nothing of the kind is known of that law.

    Notes
    -----
    Laws change: look it up.

    References
    ----------
    Table chemistry/nutrient_laws, a source each row.

    Examples
    --------
    >>> nutrient_records_years("maryland")
    3.0
    """
    return float(_row(law, "records")["value"])


def _found(law: str, about: str) -> Row | None:
    return next((row for row in table("chemistry/nutrient_laws").rows if (row["law"], row["about"]) == (law, about)),
                None)


def _row(law: str, about: str) -> Row:
    row = _found(law, about)
    if row is None:
        known = [str(each["law"]) for each in table("chemistry/nutrient_laws").rows if each["about"] == about]
        raise Missing("nothing of the kind is known of that law", value=law, right=f"one of: {', '.join(known)}")
    return row


def _metres(row: Row) -> float:
    return convert(float(row["value"]), str(row["unit"]), "m")
