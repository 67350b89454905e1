"""What law and the practice's own rules leave of a remedy: whether, how much, where, and when."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cache
from math import inf

from rootcase.casework.explain.ground import Ground
from rootcase.casework.prescribe.paces import work_of
from rootcase.casework.prescribe.remedies import Remedy, figure
from rootcase.ground.dates import day_between, months_later
from rootcase.records.observe import PropertyRecord, Rule, Tree
from rootcase.records.prescribe import Dose
from rootcase.science.circle import share_beyond_edge
from rootcase.science.plane import from_outline_m
from rootcase.science.zones.amounts import circle_radius_m
from rootcase.tables.load import table

CARRIES_PHOSPHORUS = ("compost",)
"""Of the remedies those that always bring phosphorus; a feed can be had without."""
BUFFERS = {"buffer_water": "water_body_distance", "buffer_well": "well_distance"}
"""Topic of the rule, and the reading of a place it is held against."""
OPEN_WATER = "water"
ON_NO_GROUND = ("keep_off", "stop_salt", "deadwood", "drainage")
"""Nothing of these is laid on the ground over the roots, so ground to keep off leaves them as they are. JUDGEMENT."""
SOUTHERN_MONTHS = 6
HA_PER_M2 = 1e-4
LAW_REASONS = ("law_phosphorus", "law_buffer", "law_closed", "law_nitrogen")
"""Of what `leave_of` answers, the law's; `kept_off` is of who drew the ground to keep off."""
_YEAR = tuple(date(2000, 1, 1) + timedelta(days=day) for day in range(366))


@dataclass(frozen=True, slots=True)
class Law:
    """What the rules are held against at one tree."""

    rules: tuple[Rule, ...]
    """Those that hold at the property."""
    distances_m: Mapping[str, float]
    """From the trunk, by topic of the buffer; a topic is left out where nobody read it."""
    radius_m: float
    """Of the ground over the roots."""
    phosphorus_tested: bool
    southern: bool
    keep_off_m: float = inf
    """From the trunk to the nearest ground to keep off, its distance round it counted; not above 0 within it."""

    def on(self, remedy: str, *topics: str) -> tuple[Rule, ...]:
        """The rules on a remedy, of these topics."""
        return tuple(rule for rule in self.rules if remedy in rule.applies_to and rule.topic in topics)


@dataclass(frozen=True, slots=True)
class Leave:
    """What the rules leave of one remedy at one tree."""

    reason: str = ""
    """Why it may not be used at all; key of the words under prescribe.reason."""
    area: float = 1.0
    """Share of its ground that lies outside every buffer and outside what is kept off."""
    rate: float = 1.0
    """Share of its usual rate that the caps leave; of a feed only."""
    season: str = ""
    """Key of the words that say when; another than the usual one where a law closes that."""

    @property
    def share(self) -> float:
        """Of the usual amount."""
        return self.area * self.rate


def rules_here(record: PropertyRecord) -> tuple[Rule, ...]:
    """The rules that hold at a property.

    Parameters
    ----------
    record : the property, with every rule the practice was told.

    Returns
    -------
    Rules, in the order of the record.

    Raises
    ------
    Nothing.

    Notes
    -----
    Where nobody has said whose rules hold, all of them are kept: the safe side.

    References
    ----------
    The practice's own page of rules: common practice, no source.

    Examples
    --------
    >>> from rootcase.records.observe import Property
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True,
    ...                  "north")
    >>> told = [Rule("notice", law, 2.0, "day", "", "", ("extract",), "a code", date(2015, 11, 4), "")
    ...         for law in ("North", "South")]
    >>> [rule.law for rule in rules_here(PropertyRecord(owner, (), (), (), (), (), (), (), {}, rules=tuple(told)))]
    ['North']
    """
    named = {law.strip().casefold() for law in record.property.law.split(";")} - {""}
    return tuple(rule for rule in record.rules if not named or rule.law.casefold() in named)


def law_at(record: PropertyRecord, tree: Tree, ground: Ground, root_zone_m2: float) -> Law:
    """What the rules are held against at a tree.

    Parameters
    ----------
    record : the property, with every rule the practice was told.
    tree : the tree.
    ground : what was read at it and its place.
    root_zone_m2 : ground over its roots, above 0. [m2]

    Returns
    -------
    Law. [m]

    Raises
    ------
    Nothing.

    Notes
    -----
    To open water from the outlines where the tree's position and an outline of water are known; else the least
    distance read at its place. The ground over the roots is taken as round. Ground to keep off counts from where it was
    drawn, for a tree that has a position.

    References
    ----------
    Distance of a point from a line: geometry (computed).

    Examples
    --------
    >>> from rootcase.records.observe import Place, Property
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> pond = Place("w", "p", "pond", "water", ((10.0, 0.0), (10.0, 20.0), (30.0, 20.0), (30.0, 0.0)))
    >>> oak = Tree("t", "p", "l", "oak 1", 4.0, 5.0)
    >>> by_pond = PropertyRecord(owner, (), (oak,), (), (), (), (), (), {}, (pond,))
    >>> law_at(by_pond, oak, Ground("lawn", {}), 50.0).distances_m
    {'buffer_water': 6.0}
    """
    found = {topic: min(float(reading.value or 0.0) for reading in read)
             for topic, kind in BUFFERS.items() if (read := ground.numbers(kind))}
    waters = [place for place in (*record.outlines, *record.places) if place.kind == OPEN_WATER and place.outline_m]
    if waters and tree.east_m is not None and tree.north_m is not None:
        found["buffer_water"] = min(from_outline_m(tree.east_m, tree.north_m, water.outline_m) for water in waters)
    return Law(rules_here(record), found, float(circle_radius_m(root_zone_m2)), bool(ground.numbers("phosphorus")),
               record.property.latitude_deg < 0, _keep_off_m(record, tree))


def leave_of(remedy: Remedy, law: Law) -> Leave:
    """What the rules leave of a remedy at a tree.

    Parameters
    ----------
    remedy : the remedy.
    law : what holds there.

    Returns
    -------
    Leave.

    Raises
    ------
    Missing : its season is none of the table.

    Notes
    -----
    The tightest of several rules holds; doing nothing is under none. Ground to keep off is taken away like a buffer.
    A buffer takes the part of a round root zone that lies within it, its edge taken as straight; where the trunk
    itself stands within it, all. Compost brings phosphorus whatever is done; so a rule that asks for a test bars it
    until there is one. A cap is held against a year's nitrogen; it lowers a feed, and bars compost that brings more,
    as a thinner layer cannot be spread evenly. Where a law closes the season of any year's work, and all that may
    stand in, it bars the whole.

    References
    ----------
    The practice's own page of rules. Tables prescribe/rule_topics and prescribe/effects: JUDGEMENT where marked there.
    Area of a circular segment: geometry (computed).

    Examples
    --------
    >>> from rootcase.casework.prescribe.remedies import remedies
    >>> extract = next(remedy for remedy in remedies() if remedy.code == "extract")
    >>> rule = Rule("buffer_water", "A state", 6.0, "m", "", "", ("extract",), "a code", date(2015, 11, 4), "")
    >>> round(leave_of(extract, Law((rule,), {"buffer_water": 8.0}, 4.0, False, False)).area, 3)
    0.804
    """
    code = remedy.code
    if not remedy.season:
        return Leave()
    if code in CARRIES_PHOSPHORUS and law.on(code, "phosphorus_test") and not law.phosphorus_tested:
        return Leave("law_phosphorus", season=remedy.season)
    area = min([1.0, *(share_beyond_edge(law.distances_m[rule.topic] - (rule.value or 0.0), law.radius_m)
                       for rule in law.on(code, *BUFFERS) if rule.topic in law.distances_m)])
    if area <= 0.0:
        return Leave("law_buffer", 0.0, season=remedy.season)
    if code not in ON_NO_GROUND:
        area = min(area, share_beyond_edge(law.keep_off_m, law.radius_m))
    if area <= 0.0:
        return Leave("kept_off", 0.0, season=remedy.season)
    season = open_season(code, remedy.season, law)
    if not (season and all(open_season(code, work.season, law) for work in work_of(code))):
        return Leave("law_closed", area, season=remedy.season)
    brings = {"slow_nitrogen": remedy.mass_kg_m2 or 0.0, "compost": figure("compost_nitrogen_kg_ha") * HA_PER_M2}
    caps = [rule.value or 0.0 for rule in law.on(code, "nitrogen_year", "nitrogen_once")]
    rate = min([1.0, *(cap / brings[code] for cap in caps if brings.get(code))])
    if rate <= 0.0 or (rate < 1.0 and code in CARRIES_PHOSPHORUS):
        return Leave("law_nitrogen", area, rate, season)
    return Leave("", area, rate, season)


def open_season(remedy: str, season: str, law: Law) -> str:
    """When a piece of work may be done.

    Parameters
    ----------
    remedy : code of the remedy.
    season : when it is usually done; key of the table of seasons.
    law : what holds there.

    Returns
    -------
    The season itself where a day of it is open, else the first that may stand in; empty where none is.

    Raises
    ------
    Missing : the season is none of the table.

    Notes
    -----
    On the southern half of the earth the seasons' days stand six months later; a law's days are its own.

    References
    ----------
    Table prescribe/seasons: JUDGEMENT.

    Examples
    --------
    >>> rule = Rule("closed", "A state", None, "", "02-01", "05-31", ("leach",), "a code", date(2015, 11, 4), "")
    >>> open_season("leach", "early_spring", Law((rule,), {}, 4.0, False, False))
    'spring'
    """
    closed = {day for rule in law.on(remedy, "closed") for day in _days(rule.closed_from, rule.closed_to)}
    instead = str(table("prescribe/seasons").row(season=season)["instead"]).split("|")
    for each in (season, *filter(None, instead)):
        row = table("prescribe/seasons").row(season=each)
        if _days(str(row["first"]), str(row["last"]), SOUTHERN_MONTHS if law.southern else 0) - closed:
            return each
    return ""


def left_of(dose: Dose, leave: Leave) -> Dose:
    """A dose as the rules leave it.

    Parameters
    ----------
    dose : the usual dose.
    leave : what the rules leave of it.

    Returns
    -------
    Dose, on the ground that may be worked, at the rate that is allowed, in the season that is open.

    Raises
    ------
    Nothing.

    Notes
    -----
    A buffer takes ground, a cap takes feed; depths stay as they are.

    References
    ----------
    None; bookkeeping (computed).

    Examples
    --------
    >>> left_of(Dose(100.0, mass_kg=1.0, season="spring"), Leave(area=0.5, rate=0.8, season="autumn")).mass_kg
    0.4
    """
    def part(amount: float | None, share: float) -> float | None:
        return None if amount is None else amount * share

    return replace(dose, area_m2=dose.area_m2 * leave.area, volume_m3=part(dose.volume_m3, leave.area),
                   turf_m2=part(dose.turf_m2, leave.area),
                   litres=part(dose.litres, leave.area), mass_kg=part(dose.mass_kg, leave.share),
                   season=leave.season or dose.season)


def asked_of(rules: Sequence[Rule], remedies: Collection[str]) -> tuple[Rule, ...]:
    """The rules that ask something of what is to be done, each with those remedies alone.

    Parameters
    ----------
    rules : those that hold at the property.
    remedies : codes of the remedies that are to be done.

    Returns
    -------
    Rules, in their order.

    Raises
    ------
    Nothing.

    Notes
    -----
    None.

    References
    ----------
    None; bookkeeping (computed).

    Examples
    --------
    >>> rule = Rule("notice", "A state", 2.0, "day", "", "", ("compost", "extract"), "a code", date(2015, 11, 4), "")
    >>> [each.applies_to for each in asked_of([rule], ["mulch", "extract"])], asked_of([rule], ["mulch"])
    ([('extract',)], ())
    """
    bound = (replace(rule, applies_to=tuple(code for code in rule.applies_to if code in remedies)) for rule in rules)
    return tuple(rule for rule in bound if rule.applies_to)


def untold(rules: Sequence[Rule], remedies: Collection[str]) -> tuple[str, ...]:
    """Remedies that law often speaks of, and on which no rule was told.

    Parameters
    ----------
    rules : those that hold at the property.
    remedies : codes of the remedies that are to be done.

    Returns
    -------
    Codes, in order.

    Raises
    ------
    Nothing.

    Notes
    -----
    That nobody told a rule is no sign that there is none: it has to be asked.

    References
    ----------
    Table prescribe/rule_topics, row by row: seen, memory, JUDGEMENT.

    Examples
    --------
    >>> untold([], ["mulch", "slow_nitrogen"])
    ('slow_nitrogen',)
    """
    spoken_of = {code for row in table("prescribe/rule_topics").rows for code in str(row["usual"]).split("|")}
    told = {code for rule in rules for code in rule.applies_to}
    return tuple(sorted(spoken_of & set(remedies) - told))


def _keep_off_m(record: PropertyRecord, tree: Tree) -> float:
    if tree.east_m is None or tree.north_m is None:
        return inf
    return min([inf, *(from_outline_m(tree.east_m, tree.north_m, area.outline_m) - area.distance_m
                       for area in record.keep_off)])


@cache
def _days(first: str, last: str, months_on: int = 0) -> frozenset[tuple[int, int]]:
    """(month, day) from one day of the year to another, over the new year where the last comes before the first."""
    within = [day for day in _YEAR if day_between(f"{day:%m-%d}", first, last)]
    there = frozenset((months_later(day.month, months_on), day.day) for day in within)
    return there & {(day.month, day.day) for day in _YEAR}
