"""What a laboratory's value means: beside published ranges of its own method, and beside the yardstick's value."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache
from typing import NamedTuple

import numpy as np

from rootcase.casework.compare.measures import NORMAL
from rootcase.casework.estimate import estimate
from rootcase.casework.explain.ground import FRESH_DAYS
from rootcase.casework.species import known_as
from rootcase.ground.units import convert
from rootcase.records.compare import LabLine, LabRange, RangeVerdict
from rootcase.records.estimate import Estimate
from rootcase.records.observe import PropertyRecord, Reading
from rootcase.science.means import geometric_mean
from rootcase.tables.load import Row, table
from rootcase.tables.readings import ReadingKind, kinds

SAME_SEASON_DAYS = 21
"""Leaves, and nitrate, are compared only when both were taken within so many days of each other. JUDGEMENT."""
FLEETING = ("nitrate_n", "ammonium_n")
CONIFERS = (
    "Abies", "Araucaria", "Calocedrus", "Cedrus", "Cephalotaxus", "Chamaecyparis", "Cryptomeria", "Cunninghamia",
    "Cupressus", "Juniperus", "Larix", "Metasequoia", "Picea", "Pinus", "Platycladus", "Podocarpus", "Pseudolarix",
    "Pseudotsuga", "Sciadopitys", "Sequoia", "Sequoiadendron", "Taxodium", "Taxus", "Thuja", "Thujopsis", "Torreya",
    "Tsuga", "Xanthocyparis")
OTHER_LEAVES = ("Ginkgo", "Phoenix", "Sabal", "Trachycarpus", "Washingtonia")
"""Genera for which lists neither of conifers nor of broadleaves speak (both memory: general texts of botany)."""
UNSAID_METHODS = ("other", "")
OF_NITROGEN = "% of leaf N"
"""Unit of a list that tells a leaf's elements as parts of its nitrogen."""


def laboratory(record: PropertyRecord) -> tuple[LabLine, ...]:
    """What published lists of the same method, and the yardstick's sample, say of every value of a laboratory.

    Parameters
    ----------
    record : the property, corrections applied.

    Returns
    -------
    One line a value, sample by sample in the order of the record, kinds in the order of the catalogue; values in the
    kind's SI unit.

    Raises
    ------
    Nothing.

    Notes
    -----
    Only a list of the value's own method is set beside it: two extractants take different parts of the same soil. A
    list of leaves speaks for its species, else its genus, else broadleaves or conifers; for a genus that no table
    knows, a palm or a ginkgo the last two say nothing. A value told as "less than" is placed only where the whole of
    what lies under the limit falls on one side. The error is the catalogue's for one sample, on either side; how far
    healthy trees differ among themselves is not in it. Ratios of calcium, magnesium and potassium, and shares of the
    exchange, are not computed: within the span soils have they do not decide growth.

    References
    ----------
    Table compare/laboratory_ranges, a source each row. Ratios of cations: Kopittke and Menzies 2007, A review of the
    use of the basic cation saturation ratio and the "ideal" soil, Soil Sci. Soc. Am. J. 71:259-265 (abstract seen).

    Examples
    --------
    >>> from rootcase.records.observe import Property, PropertyRecord
    >>> ground = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> laboratory(PropertyRecord(ground, (), (), (), (), (), (), (), {}))
    ()
    """
    order = {kind: place for place, kind in enumerate(kinds())}
    by_subject: dict[str, list[Reading]] = {}
    for reading in record.readings:
        by_subject.setdefault(reading.of, []).append(reading)
    healthy, lines = _yardstick_samples(record), list[LabLine]()
    for sample in record.samples:
        of_sample = by_subject.get(sample.id, [])
        told = [r for r in of_sample if r.value is not None and r.nothing is None and _by_laboratory(r.kind)]
        theirs = [r for each in healthy.get(sample.id, ()) for r in by_subject.get(each, ())]
        of_tree = by_subject.get(sample.tree_id or "", ())
        names = list_names(next((r.choice for r in reversed(of_tree) if r.kind == "species" and r.choice), ""))
        lines += [_line(reading, _Beside(of_sample, sample.id in healthy, theirs, names))
                  for reading in sorted(told, key=lambda r: (order[r.kind], r.day, r.id))]
    return tuple(lines)


class _Beside(NamedTuple):
    """What a value of a sample is read beside."""

    of_sample: Sequence[Reading]
    has_yardstick: bool
    of_yardstick: Sequence[Reading]
    names: tuple[set[str], ...]


@cache
def _classes(kind: str) -> tuple[Row, ...]:
    return tuple(row for row in table("compare/laboratory_ranges").rows if row["kind"] == kind)


def _by_laboratory(kind: str) -> bool:
    listed = kinds().get(kind)
    return listed is not None and listed.tools == "lab" and listed.stage == "observe"


def _asked(kind: str) -> tuple[str, ...]:
    """The attributes of this kind that say how it was read."""
    return tuple(name for name in kinds()[kind].required if name in ("method", "extractant", "extract"))


def _method(reading: Reading) -> str:
    return next((reading.attributes.get(name, "") for name in _asked(reading.kind)), "")


def _line(reading: Reading, beside: _Beside) -> LabLine:
    kind, method = kinds()[reading.kind], _method(reading)
    value = float(reading.value or 0.0)
    limit = reading.sign in ("<", ">")
    interval = None if limit else _interval(kind, value)
    same = [row for row in _classes(kind.kind) if not row["method"] or method in str(row["method"]).split("|")]
    others = dict.fromkeys(name for row in _classes(kind.kind) if row not in same
                           for name in str(row["method"]).split("|"))
    lists = _by_nitrogen(reading, beside.of_sample, _applying(same, beside.names))
    ranges = [_range(kind, classes, reading, interval) for classes in lists]
    healthy, note = _healthy(reading, method, beside)
    theirs = _mean(kind, healthy)
    share, difference = (None, None) if theirs is None or limit else _against(kind, value, theirs, len(healthy))
    return LabLine(
        sample_id=reading.of, kind=reading.kind, reading_id=reading.id, value=value, sign=reading.sign,
        interval=interval, method=method, ranges=tuple(each for each in ranges if each.called or each.wanted),
        other_methods=() if same else tuple(others), yardstick_value=theirs, share=share, difference=difference,
        note="limit" if limit and theirs is not None else note, yardstick_reading_ids=tuple(r.id for r in healthy))


# ---- published ranges

def _applying(rows: Iterable[Row], names: tuple[set[str], ...]) -> list[list[Row]]:
    """The classes of each list that speak for this species, the narrowest naming of a list alone."""
    lists: dict[str, list[Row]] = {}
    for row in rows:
        lists.setdefault(str(row["list"]), []).append(row)
    found = []
    for classes in lists.values():
        matching = ([row for row in classes if str(row["matches"]) in level] for level in names)
        found += [rows_here for rows_here in matching if rows_here][:1]
    return found


def list_names(species: str) -> tuple[set[str], ...]:
    """What a published list may call a tree, the narrowest first; last what speaks for every plant.

    Parameters
    ----------
    species : botanical name or synonym, or a genus with "sp."; may be empty.

    Returns
    -------
    Names of the kind, its genus, its leaves (broadleaf, conifer, or none where that is not known), and "".

    Raises
    ------
    Nothing.

    Notes
    -----
    None.

    References
    ----------
    Tables species and observe/tree_names; which genera are conifers: memory, general texts of botany.

    Examples
    --------
    >>> list_names("Tilia cordata"), list_names("")
    (({'Tilia cordata'}, {'Tilia'}, {'broadleaf'}, {''}), ({''},))
    """
    if not species:
        return ({""},)
    plain, genus = species.replace("\N{MULTIPLICATION SIGN}", "x"), species.split(" ")[0]
    same = (row for row in known_as(species) if row["botanical_name"] == species or row["synonym"] == species)
    known = {str(row[column]).replace("\N{MULTIPLICATION SIGN}", "x") for row in same
             for column in ("botanical_name", "synonym")} - {""}
    leaves = {"conifer"} if genus in CONIFERS else {"broadleaf"} if genus in _broadleaves() else set[str]()
    return {plain} | known, {genus}, leaves, {""}


@cache
def _broadleaves() -> frozenset[str]:
    """Genera of the tables of trees that are neither conifers nor of other leaves."""
    listed = {str(row["genus"]) for name in ("species", "observe/tree_names") for row in table(name).rows}
    return frozenset(listed.difference(CONIFERS, OTHER_LEAVES))


def _by_nitrogen(reading: Reading, of_sample: Sequence[Reading], lists: Iterable[list[Row]]) -> list[list[Row]]:
    """The lists with what they tell as a part of the leaf's nitrogen turned into a part of the leaf.

    Without the nitrogen of the same sample and day such a list says nothing and is left out.
    """
    nitrogen = next((r.value for r in of_sample if r.kind == "leaf_n" and r.value and r.sign in ("=", "~")
                     and r.day == reading.day), None)
    found = []
    for classes in lists:
        if classes[0]["unit"] != OF_NITROGEN:
            found.append(classes)
        elif nitrogen is not None:
            found.append([{**row, "unit": "%", **{end: row[end] and row[end] * nitrogen for end in ("low", "high")}}
                          for row in classes])
    return found


def _range(kind: ReadingKind, classes: Sequence[Row], reading: Reading, interval: Estimate | None) -> LabRange:
    wanted = next((row for row in classes if row["wanted"]), None)
    value, about = float(reading.value or 0.0), classes[0] if wanted is None else wanted
    low, high = (None, None) if wanted is None else _ends(kind, wanted)
    called = "" if interval is None else next((str(row["called"]) for row in classes
                                               if _side(value, *_ends(kind, row)) == "inside"), "")
    verdict: RangeVerdict = "described"
    if wanted is not None:
        verdict = _side(value, low, high) if interval is not None else _side_of_limit(reading.sign, value, low, high)
    sure = interval is not None and {_side(end, low, high) for end in (interval.low, interval.high)} == {verdict}
    return LabRange(str(about["plants"]), low, high, "" if wanted is None else str(wanted["called"]), called, verdict,
                    sure or (interval is None and verdict != "undecided"), str(about["source"]),
                    str(about["how_known"]))


def _ends(kind: ReadingKind, row: Row) -> tuple[float | None, float | None]:
    low, high = (None if row[end] is None else float(convert(row[end], row["unit"], kind.si_unit))
                 for end in ("low", "high"))
    return low, high


def _side(value: float, low: float | None, high: float | None) -> RangeVerdict:
    """A value on an end belongs to the range it ends."""
    if low is not None and value < low:
        return "below"
    return "above" if high is not None and value > high else "inside"


def _side_of_limit(sign: str, limit: float, low: float | None, high: float | None) -> RangeVerdict:
    """On which side all lies that a limit leaves open; undecided where it is more than one."""
    if sign == "<":
        if low is not None and limit <= low:
            return "below"
        return "inside" if low is None and (high is None or limit <= high) else "undecided"
    if high is not None and limit >= high:
        return "above"
    return "inside" if high is None and (low is None or limit >= low) else "undecided"


# ---- the yardstick

def _yardstick_samples(record: PropertyRecord) -> dict[str, tuple[str, ...]]:
    """By sample: those of the healthy trees that its trees are compared with; only where those are one group."""
    own: dict[str, list[str]] = {}
    of_place: dict[str, list[str]] = {}
    for sample in record.samples:
        if sample.tree_id is not None:
            own.setdefault(sample.tree_id, []).append(sample.id)
        elif sample.place_id is not None:
            of_place.setdefault(sample.place_id, []).append(sample.id)
    of_tree = {tree.id: own.get(tree.id) or of_place.get(tree.place_id, []) for tree in record.trees}
    groups: dict[str, set[str]] = {}
    for tree_id, yardstick_id in record.compared_with.items():
        for sample_id in of_tree.get(tree_id, ()):
            groups.setdefault(sample_id, set()).add(yardstick_id)
    theirs = {y.id: [each for tree_id in y.tree_ids for each in of_tree.get(tree_id, ())] for y in record.yardsticks}
    found = {sample_id: theirs.get(next(iter(group)), []) for sample_id, group in groups.items() if len(group) == 1}
    return {sample_id: tuple(dict.fromkeys(each for each in samples if each != sample_id))
            for sample_id, samples in found.items() if set(samples) - {sample_id}}


def _healthy(reading: Reading, method: str, beside: _Beside) -> tuple[tuple[Reading, ...], str]:
    """The yardstick's readings that this one may be set beside, or why there are none."""
    if not beside.has_yardstick:
        return (), ""
    fleeting = reading.kind in FLEETING or kinds()[reading.kind].season == "leaf_full"
    told = [r for r in beside.of_yardstick if r.kind == reading.kind and r.value is not None and r.nothing is None]
    found = [r for r in told if r.sign in ("=", "~")]
    if not found:
        return (), "yardstick_limit" if told else "yardstick_not_read"
    if _asked(reading.kind) and method in UNSAID_METHODS:
        return (), "method_not_told"
    same = [r for r in found if _method(r) == method]
    if not same:
        return (), "yardstick_other_method"
    days = SAME_SEASON_DAYS if fleeting else FRESH_DAYS
    near = tuple(r for r in same if abs((r.day - reading.day).days) <= days)
    return near, "" if near else "yardstick_other_time"


def _mean(kind: ReadingKind, readings: Sequence[Reading]) -> float | None:
    """The mean, of logs for an amount; an amount of nothing has no share of it."""
    values = np.array([r.value for r in readings], dtype=float)
    if not values.size:
        return None
    if kind.error_model == "lognormal":
        return geometric_mean(values) if (values > 0).all() else 0.0
    return float(values.mean())


def _interval(kind: ReadingKind, value: float) -> Estimate:
    size = (kind.error_size or 0.0) * NORMAL
    draws = value * np.exp(size) if kind.error_model == "lognormal" else value + size
    return estimate(np.clip(draws, kind.lower_hard, kind.upper_hard))


def _against(kind: ReadingKind, value: float, theirs: float,
             repeats: int) -> tuple[Estimate | None, Estimate | None]:
    """Share of an amount, difference on a scale."""
    error = (kind.error_size or 0.0) * float(np.sqrt(1.0 + 1.0 / repeats)) * NORMAL
    if kind.error_model != "lognormal":
        return None, estimate(value - theirs + error)
    return (None if theirs <= 0 else estimate(value / theirs * np.exp(error))), None
