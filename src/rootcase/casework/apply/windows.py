"""Which days allow which work at which place, and why the others do not."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from math import isfinite, prod

from rootcase.casework.apply.ahead import DAY, DayAhead, Expected
from rootcase.casework.apply.gates import Limits, gates_of, works_roots
from rootcase.ground.dates import day_between
from rootcase.records.apply.jobs import Job
from rootcase.records.apply.told import Bloom, GroundTold
from rootcase.records.apply.windows import Finding, Gate, PlaceDay, Windows
from rootcase.records.observe import Rule
from rootcase.science.inference.beyond import chance_within

CLOSED = "closed"
"""Topic of a rule that names days on which something may not be put on."""
_FIGURES: Mapping[Gate, str] = {
    "soil_temperature": "soil_c", "frozen": "soil_c", "saturated": "full", "too_dry": "full",
    "rain_to_come": "rain_mm", "frost": "lowest_c", "heat": "highest_c", "wind": "gust_m_s"}
_YEAR = timedelta(days=366)


@dataclass(frozen=True, slots=True)
class Site:
    """What is known of one property."""

    days: Mapping[str, Sequence[DayAhead]]
    """By place."""
    told: GroundTold
    rules: tuple[Rule, ...]
    """Those that hold here."""
    forecast_issued: str = ""
    permit_places: frozenset[str] = frozenset()
    """Where somebody looked up that root work needs a permit."""
    papers: Mapping[str, date] = field(default_factory=dict)
    """By place: the last day of a permit among the practice's papers that names it."""


@dataclass(frozen=True, slots=True)
class _Group:
    """Jobs that ask the same of the day."""

    place_id: str
    remedy: str
    first: date
    last: date
    blooms: tuple[Bloom, ...]


def windows_of(jobs: Iterable[Job], site: Site) -> tuple[Windows, ...]:
    """The days ahead of each remedy at each place of a property.

    Parameters
    ----------
    jobs : what waits there.
    site : days ahead of each of its places, what was told, and the rules that hold.

    Returns
    -------
    Windows by place and remedy, in the order of the jobs; jobs of another season, or at a tree in bloom, apart.

    Raises
    ------
    Missing : a table lacks a remedy.

    Notes
    -----
    A day with a gate that closes is not fit, whatever else is not known. What is usual at this time of year opens no
    day. The chance of a fit day is that of all its figures together; of one that is not, that of the surest gate.
    Nothing told of use, bloom, law and permits leaves the day open, but where a rule or the place asks for a permit; a
    locate has to be told.

    References
    ----------
    Table apply/gates and table apply/gate_groups, row by row.

    Examples
    --------
    >>> windows_of([], Site({}, GroundTold(), ()))
    ()
    """
    groups: dict[_Group, list[Job]] = {}
    for job in jobs:
        groups.setdefault(_group(job, site.told), []).append(job)
    return tuple(Windows(
        property_id=alike[0].property_id, place_id=group.place_id, remedy=group.remedy,
        job_ids=tuple(job.id for job in alike), forecast_issued=site.forecast_issued,
        days=tuple(_place_day(group, ahead, site) for ahead in site.days.get(group.place_id, ())))
        for group, alike in groups.items())


def finding_of(limits: Limits, expected: Expected | None) -> Finding:
    """What one figure says of a gate.

    Parameters
    ----------
    limits : at which the gate closes. [unit]
    expected : the figure; None: it is not known. [unit]

    Returns
    -------
    Finding; not known where the figure is none, or only what is usual.

    Raises
    ------
    None

    Notes
    -----
    At a limit the gate is closed. Of two limits the nearer one is told.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> frost = Limits("frost", False, low=0.0, unit="degC")
    >>> finding_of(frost, Expected(-1.0, -3.5, 1.5, 1.5, "forecast")).state
    'not_fit'
    """
    if expected is None:
        return Finding(gate=limits.gate, state="not_known", basis="none", unit=limits.unit)
    known = expected.basis != "usual"
    fits = limits.low < expected.figure < limits.high
    ends = [end for end in (limits.low, limits.high) if isfinite(end)]
    return Finding(gate=limits.gate, state="not_known" if not known else "fit" if fits else "not_fit",
                   basis=expected.basis, figure=expected.figure, low=expected.low, high=expected.high,
                   unit=limits.unit, limit=min(ends, key=lambda end: abs(end - expected.figure)))


def chance_of(limits: Limits, expected: Expected) -> float:
    """The chance that a gate is open.

    Parameters
    ----------
    limits : at which the gate closes. [unit]
    expected : the figure with its error. [unit]

    Returns
    -------
    0 to 1; dimensionless.

    Raises
    ------
    None

    Notes
    -----
    The further ahead a forecast looks the larger its error, and the nearer this is to no more than a guess.

    References
    ----------
    `chance_within`; table apply/forecast_errors: JUDGEMENT.

    Examples
    --------
    >>> frost = Limits("frost", False, low=0.0, unit="degC")
    >>> [round(chance_of(frost, Expected(3.0, 0.0, 6.0, error, "forecast")), 2) for error in (1.5, 3.0)]
    [0.98, 0.84]
    """
    return chance_within(expected.figure, expected.error, limits.low, limits.high)


def _group(job: Job, told: GroundTold) -> _Group:
    blooms = tuple(bloom for bloom in told.blooms if bloom.of in (job.tree_id, job.place_id))
    return _Group(job.place_id, job.remedy, job.first, job.last, blooms)


def _place_day(group: _Group, ahead: DayAhead, site: Site) -> PlaceDay:
    findings: list[Finding] = []
    open_chances, closed_chances = [], []
    for limits in gates_of(group.remedy):
        name = _FIGURES.get(limits.gate)
        if name is None:
            found = list(_told(limits.gate, group, ahead.day, site))
            closed_chances += [1.0 for each in found if each.state == "not_fit"]
            blocks = limits.must or limits.gate == "permit"
        else:
            expected: Expected | None = getattr(ahead, name)
            found = [_frozen_felt(ahead) if limits.gate == "frozen" and ahead.felt else finding_of(limits, expected)]
            blocks = limits.must or not ahead.forecast
            if found[0].basis == "told":
                closed_chances += [1.0] if found[0].state == "not_fit" else []
            elif expected is not None and found[0].state != "not_known":
                chance = chance_of(limits, expected)
                open_chances.append(chance)
                closed_chances += [1.0 - chance] if found[0].state == "not_fit" else []
        findings += [replace(each, decides=each.state == "not_fit" or (blocks and each.state == "not_known"))
                     for each in found]
    findings.sort(key=lambda each: each.state != "not_fit")
    if findings and findings[0].state == "not_fit":
        return PlaceDay(day=ahead.day, state="not_fit", findings=tuple(findings), chance=max(closed_chances))
    if any(each.decides for each in findings):
        return PlaceDay(day=ahead.day, state="not_known", findings=tuple(findings), chance=None)
    return PlaceDay(day=ahead.day, state="fit", findings=tuple(findings), chance=prod(open_chances))


def _frozen_felt(ahead: DayAhead) -> Finding:
    """Whoever squeezed a handful on the day knows whether it was frozen."""
    return Finding(gate="frozen", state="not_fit" if ahead.felt == "frozen" else "fit", basis="told")


def _told(gate: Gate, group: _Group, day: date, site: Site) -> Iterator[Finding]:
    told = site.told
    if gate == "season":
        yield _open(gate, group.first <= day <= group.last, until=group.last)
    elif gate == "locate":
        yield _located(told, group.place_id, day)
    elif gate == "permit":
        yield from _permitted(group, day, site)
    elif gate == "bloom":
        yield from (_open(gate, False, until=each.last) for each in group.blooms if each.first <= day <= each.last)
    elif gate == "use":
        yield from (_open(gate, False, each.name, each.until(day)) for each in told.uses
                    if each.place_id in ("", group.place_id) and each.on(day))
    elif gate == "law":
        yield from (_open(gate, False, rule.law, _closed_until(rule, day)) for rule in site.rules
                    if rule.topic == CLOSED and group.remedy in rule.applies_to and _closed_on(rule, day))


def _open(gate: Gate, is_open: bool, says: str = "", until: date | None = None) -> Finding:
    return Finding(gate=gate, state="fit" if is_open else "not_fit", basis="told", says=says, until=until)


def _located(told: GroundTold, place_id: str, day: date) -> Finding:
    """By the locate that holds; else by the one that ended last, or will begin."""
    here = [each for each in told.locates if each.place_id in ("", place_id)]
    holding = [each for each in here if each.first <= day <= each.last]
    if holding:
        best = max(holding, key=lambda each: each.last)
        return _open("locate", True, best.number, best.last)
    if not here:
        return Finding(gate="locate", state="not_known", basis="none")
    near = min(here, key=lambda each: max(each.first - day, day - each.last))
    return _open("locate", False, near.number, near.last)


def _permitted(group: _Group, day: date, site: Site) -> Iterator[Finding]:
    """By what was told; else closed where a rule, or the place itself, asks for one and nobody told of any."""
    asked = [each for each in site.told.permits if not each.remedies or group.remedy in each.remedies]
    laws = [rule.law for rule in site.rules if rule.topic == "permit" and group.remedy in rule.applies_to]
    if not asked and laws:
        yield _open("permit", False, laws[0])
    elif (not asked and group.place_id in site.permit_places and works_roots(group.remedy)
          and day > site.papers.get(group.place_id, date.min)):
        yield Finding(gate="permit", state="not_fit", basis="read")
    for what in dict.fromkeys(each.what for each in asked):
        given = [each for each in asked if each.what == what and each.number and each.first <= day <= each.last]
        latest = max((each.last for each in given or asked if each.what == what), default=None)
        if given and works_roots(group.remedy) and not any(each.work_told for each in given):
            yield Finding(gate="permit", state="not_known", basis="told", says=what, until=latest)
        else:
            yield _open("permit", bool(given), what, latest)


def _closed_on(rule: Rule, day: date) -> bool:
    return day_between(f"{day:%m-%d}", rule.closed_from, rule.closed_to)


def _closed_until(rule: Rule, day: date) -> date | None:
    ends = day
    while ends - day < _YEAR and _closed_on(rule, ends + DAY):
        ends += DAY
    return ends if ends - day < _YEAR else None
