"""What is due by a day: looks, answers that are late, papers that run out, and what was promised to clients."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from rootcase.casework.prescribe.offer import offer_figure
from rootcase.casework.prescribe.repeated import months_on
from rootcase.casework.prescribe.rules import SOUTHERN_MONTHS
from rootcase.records.observe import Practice, PropertyRecord, WantedReading
from rootcase.records.offer import (
    DueItem,
    MadeOffer,
    OfferState,
    ProgrammeState,
    SignedPlan,
    Signing,
    newest_answered,
)
from rootcase.records.pests import Pests
from rootcase.records.prescribe import Step
from rootcase.tables.load import table

BEFORE_THE_LABORATORY = ("sample_matrix", "sample_depth_top", "sample_depth_bottom", "sample_cores", "lab_and_number",
                         "note")
"""What is read of a sample before anybody has analysed it."""
_LEAP_YEAR = 2000
_WHOLE_YEAR = 364
"""A season as long as this is none. [days]"""


@dataclass(frozen=True, slots=True)
class Known:
    """What the fieldbook knows of one property."""

    record: PropertyRecord
    plan: SignedPlan | None
    """The one that stands."""
    offers: tuple[MadeOffer, ...]
    """Newest first."""
    programme: ProgrammeState | None
    """The one that runs."""
    pests: Pests | None = None
    gone: tuple[tuple[MadeOffer, OfferState], ...] = ()
    """Offers that were said yes to and hold no longer."""
    wanted: tuple[WantedReading, ...] = ()
    """Readings that are to be taken at the next visit."""


def due_list(properties: Sequence[Known], practice: Practice, today: date, until: date) -> tuple[DueItem, ...]:
    """Everything that is due until a day, the most overdue first.

    Parameters
    ----------
    properties : what is known of each.
    practice : its papers, and when a laboratory's answer is late.
    today : the day that is asked on.
    until : the last day that is shown.

    Returns
    -------
    Items by day; of one day in the order of the properties.

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    Only what somebody wrote down: a plan that nobody signed books no look, a paper that nobody told runs out unseen.

    References
    ----------
    Table prescribe/offer_figures: JUDGEMENT.

    Examples
    --------
    >>> from rootcase.records.observe import Paper
    >>> due_list([], Practice(papers=(Paper("licence", "applicator", date(2016, 3, 1)),)), date(2016, 1, 15),
    ...          date(2016, 4, 1))[0].kind
    'licence'
    """
    items = [DueItem(paper.ends, paper.kind, "", paper.what) for paper in practice.papers]
    for known in properties:
        items += [*_looks(known), *_wanted(known), *_pests(known, today), *_laboratory(known, practice),
                  *_papers(known, practice, today), *_promised(known)]
        if known.plan is not None:
            items += [*_notices(known.record, known.plan.signing, today), *_next_work(known.record, known.plan, today)]
    return tuple(sorted((item for item in items if item.day <= until), key=lambda item: item.day))


def _looks(known: Known) -> Iterator[DueItem]:
    """Trees that the signed plan says to look at again, and that nobody has read since."""
    if known.plan is None:
        return
    early = timedelta(days=offer_figure("looked_early"))
    plan = known.plan.signing.plan
    by_day: dict[tuple[date, str], list[str]] = {}
    shoots = "shoot_length_by_year"
    unread = tuple(tree.tree_id for tree in plan.trees if not tree.judged and not any(
        reading.nothing is None for reading in known.record.of(tree.tree_id, kind=shoots)))
    if unread:
        yield DueItem(plan.made_on, "wanted", known.record.property.id, shoots, tree_ids=unread, source=known.plan.mark)
    for tree in (tree for tree in plan.trees if tree.judged):
        since = plan.made_on if tree.first_look else tree.look_again - early
        read = known.record.of(tree.tree_id, kind=tree.first_look) if tree.first_look else known.record.of(tree.tree_id)
        if not any(reading.day >= since and (not tree.first_look or reading.nothing is None) for reading in read):
            by_day.setdefault((tree.look_again, tree.first_look), []).append(tree.tree_id)
    for (day, first), trees in by_day.items():
        yield DueItem(day, "first_look" if first else "look", known.record.property.id, first, tree_ids=tuple(trees),
                      source=known.plan.mark)


def _wanted(known: Known) -> Iterator[DueItem]:
    """Readings for the next visit, the trees of one kind together."""
    by_kind: dict[str, list[WantedReading]] = {}
    for each in known.wanted:
        by_kind.setdefault(each.kind, []).append(each)
    for kind, wishes in by_kind.items():
        yield DueItem(min(each.day for each in wishes), "wanted", known.record.property.id, kind,
                      tree_ids=tuple(each.tree_id for each in wishes))


def _pests(known: Known, today: date) -> Iterator[DueItem]:
    """Stages of pests by the warmth of the year, and trees whose counts are to be looked at again.

    A stage that may be there now is due today, since when ever.
    """
    if known.pests is None:
        return
    ground = known.record.property.id
    for look in known.pests.looks:
        if look.state in ("due", "coming") and look.first is not None:
            yield DueItem(max(look.first, today), "pest", ground, look.pest, look.stage, look.tree_ids, look.source)
    for tree in known.pests.trees:
        for finding in tree.findings:
            newest = max(count.day for count in finding.counted)
            source = next(count.reading_id for count in finding.counted if count.day == newest)
            yield DueItem(finding.look_again, "pest", ground, finding.group, "", (tree.tree_id,), source)


def _laboratory(known: Known, practice: Practice) -> Iterator[DueItem]:
    """Samples that were taken and of which no result has come."""
    days = timedelta(days=practice.laboratory_days or offer_figure("laboratory_days"))
    for sample in known.record.samples:
        readings = known.record.of(sample.id)
        if readings and all(reading.kind in BEFORE_THE_LABORATORY for reading in readings):
            first = min(readings, key=lambda reading: reading.day)
            trees = (sample.tree_id,) if sample.tree_id else ()
            yield DueItem(first.day + days, "laboratory", known.record.property.id, sample.label,
                          first.day.isoformat(), trees, first.id)


def _papers(known: Known, practice: Practice, today: date) -> Iterator[DueItem]:
    """Locate marks that run out, and permits that are needed and of which none that holds names place or property."""
    record = known.record
    permits = [paper.what.casefold() for paper in practice.papers if paper.kind == "permit" and paper.ends >= today]
    for place in record.places:
        if (marks := record.of(place.id, kind="locate_expires")) and marks[-1].choice:
            yield DueItem(date.fromisoformat(marks[-1].choice), "locate", record.property.id, place.name,
                          source=marks[-1].id)
        rules = record.of(place.id, kind="tree_protection_rule")
        told = any(name.casefold() in permit for permit in permits for name in (place.name, record.property.name))
        if rules and rules[-1].choice == "permit" and not told and known.plan and known.plan.signing.plan.items:
            yield DueItem(known.plan.day, "permit_needed", record.property.id, place.name, source=rules[-1].id)


def _promised(known: Known) -> Iterator[DueItem]:
    """A client's question nobody answered, an offer that waits for its answer, and the running programme."""
    ground = known.record.property.id
    for at, made in enumerate(known.offers):
        for asked in made.open_questions:
            yield DueItem(asked.day, "question", ground, str(made.number), asked.words, source=made.mark)
        if at == 0 and made.decided is None:
            yield DueItem(made.offer.valid_until, "offer", ground, str(made.number), source=made.mark)
    binding = newest_answered(known.offers)
    for made, state in known.gone:
        if made == binding and made.decided:
            yield DueItem(state.since or made.decided.day, "yes_again", ground, str(made.number), source=made.mark)
    if known.programme is None or known.programme.programme.stopped is not None:
        return
    programme = known.programme.programme
    yield DueItem(programme.price_until, "price", ground, source=programme.offer_mark)
    yield DueItem(known.programme.renewal_due, "renewal", ground, source=programme.offer_mark)
    for visit in known.programme.visits:
        if visit.state in ("ahead", "missed"):
            yield DueItem(visit.due, "visit", ground, visit.state, source=programme.offer_mark)


def _notices(record: PropertyRecord, signing: Signing, today: date) -> Iterator[DueItem]:
    """Notice that a rule asks for before a piece of work, so long as the season of the work is not over."""
    plan, southern = signing.plan, record.property.latitude_deg < 0
    work = tuple(signed_work(signing))
    told = set()
    for rule in (rule for rule in plan.rules if rule.topic == "notice"):
        for _, step in work:
            first, last = season_of(step.season, plan.made_on, step.year, southern)
            key = (rule.law, rule.source, step.remedy, first)
            if step.remedy in rule.applies_to and last >= today and key not in told:
                told.add(key)
                begins = max(first, plan.made_on)
                trees = tuple(dict.fromkeys(tree_id for tree_id, each in work if each.remedy == step.remedy))
                yield DueItem(max(begins - timedelta(days=rule.value or 0.0), plan.made_on), "notice",
                              record.property.id, step.remedy, begins.isoformat(), trees, f"{rule.law}, {rule.source}")


def _next_work(record: PropertyRecord, plan: SignedPlan, today: date) -> Iterator[DueItem]:
    """Each kind of signed work in its next season, or the one that runs; of work without a season no day is known."""
    made_on, southern = plan.signing.plan.made_on, record.property.latitude_deg < 0
    trees: dict[tuple[str, date, date], list[str]] = {}
    for tree_id, step in signed_work(plan.signing):
        first, last = season_of(step.season, made_on, step.year, southern)
        if last >= today and (last - first).days < _WHOLE_YEAR:
            trees.setdefault((step.remedy, max(first, made_on), last), []).append(tree_id)
    soonest: dict[str, date] = {}
    for (remedy, first, last), tree_ids in sorted(trees.items(), key=lambda each: each[0][1]):
        if soonest.setdefault(remedy, first) == first:
            yield DueItem(max(first, today), "work", record.property.id, remedy, last.isoformat(),
                          tuple(dict.fromkeys(tree_ids)), plan.mark)


def signed_work(signing: Signing) -> Iterator[tuple[str, Step]]:
    """All that is done at each tree: where the lot leaves one untreated what it gets, and what is tried on top.

    Parameters
    ----------
    signing : what was signed.

    Returns
    -------
    (tree id, step) one after another, in the order of the plan.

    Raises
    ------
    Nothing.

    Notes
    -----
    A tree that the lot leaves untreated is left what its pair's rest is.

    References
    ----------
    None; bookkeeping (computed).

    Examples
    --------
    >>> from rootcase.records.prescribe import Dose, Plan, PlanItem
    >>> from rootcase.records.estimate import Estimate
    >>> step = Step(1, "autumn", "mulch", Dose(10.0), None)
    >>> item = PlanItem("t", "mulch", Dose(10.0), 0.0, Estimate(1.0, 1.0, 0.0, 2.0, 0.5, 1.5), (step,))
    >>> plan = Plan("p", (item,), 0.0, 0.0, None, "USD", 0.0, 0.0, (), (), True, (), date(2016, 1, 20), 100, 1)
    >>> [(tree, each.remedy) for tree, each in signed_work(Signing(plan, (), "", "", "", 100, None))]
    [('t', 'mulch')]
    """
    rests = {pair.untreated: pair.rest for arms in signing.arms if not arms.apart for pair in arms.pairs}
    listed = {(tree.tree_id, outcome.remedy): outcome.steps for tree in signing.plan.trees for outcome in tree.remedies}
    for item in signing.plan.items:
        rest = rests.get(item.tree_id)
        parts = [] if rest is None else [rest] if (item.tree_id, rest) in listed else rest.split("+")
        for step in item.steps if rest is None else [each for part in parts
                                                     for each in listed.get((item.tree_id, part), ())]:
            yield item.tree_id, step
    for tree_id, doubt in ((pair.treated, arms.doubt) for arms in signing.arms if arms.apart for pair in arms.pairs):
        for step in listed.get((tree_id, doubt), ()):
            yield tree_id, step


def season_of(season: str, made_on: date, year: int, southern: bool) -> tuple[date, date]:
    """First and last day of a season in a year of a plan.

    Parameters
    ----------
    season : key of the table of seasons; of another key the whole year.
    made_on : the day of the plan.
    year : 1 is the year the plan is made for.
    southern : on the southern half of the earth the days stand six months later.

    Returns
    -------
    (first, last). In year 1 the first such season that is not over on the day of the plan.

    Raises
    ------
    Missing : the table has no season for the whole year.

    Notes
    -----
    A season over the new year ends in the next.

    References
    ----------
    Table prescribe/seasons: JUDGEMENT.

    Examples
    --------
    >>> season_of("autumn", date(2016, 1, 15), 1, False)
    (datetime.date(2016, 9, 1), datetime.date(2016, 11, 30))
    >>> season_of("spring", date(2016, 8, 1), 2, False)
    (datetime.date(2018, 3, 15), datetime.date(2018, 6, 15))
    """
    known = {row["season"]: row for row in table("prescribe/seasons").rows}
    row = known.get(season, known["any"])
    shift = SOUTHERN_MONTHS if southern else 0
    ends = [months_on(date.fromisoformat(f"{_LEAP_YEAR}-{row[end]}"), shift) for end in ("first", "last")]

    def in_year(at: int) -> tuple[date, date]:
        first, last = (_of_year(end, at) for end in ends)
        return first, last if last >= first else _of_year(ends[1], at + 1)

    start = next(at for at in range(made_on.year - 1, made_on.year + 2) if in_year(at)[1] >= made_on)
    return in_year(start + year - 1)


def _of_year(day: date, year: int) -> date:
    """A day of every year in this one; the last of February where it is the 29th."""
    return months_on(date(year, 1, 1), day.month - 1) + timedelta(days=min(day.day, (
        months_on(date(year, day.month, 1), 1) - date(year, day.month, 1)).days) - 1)
