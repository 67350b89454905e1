"""What law asks of a record of what was put on: each field of its lists, and by when."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import date, timedelta
from math import inf

from rootcase.ground.clock import is_zone, zone
from rootcase.records.apply.done import Application, Duty, Lack, OnFile, Wrong
from rootcase.tables.load import table

_REGISTRATION = re.compile(r"\d{1,6}-\d{1,6}(-\d{1,6})?|(SLN )?[A-Z]{2}-?\d{6}", re.ASCII)
_LETTER, _FIGURE = re.compile(r"[^\W\d_]"), re.compile(r"\d")


def duty(one: Application, on_file: OnFile, today: date) -> Duty:
    """What does law still ask of one record, by when is it whole, until when is it kept, and when is the copy due?

    Parameters
    ----------
    one : the record.
    on_file : the client as far as known, the practice's own years, and whether a copy was given.
    today : the day by which a date lies ahead.

    Returns
    -------
    Duty: nothing missing and no days where the lists ask nothing of it. [days are dates]

    Raises
    ------
    Missing : there is no such table.

    Notes
    -----
    The two federal lists are of pesticides of restricted use put on for hire. Of anything else, as extract, chips or
    what was not done, they ask nothing; the record is kept all the same. A state may ask more, sooner, for longer, and
    of products of general use: the practice's own years win where they are more, its own days where they are fewer;
    part of a day is not one.

    References
    ----------
    7 CFR 110.3 and 40 CFR 171.303(b)(7), tables apply/record_fields and apply/record_times (seen; the client's copy
    from memory).

    Examples
    --------
    >>> from rootcase.records.apply.done import Product
    >>> one = Application(id="a", slot="a", property_id="p", place_id="", tree_ids=("t",), remedy="growth_regulator",
    ...                   day=date(2026, 5, 26), applicator="rs", product=Product(name="Example", restricted=True))
    >>> found = duty(one, OnFile(client_named=True, client_address=True), date(2026, 5, 26))
    >>> [lack.field for lack in found.missing]
    ['registration', 'amount', 'area', 'site', 'licence', 'hours', 'amount_here', 'helpers']
    >>> found.due.isoformat(), found.keep_until.isoformat(), found.copy_due.isoformat()
    ('2026-06-09', '2028-05-26', '2026-06-25')
    """
    if not asks_anything(one):
        return Duty(application_id=one.id, missing=(), due=None, keep_until=None, copy_due=None)
    rows = table("apply/record_fields").rows
    found = ((row["field"], _CHECKS[row["field"]](one, on_file, today)) for row in rows)
    years = max(_days("kept_at_least"), on_file.keep_years)
    own = on_file.whole_days if (on_file.whole_days or inf) < _days("whole_within") else None
    within = _days("whole_within") if own is None else own
    return Duty(
        application_id=one.id, missing=tuple(Lack(field=field, why=why) for field, why in found if why is not None),
        due=one.day + timedelta(days=int(within)), own_days=own, keep_until=_years_on(one.day, years),
        copy_due=None if on_file.copy_given else one.day + timedelta(days=_days("copy_within")),
        source="; ".join(dict.fromkeys(row["source"].partition(";")[0] for row in rows)))


def asks_anything(one: Application) -> bool:
    """Does law ask anything of a record?

    Parameters
    ----------
    one : the record.

    Returns
    -------
    True for a product of restricted use that was put on.

    Raises
    ------
    Nothing.

    Notes
    -----
    As `duty` has it.

    References
    ----------
    As `duty`.

    Examples
    --------
    >>> asks_anything(Application(id="a", slot="a", property_id="p", place_id="", tree_ids=("t",), remedy="mulch",
    ...                           day=date(2026, 5, 26), applicator="rs"))
    False
    """
    return not one.not_done and one.product is not None and one.product.restricted


def _days(figure: str) -> float:
    return float(table("apply/record_times").row(figure=figure)["value"])


def _years_on(day: date, years: float) -> date:
    """The same day so many years later; of 29 February the next; part of a year counts as a whole one."""
    later = day.year + -int(-years // 1)
    try:
        return day.replace(year=later)
    except ValueError:
        return date(later, 3, 1)


def _words(text: str) -> Wrong | None:
    """A text with a letter in it."""
    if not text.strip():
        return "empty"
    return None if _LETTER.search(text) else "kind"


def _known(told: object) -> Wrong | None:
    return None if told else "empty"


def _above_none(figure: float | None, typed: str) -> Wrong | None:
    """A quantity above zero; one that was typed and has no figure is none."""
    if figure is None:
        return "kind" if typed.strip() else "empty"
    return None if figure > 0 else "kind"


def _product(one: Application, on_file: OnFile, today: date) -> Wrong | None:
    return _words(one.product.name if one.product else "")


def _registration(one: Application, on_file: OnFile, today: date) -> Wrong | None:
    text = one.product.registration.strip() if one.product else ""
    if not text:
        return "empty"
    return None if _REGISTRATION.fullmatch(text) else "kind"


def _amount(one: Application, on_file: OnFile, today: date) -> Wrong | None:
    return _above_none(one.litres if one.litres is not None else one.mass_kg, one.amount)


def _location(one: Application, on_file: OnFile, today: date) -> Wrong | None:
    return _known(one.property_id and (one.tree_ids or one.place_id))


def _area(one: Application, on_file: OnFile, today: date) -> Wrong | None:
    return _above_none(one.area_m2, one.area)


def _site(one: Application, on_file: OnFile, today: date) -> Wrong | None:
    return _words(one.site)


def _day(one: Application, on_file: OnFile, today: date) -> Wrong | None:
    return "date" if one.day > today else None


def _applicator(one: Application, on_file: OnFile, today: date) -> Wrong | None:
    return _known(one.applicator.strip())


def _licence(one: Application, on_file: OnFile, today: date) -> Wrong | None:
    text = one.applicator_licence.strip()
    if not text:
        return "empty"
    return None if _FIGURE.search(text) else "kind"


def _client_name(one: Application, on_file: OnFile, today: date) -> Wrong | None:
    return _known(on_file.client_named)


def _client_address(one: Application, on_file: OnFile, today: date) -> Wrong | None:
    return _known(on_file.client_address)


def _hours(one: Application, on_file: OnFile, today: date) -> Wrong | None:
    if one.started is None or one.ended is None:
        return "empty"
    if not is_zone(one.time_zone or "UTC"):
        return "kind"
    there = zone(one.time_zone or "UTC")
    here = {moment.astimezone(there).date() for moment in (one.started, one.ended)}
    return None if one.started <= one.ended and one.day in here else "date"


def _amount_here(one: Application, on_file: OnFile, today: date) -> Wrong | None:
    """A record is of one location; its amount is the amount there."""
    return "kind" if len(one.tree_ids) > 1 else _amount(one, on_file, today)


def _helpers(one: Application, on_file: OnFile, today: date) -> Wrong | None:
    if one.helpers and one.no_helper:
        return "kind"
    return _known(one.no_helper or any(code.strip() for code in one.helpers))


_CHECKS: Mapping[str, Callable[[Application, OnFile, date], Wrong | None]] = {
    "product": _product, "registration": _registration, "amount": _amount, "location": _location, "area": _area,
    "site": _site, "day": _day, "applicator": _applicator, "licence": _licence, "client_name": _client_name,
    "client_address": _client_address, "hours": _hours, "amount_here": _amount_here, "helpers": _helpers}
