"""What a laboratory's value means: beside published ranges of its own method, and beside the yardstick's value."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from rootcase.casework.compare.measures import NORMAL
from rootcase.casework.compare.shoots import species_of
from rootcase.casework.estimate import estimate
from rootcase.casework.explain.ground import FRESH_DAYS
from rootcase.casework.species import known_as
from rootcase.ground.units import convert
from rootcase.records.compare import LabLine, LabRange, RangeVerdict
from rootcase.records.estimate import Estimate
from rootcase.records.observe import PropertyRecord, Reading, Sample
from rootcase.tables.load import Row, table
from rootcase.tables.readings import ReadingKind, kinds

SAME_SEASON_DAYS = 21
"""Leaves, and nitrate, are compared only when both were taken within so many days of each other. JUDGEMENT."""
FLEETING = ("nitrate_n", "ammonium_n")
CONIFERS = ("Abies", "Cedrus", "Chamaecyparis", "Cryptomeria", "Cupressus", "Ginkgo", "Juniperus", "Larix",
            "Metasequoia", "Picea", "Pinus", "Pseudotsuga", "Sequoia", "Sequoiadendron", "Taxodium", "Taxus", "Thuja",
            "Tsuga")
"""Genera whose leaves no list of broadleaves speaks for (memory: general texts of botany)."""
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
    list of leaves speaks for its species, else its genus, else broadleaves or conifers. A value told as "less than"
    is placed only where the whole of what lies under the limit falls on one side. The error is the catalogue's for one
    sample, on either side; how far healthy trees differ among themselves is not in it. Ratios of calcium, magnesium
    and potassium, and shares of the exchange, are not computed: within the span soils have they do not decide growth.

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
    lines = []
    for sample in record.samples:
        told = [r for r in record.of(sample.id) if r.value is not None and r.nothing is None and _by_laboratory(r.kind)]
        healthy = _yardstick_samples(record, sample)
        lines += [_line(record, sample, reading, healthy)
                  for reading in sorted(told, key=lambda r: (order[r.kind], r.day, r.id))]
    return tuple(lines)


def _by_laboratory(kind: str) -> bool:
    listed = kinds().get(kind)
    return listed is not None and listed.tools == "lab" and listed.stage == "observe"


def _asked(kind: str) -> tuple[str, ...]:
    """The attributes of this kind that say how it was read."""
    return tuple(name for name in kinds()[kind].required if name in ("method", "extractant", "extract"))


def _method(reading: Reading) -> str:
    return next((reading.attributes.get(name, "") for name in _asked(reading.kind)), "")


def _line(record: PropertyRecord, sample: Sample, reading: Reading, healthy: Sequence[Sample]) -> LabLine:
    kind, method = kinds()[reading.kind], _method(reading)
    value = float(reading.value or 0.0)
    limit = reading.sign in ("<", ">")
    interval = None if limit else _interval(kind, value)
    rows = [row for row in table("compare/laboratory_ranges").rows if row["kind"] == reading.kind]
    same = [row for row in rows if not row["method"] or method in str(row["method"]).split("|")]
    others = dict.fromkeys(name for row in rows if row not in same for name in str(row["method"]).split("|"))
    applying = _applying(same, species_of(record, sample.tree_id) if sample.tree_id else "")
    ranges = [_range(kind, classes, reading, interval) for classes in _by_nitrogen(record, reading, applying)]
    beside, note = _beside(record, reading, method, healthy)
    theirs = _mean(kind, beside)
    share, difference = (None, None) if theirs is None or limit else _against(kind, value, theirs, len(beside))
    return LabLine(
        sample_id=sample.id, kind=reading.kind, reading_id=reading.id, value=value, sign=reading.sign,
        interval=interval, method=method, ranges=tuple(each for each in ranges if each.called or each.wanted),
        other_methods=() if same else tuple(others), yardstick_value=theirs, share=share, difference=difference,
        note="limit" if limit and theirs is not None else note, yardstick_reading_ids=tuple(r.id for r in beside))


# ---- published ranges

def _applying(rows: Iterable[Row], species: str) -> list[list[Row]]:
    """The classes of each list that speak for this species, the narrowest naming of a list alone."""
    lists: dict[str, list[Row]] = {}
    for row in rows:
        lists.setdefault(str(row["list"]), []).append(row)
    found = []
    for classes in lists.values():
        matching = ([row for row in classes if str(row["matches"]) in names] for names in _names(species))
        found += [rows_here for rows_here in matching if rows_here][:1]
    return found


def _names(species: str) -> tuple[set[str], ...]:
    """What a list may call the tree, the narrowest first; last what speaks for every plant."""
    if not species:
        return ({""},)
    plain, genus = species.replace("\N{MULTIPLICATION SIGN}", "x"), species.split(" ")[0]
    same = (row for row in known_as(species) if row["botanical_name"] == species or row["synonym"] == species)
    known = {str(row[column]).replace("\N{MULTIPLICATION SIGN}", "x") for row in same
             for column in ("botanical_name", "synonym")} - {""}
    return {plain} | known, {genus}, {"conifer" if genus in CONIFERS else "broadleaf"}, {""}


def _by_nitrogen(record: PropertyRecord, reading: Reading, lists: Iterable[list[Row]]) -> list[list[Row]]:
    """The lists with what they tell as a part of the leaf's nitrogen turned into a part of the leaf.

    Without the nitrogen of the same sample and day such a list says nothing and is left out.
    """
    nitrogen = next((r.value for r in record.of(reading.of, kind="leaf_n")
                     if r.value and r.sign in ("=", "~") and r.day == reading.day), None)
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

def _yardstick_samples(record: PropertyRecord, sample: Sample) -> tuple[Sample, ...]:
    """Samples of the healthy trees that this sample's trees are compared with; none where those are not one group."""
    trees = [tree for tree in record.trees if sample in record.samples_of(tree) or tree.id == sample.tree_id]
    groups = {record.compared_with[tree.id] for tree in trees if tree.id in record.compared_with}
    if len(groups) != 1:
        return ()
    healthy = next((y.tree_ids for y in record.yardsticks if y.id in groups), ())
    theirs = [each for tree in record.trees if tree.id in healthy for each in record.samples_of(tree)]
    return tuple(dict.fromkeys(each for each in theirs if each.id != sample.id))


def _beside(record: PropertyRecord, reading: Reading, method: str,
            healthy: Sequence[Sample]) -> tuple[tuple[Reading, ...], str]:
    """The yardstick's readings that this one may be set beside, or why there are none."""
    if not healthy:
        return (), ""
    fleeting = reading.kind in FLEETING or kinds()[reading.kind].season == "leaf_full"
    found = [r for r in record.of(*(s.id for s in healthy), kind=reading.kind)
             if r.value is not None and r.nothing is None and r.sign in ("=", "~")]
    if not found:
        return (), "yardstick_not_read"
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
        return float(np.exp(np.mean(np.log(values)))) if (values > 0).all() else 0.0
    return float(values.mean())


def _interval(kind: ReadingKind, value: float) -> Estimate:
    size = (kind.error_size or 0.0) * NORMAL
    return estimate(value * np.exp(size) if kind.error_model == "lognormal" else value + size)


def _against(kind: ReadingKind, value: float, theirs: float,
             repeats: int) -> tuple[Estimate | None, Estimate | None]:
    """Share of an amount, difference on a scale."""
    error = (kind.error_size or 0.0) * float(np.sqrt(1.0 + 1.0 / repeats)) * NORMAL
    if kind.error_model != "lognormal":
        return None, estimate(value - theirs + error)
    return (None if theirs <= 0 else estimate(value / theirs * np.exp(error))), None
