"""The list of remedies, as the table tells it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import cast

from rootcase.records.prescribe import Evidence
from rootcase.tables.load import Row, table

YEARS = 5


@dataclass(frozen=True, slots=True)
class Remedy:
    """One remedy: what is known of it, how it is dosed, what the client and the trade may object to."""

    code: str
    in_model: bool
    evidence: Evidence
    evidence_without_need: Evidence
    """Where the soil has no such need: gypsum without sodium, nitrogen where it is not short."""
    ground: str
    """open: turf and bare ground; turf; unpaved; all; none."""
    depth_m: float | None
    heavy_depth_m: float | None
    water_mm: float | None
    every_days: int | None
    mass_kg_m2: float | None
    density_kg_m3: float | None
    """Of what is laid, as it is delivered."""
    spacing_m: float | None
    hole_m: float | None
    season: str
    chips: bool
    breaks_surface: bool
    product_words: tuple[str, ...]
    cautions: tuple[str, ...]


@cache
def remedies() -> tuple[Remedy, ...]:
    """Every remedy in the order of the table, doing nothing first.

    Parameters
    ----------
    None.

    Returns
    -------
    tuple of Remedy. [m, mm, kg m-2 as the names say]

    Raises
    ------
    Nothing.

    Notes
    -----
    Doses are for the ground that is treated.

    References
    ----------
    Table prescribe/remedies, row by row: seen, memory or common practice, no source.

    Examples
    --------
    >>> remedies()[0].code, [r.code for r in remedies() if r.in_model][1]
    ('nothing', 'mulch')
    """
    return tuple(_remedy(row) for row in table("prescribe/remedies").rows)


@cache
def figure(effect: str) -> float:
    """A single figure of prescribing.

    Parameters
    ----------
    effect : name of its row.

    Returns
    -------
    The figure. [unit of its row]

    Raises
    ------
    Missing : there is no such row.

    Notes
    -----
    None.

    References
    ----------
    Table prescribe/effects, row by row: computed, seen, memory or JUDGEMENT.

    Examples
    --------
    >>> figure("gypsum_from_sar")
    13.0
    """
    return float(table("prescribe/effects").row(effect=effect)["value"])


def _remedy(row: Row) -> Remedy:
    def words(column: str) -> tuple[str, ...]:
        return tuple(word for word in str(row[column]).split("|") if word)

    return Remedy(
        code=str(row["remedy"]), in_model=row["in_model"] == 1.0, evidence=cast(Evidence, row["evidence"]),
        evidence_without_need=cast(Evidence, row["evidence_without_need"]), ground=str(row["ground"]),
        depth_m=row["depth_m"], heavy_depth_m=row["heavy_depth_m"], water_mm=row["water_mm"],
        every_days=None if row["every_days"] is None else int(row["every_days"]), mass_kg_m2=row["mass_kg_m2"],
        density_kg_m3=row["density_kg_m3"], spacing_m=row["spacing_m"], hole_m=row["hole_m"],
        season=str(row["season"]), chips=row["chips"] == 1.0, breaks_surface=row["breaks_surface"] == 1.0,
        product_words=words("product_words"), cautions=words("cautions"))
