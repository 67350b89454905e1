"""Pests of a property: what was counted and what follows, and which look is due."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from rootcase.casework.explain.pests_findings import tree_pests
from rootcase.casework.explain.pests_looks import Warmth, looks_of
from rootcase.records.observe import Forecast, PropertyRecord, Weather
from rootcase.records.pests import PestLook, Pests
from rootcase.tables.load import table

TABLES = ("explain/evergreen_conifers", "explain/pest_groups", "explain/pest_stages", "explain/pest_stress",
          "explain/pest_thresholds")


def pests_of(record: PropertyRecord, weather: Weather, forecast: Forecast | None, today: date) -> Pests:
    """What do the counts at each tree ask for, and what is to be looked for now and next?

    Parameters
    ----------
    record : the property, corrections applied.
    weather : daily temperatures of its station, as far as there are any.
    forecast : of the same station, for days after the observed ones.
    today : the day it is asked on.

    Returns
    -------
    Pests.

    Raises
    ------
    OutOfRange : a temperature outside -90 to 60 degC.

    Notes
    -----
    The plant's threshold and the eye's stand apart; the verdict rests on the plant's. Degree days call a look, never a
    treatment. Where days lack a temperature each earlier year of the record stands in with its own, and the dates
    become as wide as these years differ.

    References
    ----------
    Table explain/pest_thresholds, table explain/pest_stages, table explain/pest_groups, table explain/pest_stress.

    Examples
    --------
    >>> from rootcase.records.observe import Property
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> nowhere = Weather("s", (), (), (), (), (), (), "")
    >>> pests_of(PropertyRecord(owner, (), (), (), (), (), (), (), {}), nowhere, None, date(2016, 5, 1)).looks
    ()
    """
    south = record.property.latitude_deg < 0
    warmth = Warmth(weather, forecast, today, south)
    looks = looks_of(record, warmth)
    found = [tree_pests(record, tree, today, _next_looks(tree.id, looks, today)) for tree in record.trees]
    return Pests(
        made_on=today, trees=tuple(each for each in found if each is not None),
        not_looked=tuple(tree.id for tree, each in zip(record.trees, found, strict=True) if each is None),
        degree_days=warmth.so_far(), earlier_years=warmth.earlier_years, forecast_days=warmth.forecast_days,
        looks=looks, weather_told=weather.told[:1] if weather.typical or not weather.days else (),
        table_versions=tuple((name, table(name).version) for name in TABLES))


def _next_looks(tree_id: str, looks: Sequence[PestLook], today: date) -> dict[str, date]:
    """The next look at a tree for each group of pests."""
    found: dict[str, date] = {}
    for look in looks:
        if look.first is not None and tree_id in look.tree_ids:
            found[look.group] = min(max(look.first, today), found.get(look.group, date.max))
    return found
