"""What was counted of pests at one tree, beside what the plant bears and what the eye bears."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import sqrt

from rootcase.ground.dates import season_year
from rootcase.records.observe import PropertyRecord, Reading, Tree
from rootcase.records.pests import VERDICTS, PestCount, PestFinding, PestVerdict, TreePests
from rootcase.tables.load import Row, table
from rootcase.tables.readings import kind_of

QUIET, WATCH, ACT = VERDICTS
RISEN = 2.0
"""JUDGEMENT: a count has risen where it has doubled and chance does not explain it."""
CHANCE_SDS = 2.0
LATE_MONTH_NORTH, LATE_MONTH_SOUTH = 8, 2
"""JUDGEMENT: from this month to the season's end leaves have done most of their work."""
SEASON_ENDS = {8: 12, 2: 6}
SAME_LOOK_DAYS = 14
"""JUDGEMENT: helpers counted within so many days go with a count."""
BIRD, NOT_MADE = "rows", "not_cut"
HELPERS = "helper_count"
LEAF_LOSS = "defoliation"


@dataclass(frozen=True, slots=True)
class Looked:
    """What was read of pests at one tree: readings of each kind by day, and what weighs on the tree beside."""

    read: dict[str, list[Reading]]
    foliage: str
    """leafy, evergreen, or empty where nobody knows the kind of tree."""
    stressed: bool
    latitude_deg: float

    def newest(self, kind: str) -> Reading | None:
        return self.read[kind][-1] if self.read.get(kind) else None


def tree_pests(record: PropertyRecord, tree: Tree, today: date, next_looks: Mapping[str, date]) -> TreePests | None:
    """What follows from the pests that were looked for at one tree?

    Parameters
    ----------
    record : the property, corrections applied.
    tree : one of its trees.
    today : the day it is asked on.
    next_looks : the day of the next look by degree days at this tree, by group of pests.

    Returns
    -------
    TreePests; None where nobody looked for any.

    Raises
    ------
    Nothing.

    Notes
    -----
    Of each kind the newest reading counts, earlier ones tell of a second year and of a rising count. Late in the season
    the loss of a leafy tree weighs one step less. Helpers found beside a count of suckers, scale or mites that does not
    rise put off acting. A tree of unknown kind is held to the lower threshold. Where the date to look again has gone
    by, the next look by degree days takes its place, or the same day of the next year.

    References
    ----------
    Tables explain/pest_thresholds, explain/pest_groups, explain/pest_stress; late loss matters little: extension pages
    (seen), from which month JUDGEMENT.

    Examples
    --------
    >>> from rootcase.records.observe import Property
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> oak = Tree("t", "p", "l", "oak 1", None, None)
    >>> def read(kind, value=None, choice=None):
    ...     return Reading(kind, kind, "t", "v", date(2015, 6, 2), "reader 1", value, choice, "=", None, "as typed")
    >>> seen = (read("species", choice="Quercus rubra"), read("defoliation", 0.08))
    >>> found = tree_pests(PropertyRecord(owner, (), (oak,), (), (), (), seen, (), {}), oak, date(2015, 6, 3), {})
    >>> [(each.group, each.verdict, str(each.look_again)) for each in found.findings]
    [('leaf_eaters', 'not enough to act on', '2015-06-30')]
    """
    groups = table("explain/pest_groups").rows
    looked = _looked(record, tree, today)
    named = tuple(str(r.choice) for r in looked.read.get("pest_name", ()) if r.choice)
    findings, clean = [], list[str]()
    for group in groups:
        kinds = [kind for kind in str(group["kinds"]).split("|") if looked.read.get(kind)]
        there = [kind for kind in kinds if not _is_clean(looked.read[kind][-1])]
        clean += [kind for kind in kinds if kind not in there]
        if there:
            findings.append(_finding(group, kinds, looked, today, next_looks.get(str(group["group"]))))
    if not findings and not clean and not named:
        return None
    findings.sort(key=lambda each: -VERDICTS.index(each.verdict))
    return TreePests(tree.id, tuple(findings), tuple(clean), named)


def genus_of(record: PropertyRecord, tree: Tree) -> str:
    """The genus that was read at a tree.

    Parameters
    ----------
    record : the property, corrections applied.
    tree : one of its trees.

    Returns
    -------
    First word of the botanical name; empty where nobody read it.

    Raises
    ------
    Nothing.

    Notes
    -----
    The newest reading counts.

    References
    ----------
    None; bookkeeping (computed).

    Examples
    --------
    >>> from rootcase.records.observe import Property
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> oak = Tree("t", "p", "l", "oak 1", None, None)
    >>> genus_of(PropertyRecord(owner, (), (oak,), (), (), (), (), (), {}), oak)
    ''
    """
    read = [str(r.choice) for r in record.of(tree.id, kind="species") if r.choice]
    return read[-1].partition(" ")[0] if read else ""


def _looked(record: PropertyRecord, tree: Tree, today: date) -> Looked:
    read: dict[str, list[Reading]] = {}
    for reading in sorted(record.of(tree.id), key=lambda r: (r.day, r.id)):
        if reading.day <= today and reading.nothing in (None, "none seen") and reading.choice != NOT_MADE:
            read.setdefault(reading.kind, []).append(reading)
    genus = genus_of(record, tree)
    evergreen = {row["genus"] for row in table("explain/evergreen_conifers").rows}
    foliage = "" if not genus else "evergreen" if genus in evergreen else "leafy"
    return Looked(read, foliage, _stressed(read, today), record.property.latitude_deg)


def _stressed(read: dict[str, list[Reading]], today: date) -> bool:
    for row in table("explain/pest_stress").rows:
        newest = read.get(str(row["kind"]), [None])[-1]
        if newest is None or newest.value is None:
            continue
        if row["within_years"] is not None and today.year - newest.value <= row["within_years"]:
            return True
        if row["from_value"] is not None and newest.value >= row["from_value"]:
            return True
    return False


def _finding(group: Row, kinds: Sequence[str], looked: Looked, today: date, next_look: date | None) -> PestFinding:
    read = [looked.read[kind][-1] for kind in kinds]
    bird = any(r.choice == BIRD for r in read)
    bands = [(r, _band(r, looked.foliage)) for r in read if not (bird and r.choice != BIRD)]
    banded = [(r, row) for r, row in bands if row is not None]
    count = looked.newest(str(group["count"]))
    rising = count is not None and _has_risen(looked.read[count.kind])
    second = any(_was_worth(r, looked) for r, _ in banded)
    counted = count is not None and (count.value or 0.0) > 0.0
    helpers = _helpers(count, looked) if count is not None and counted else None
    worse = rising or second or looked.stressed
    verdict = _heaviest([str(row["verdict_if_worse" if worse else "verdict"]) for _, row in banded])
    damage_read = any(r.kind != group["count"] for r, _ in banded)
    if counted and (rising or not damage_read):
        verdict = max(verdict, WATCH, key=VERDICTS.index)
    calm = bool(group["helpers_lower"]) and bool(helpers) and not rising
    late = verdict != QUIET and looked.foliage == "leafy" and any(
        r.kind == LEAF_LOSS and _is_late(r, looked) for r in read)
    if calm or late:
        verdict = VERDICTS[max(VERDICTS.index(verdict) - 1, 0)]
    told = {"second_year": second, "stress": looked.stressed and any(row["verdict"] != row["verdict_if_worse"]
                                                                   for _, row in banded),
            "rising": rising, "helpers_found": bool(helpers), "late": late, "bird": bird,
            "helpers_not_counted": bool(counted and helpers is None), "damage_not_read": counted and not damage_read,
            "kind_not_known": not looked.foliage and any(row["foliage"] != "any" for _, row in banded)}
    days = group["quiet_days" if verdict == QUIET else "watch_days"]
    return PestFinding(
        group=str(group["group"]), verdict=verdict,
        counted=tuple(PestCount(r.kind, _value(r), r.choice, r.day, r.id) for r in read),
        plant_from=_threshold("plant", str(group["group"]), looked.foliage),
        eye_from=_threshold("eye", str(group["group"]), looked.foliage),
        reasons=tuple(key for key, holds in told.items() if holds),
        look_again=_again(max(r.day for r in read), int(days), today, next_look))


def _value(reading: Reading) -> float | None:
    return 0.0 if reading.nothing is not None else reading.value


def _is_clean(reading: Reading) -> bool:
    return _value(reading) == 0.0 or reading.choice == "none"


def _band(reading: Reading, foliage: str) -> Row | None:
    """The row of the plant's thresholds that holds; of a tree of unknown kind the stricter."""
    rows = [row for row in table("explain/pest_thresholds").rows if row["whose"] == "plant"
            and row["kind"] == reading.kind and row["foliage"] in ("any", foliage or "evergreen")]
    value = _value(reading)
    if reading.choice is not None:
        return next((row for row in rows if reading.choice in str(row["choices"]).split("|")), None)
    below = [row for row in rows if value is not None and row["from_value"] is not None
             and row["from_value"] <= value + 1e-9]
    return max(below, key=lambda row: float(row["from_value"]), default=None)


def _threshold(whose: str, group: str, foliage: str) -> float | None:
    """Share from which the plant is in need, at least when something else weighs on it, or the eye begins to mind."""
    froms = [row["from_value"] for row in table("explain/pest_thresholds").rows
             if row["whose"] == whose and row["group"] == group and row["foliage"] in ("any", foliage or "evergreen")
             and kind_of(str(row["kind"])).value_type != "count" and (whose == "eye" or row["verdict_if_worse"] == ACT)]
    return min((float(value) for value in froms if value is not None), default=None)


def _heaviest(verdicts: Sequence[str]) -> PestVerdict:
    return max((each for each in VERDICTS if each in verdicts), key=VERDICTS.index, default=QUIET)


def _was_worth(reading: Reading, looked: Looked) -> bool:
    """An earlier season's reading of the kind was more than nothing to act on."""
    season = season_year(reading.day, looked.latitude_deg)
    for earlier in looked.read[reading.kind]:
        band = _band(earlier, looked.foliage)
        if season_year(earlier.day, looked.latitude_deg) < season and band is not None and band["verdict"] != QUIET:
            return True
    return False


def _has_risen(counts: Sequence[Reading]) -> bool:
    if len(counts) < 2:
        return False
    before, now = (_value(each) for each in counts[-2:])
    if not before or now is None:
        return False
    return now >= RISEN * before and now - before > CHANCE_SDS * sqrt(now + before)


def _helpers(count: Reading, looked: Looked) -> float | None:
    """Helpers counted with a count; None where nobody did."""
    beside = [r for r in looked.read.get(HELPERS, ()) if abs((r.day - count.day).days) <= SAME_LOOK_DAYS]
    return _value(beside[-1]) if beside else None


def _is_late(reading: Reading, looked: Looked) -> bool:
    first = LATE_MONTH_SOUTH if looked.latitude_deg < 0 else LATE_MONTH_NORTH
    return first <= reading.day.month <= SEASON_ENDS[first]


def _again(read_on: date, days: int, today: date, next_look: date | None) -> date:
    again = read_on + timedelta(days=days)
    if again >= today:
        return again
    if next_look is not None:
        return next_look
    day = min(read_on.day, 28) if read_on.month == 2 else read_on.day
    same = date(today.year, read_on.month, day)
    return same if same >= today else date(today.year + 1, read_on.month, day)
