"""What goes into a heap, as printed: one row a source, none averaged."""

from __future__ import annotations

from typing import NamedTuple

from rootcase.ground.units import convert
from rootcase.science.compost.material import Material, carbon_from_ratio_pct
from rootcase.science.compost.spread import Spread, unmeasured
from rootcase.tables.load import Row, table

Range = tuple[float | None, float | None, float | None]


class Feedstock(NamedTuple):
    """A printed row; None where its source has no figure."""

    feedstock: str
    material: str
    """Rows of one material stand beside each other."""
    nitrogen_pct: Range
    """Low, middle, high, of the dry matter; low and high are None where one figure is printed."""
    carbon_nitrogen: Range
    moisture_pct: Range
    density_kg_m3: Range
    source: str
    how_known: str


def feedstock(name: str) -> Feedstock:
    """A row of the library of feedstocks.

    Parameters
    ----------
    name : of the row, such as "leaves_compacted"

    Returns
    -------
    Feedstock : low, middle and high of each figure; density in kg m-3.

    Raises
    ------
    Missing : no such row.

    Notes
    -----
    A laboratory's figure and an oven's moisture of the batch itself go before any row.

    References
    ----------
    Table compost/feedstocks, a source each row.

    Examples
    --------
    >>> found = feedstock("wood_chips")
    >>> found.carbon_nitrogen, round(found.density_kg_m3[1])
    ((212.0, 762.0, 1313.0), 316)
    """
    return _read(table("compost/feedstocks").row(feedstock=name))


def rows_of(material: str) -> tuple[Feedstock, ...]:
    """Every row of one material, or of all.

    Parameters
    ----------
    material : such as "leaves"; "" for the whole library

    Returns
    -------
    tuple of Feedstock, in the order of the table.

    Raises
    ------
    None : a material that is not there has no rows.

    Notes
    -----
    Sources that disagree stay apart; choosing one is the person's.

    References
    ----------
    Table compost/feedstocks, a source each row.

    Examples
    --------
    >>> [row.feedstock for row in rows_of("leaves")], len(rows_of(""))
    (['leaves', 'leaves_loose_dry', 'leaves_compacted'], 49)
    """
    return tuple(_read(row) for row in table("compost/feedstocks").rows if material in ("", row["material"]))


def printed_spread(row: Feedstock, moisture_pct: float | None = None) -> Spread:
    """A row as a material with its spread, for a mix.

    Parameters
    ----------
    row : of the library
    moisture_pct : by oven, where the row has none or the batch was measured. [%], 0 to 100

    Returns
    -------
    Spread : low, middle, high of moisture, carbon and nitrogen. [%]

    Raises
    ------
    OutOfRange : a value leaves its range; also where the moisture is not known.

    Notes
    -----
    Printed ends are taken as those of the middle 90 % of batches (JUDGEMENT); a figure without ends gets the spread of
    what nobody measured. Carbon is nitrogen times carbon to nitrogen, and keeps the spread of what nobody measured.

    References
    ----------
    Table compost/feedstocks and table compost/unmeasured_spread.

    Examples
    --------
    >>> spread = printed_spread(feedstock("oat_straw"))
    >>> round(float(spread.middle.carbon_pct), 2), [float(end.nitrogen_pct) for end in spread]
    (62.05, [0.6, 0.85, 1.1])
    """
    low_wet, wet, high_wet = row.moisture_pct if moisture_pct is None else (moisture_pct,) * 3
    low_n, nitrogen, high_n = row.nitrogen_pct
    middle = Material(float("nan") if wet is None else wet,
                      carbon_from_ratio_pct(nitrogen or 0.0, row.carbon_nitrogen[1] or 0.0), nitrogen or 0.0)
    rest = unmeasured(middle)

    def end(of: Material, moisture: float | None, share: float | None) -> Material:
        return Material(of.moisture_pct if moisture is None else moisture, of.carbon_pct,
                        of.nitrogen_pct if share is None else share)

    return Spread(end(rest.low, low_wet, low_n), middle, end(rest.high, high_wet, high_n))


def _read(row: Row) -> Feedstock:
    def three(name: str, unit: str = "") -> Range:
        low, middle, high = (row[f"{name}{part}{unit}"] for part in ("_low", "", "_high"))
        return low, middle, high

    low, middle, high = (None if density is None else convert(density, "lb/yd3", "kg/m3")
                         for density in three("density", "_lb_yd3"))
    return Feedstock(row["feedstock"], row["material"], three("nitrogen", "_pct"), three("carbon_nitrogen"),
                     three("moisture", "_pct"), (low, middle, high), row["source"], row["how_known"])
