"""Nematodes: how many in 100 g, of which feeding groups, and the indices for whom families are named."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np

from rootcase.ground.errors import ImpossibleValue, Missing
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.microscope.poisson import share_limits, whole
from rootcase.tables.load import Row, table

Group = Literal["bacterivore", "fungivore", "herbivore", "omnivore", "predator"]
GROUPS: tuple[Group, ...] = get_args(Group)


def nematodes_per_100_g(count: Numbers, aliquot_ml: Numbers, extract_ml: Numbers, dry_g: Numbers,
                        efficiency: Numbers) -> Lanes:
    """How many nematodes are in 100 g of dry soil?

    Parameters
    ----------
    count : in the aliquot, or an end of its interval; scalar or one per lane. [1], 0 to 1e9
    aliquot_ml : looked through. [mL], 0.001 to the whole
    extract_ml : all that came out of the sieve or funnel. [mL], 0.001 to 100,000
    dry_g : dry mass of the soil they came from: fresh less its water. [g], 0.1 to 100,000
    efficiency : found of those that are there, from a trial of one's own; 1 where none was made. [1], 0.01 to 1

    Returns
    -------
    same shape. [1 per 100 g dry]

    Raises
    ------
    OutOfRange : a value leaves its range, or the aliquot is more than the whole.

    Notes
    -----
    Without a trial it is the number extracted, and is told as that. Methods differ several-fold in what they extract:
    compare only what one method brought out.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> round(float(nematodes_per_100_g(46, 2, 20, 50 * (1 - 0.22), 1)), 1)
    1179.5
    """
    aliquot = within("aliquot_ml", aliquot_ml, 1e-3, 1e5, "mL")
    share = within("aliquot_ml over extract_ml", aliquot / within("extract_ml", extract_ml, 1e-3, 1e5, "mL"),
                   0.0, 1.0, "")
    return np.asarray(100.0 * within("count", count, 0.0, 1e9, "") / share / within("dry_g", dry_g, 0.1, 1e5, "g")
                      / within("efficiency", efficiency, 0.01, 1.0, ""))


def nematodes_found_elsewhere(land: str, group: str) -> Row:
    """How many did others find in that kind of land?

    Parameters
    ----------
    land : kind of land, as the table names it
    group : a feeding group, or "all"

    Returns
    -------
    the table's row: median and percentiles where they are known. [1 per 100 g dry]

    Raises
    ------
    Missing : no such land or group.

    Notes
    -----
    What was found over the world, over a hundredfold and by many methods. No goal, no verdict: the yardstick is soil of
    a healthy tree nearby, by the same observer in the same week.

    References
    ----------
    Table microscope/nematodes_found.

    Examples
    --------
    >>> found = nematodes_found_elsewhere("temperate_broadleaf_forest", "all")
    >>> found["p10_per_100_g"], found["median_per_100_g"], found["p90_per_100_g"]
    (385.0, 2120.0, 10191.0)
    """
    return table("microscope/nematodes_found").row(land=land, group=group)


@dataclass(frozen=True, slots=True)
class Share:
    """A group's part of all that were counted."""

    share: float
    low: float
    high: float


def feeding_group_shares(numbers: Mapping[Group, int], confidence: float) -> dict[Group, Share]:
    """Which part of the nematodes belongs to each feeding group?

    Parameters
    ----------
    numbers : counted of each group, something in one of them. [1], 0 to 1e9
    confidence : of each interval by itself. [1], 0.5 to 0.9999

    Returns
    -------
    for all five groups. [1]

    Raises
    ------
    OutOfRange : a value leaves its range.
    ImpossibleValue : a group that is none of the five, or a number that is not whole.
    Missing : nothing was counted.

    Notes
    -----
    As far as a bench without training goes: the mouth tells the group, not the family. No ratio of groups is made.

    References
    ----------
    Clopper and Pearson 1934, The use of confidence or fiducial limits illustrated in the case of the binomial,
    Biometrika 26:404-413 (memory).

    Examples
    --------
    >>> found = feeding_group_shares({"bacterivore": 30, "fungivore": 10}, 0.95)["fungivore"]
    >>> round(found.share, 2), round(found.low, 2), round(found.high, 2)
    (0.25, 0.13, 0.41)
    """
    _known_groups(list(numbers))
    counts = {group: float(whole(group, numbers.get(group, 0))) for group in GROUPS}
    total = sum(counts.values())
    if not total:
        raise Missing("no nematode was counted", right="tell it as none seen in the mass looked through")
    return {group: Share(n / total, *share_limits(n, total - n, confidence)) for group, n in counts.items()}


def families_named(families: Sequence[str]) -> tuple[list[Group], list[int]]:
    """Which feeding group and colonizer-persister class has each family?

    Parameters
    ----------
    families : Latin names of families.

    Returns
    -------
    groups and classes, in the same order. [1 to 5]

    Raises
    ------
    Missing : a family that the table does not hold.

    Notes
    -----
    To name a family takes training: at a field bench give feeding groups only, and no index.

    References
    ----------
    Table microscope/nematode_families.

    Examples
    --------
    >>> families_named(["Rhabditidae", "Mononchidae"])
    (['bacterivore', 'predator'], [1, 4])
    """
    rows = [table("microscope/nematode_families").row(family=family) for family in families]
    return [row["group"] for row in rows], [int(row["cp"]) for row in rows]


@dataclass(frozen=True, slots=True)
class Community:
    """Indices of a community; None where nobody was counted who tells of it."""

    maturity: float | None
    plant_parasite: float | None
    maturity_2_5: float | None
    enrichment_pct: float | None
    structure_pct: float | None
    channel_pct: float | None


def community_indices(groups: Sequence[Group], cp: Numbers, numbers: Numbers) -> Community:
    """How mature, enriched and structured is a community of nematodes?

    Parameters
    ----------
    groups : feeding group of each taxon.
    cp : colonizer-persister class of each taxon. [1], whole, 1 to 5
    numbers : counted of each taxon. [1], 0 to 1e9

    Returns
    -------
    Community: maturity of the free-living, of the plant feeders, of the free-living of class 2 to 5 [1 to 5];
    enrichment, structure and channel index. [%]

    Raises
    ------
    OutOfRange : a value leaves its range.
    ImpossibleValue : a group that is none of the five, a class or number that is not whole, or lists of unequal length.

    Notes
    -----
    For families or classes that somebody trained has told. They are of few animals as uncertain as their counts; set
    them beside the yardstick soil's, not beside a limit.

    References
    ----------
    Bongers 1990, The maturity index, Oecologia 83:14-19 (seen: definition quoted), sum v f; Ferris, Bongers and de
    Goede 2001, Appl. Soil Ecol. 18:13-29: b = 0.8 (Ba2 + Fu2), e = 3.2 Ba1 + 0.8 Fu2, s = sum of weights of class 3
    to 5; weights in table microscope/nematode_weights.

    Examples
    --------
    >>> found = community_indices(["bacterivore", "fungivore", "omnivore"], [1, 2, 4], [20, 60, 20])
    >>> found.maturity, found.plant_parasite, round(found.channel_pct)
    (2.2, None, 43)
    """
    _known_groups(groups)
    group = np.array(groups)
    classes, counts = np.atleast_1d(whole("cp", cp, 5.0)), np.atleast_1d(whole("numbers", numbers))
    within("cp", classes, 1.0, 5.0, "")
    if not group.shape == classes.shape == counts.shape:
        raise ImpossibleValue("the taxa do not match", right="one group, class and number for each",
                              value=f"{group.size} groups, {classes.size} classes, {counts.size} numbers")
    weight = {row["cp"]: row["weight"] for row in table("microscope/nematode_weights").rows}
    weighed = counts * np.array([weight[each] for each in classes.tolist()])
    plant = group == "herbivore"
    bacterial_1, bacterial_2, fungal_2 = (float(weighed[(group == name) & (classes == each)].sum()) for name, each in
                                          (("bacterivore", 1.0), ("bacterivore", 2.0), ("fungivore", 2.0)))
    basal, enriched = bacterial_2 + fungal_2, bacterial_1 + fungal_2
    structured = float(weighed[~plant & (classes >= 3.0)].sum())
    return Community(_mean_class(classes, counts, ~plant), _mean_class(classes, counts, plant),
                     _mean_class(classes, counts, ~plant & (classes >= 2.0)), _pct(enriched, enriched + basal),
                     _pct(structured, structured + basal), _pct(fungal_2, enriched))


def _known_groups(groups: Sequence[str]) -> None:
    for group in groups:
        if group not in GROUPS:
            raise ImpossibleValue("no such feeding group", value=group, right=f"one of {', '.join(GROUPS)}")


def _mean_class(classes: Lanes, counts: Lanes, those: Lanes) -> float | None:
    total = counts[those].sum()
    return float((classes * counts)[those].sum() / total) if total else None


def _pct(part: float, whole_of_it: float) -> float | None:
    return 100.0 * (part / whole_of_it) if whole_of_it else None
