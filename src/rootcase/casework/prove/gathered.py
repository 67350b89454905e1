"""From signed arms, readings and the record of work to the readings of one trial."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from math import log

from rootcase.casework.compare.shoots import shoots_of
from rootcase.casework.prove.happened import GONE, happened_to
from rootcase.ground.dates import season_year
from rootcase.records.apply.done import Application
from rootcase.records.observe import PropertyRecord
from rootcase.records.offer import Pair, SignedPlan
from rootcase.records.prove import Happened, LeftOut, TrialReading, TrialReadings

REGULATOR = "growth_regulator"
REGULATED_SEASONS = 3
"""After a growth regulator was put on; its trials saw shoots cut for three years and more. Table prescribe/remedies."""


def readings_of_trial(record: PropertyRecord, signed: Iterable[SignedPlan], remedy: str,
                      applied: Sequence[Application]) -> TrialReadings:
    """Shoots of the pairs a lot parted for a remedy, before and after it was put on, and who is left out and why.

    Parameters
    ----------
    record : the property, corrections applied.
    signed : its plans, newest first, withdrawn and older ones too; the pairs of all of them count.
    remedy : code of the thing in doubt.
    applied : what was put on at the property, of whatever remedy.

    Returns
    -------
    TrialReadings : natural logs of shoots in [mm]; a pair stands as its own site, so that two like trees share their
    years.

    Raises
    ------
    Nothing.

    Notes
    -----
    The season in which it was put on is neither before nor after. A pair counts from its own treated tree's first
    time since the season it was drawn in, and a tree in one pair only: of several draws the one that the work followed.
    A pair is left out whole, for one tree alone says nothing; of a tree that was felled or died it says so, and why.
    Shoots of the seasons after a growth regulator are no measure. What else befell a tree that counts is told beside
    it, and it stays.

    References
    ----------
    Shoots after a growth regulator: table prescribe/remedies. That the season of the work is neither is JUDGEMENT.

    Examples
    --------
    >>> from rootcase.records.observe import Property
    >>> ground = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> empty = PropertyRecord(ground, (), (), (), (), (), (), (), {})
    >>> readings_of_trial(empty, (), "extract", ()).pairs
    0
    """
    done = [one for one in applied if not one.not_done]
    readings: list[TrialReading] = []
    left_out: list[LeftOut] = []
    happened: list[Happened] = []
    place = {tree.id: tree.place_id for tree in record.trees}
    plans = tuple(signed)
    pairs, twice = _pairs(plans, remedy, done)
    for pair in pairs:
        since = _since_drawn(record, plans, pair, remedy, done)
        begun = _begun(record, pair, since)
        told = {tree_id: _shoots(record, tree_id, done) for tree_id in (pair.treated, pair.untreated)}
        why = _left_out(record, pair, done, since, begun, told)
        if why is not None or begun is None:
            left_out += [why] if why else []
            continue
        readings += [TrialReading(site=f"{pair.treated} {pair.untreated}", tree=tree_id, year=year, after=year > begun,
                                  treated=tree_id == pair.treated, value=log(length_mm))
                     for tree_id, shoots in told.items() for year, length_mm in shoots if year != begun]
        apart = place.get(pair.treated) != place.get(pair.untreated)
        happened += [each for tree_id, shoots in told.items() for each in happened_to(
            record, tree_id, treated=tree_id == pair.treated, apart=apart,
            before=max(year for year, _ in shoots if year < begun), after=max(year for year, _ in shoots))]
    return TrialReadings(property_id=record.property.id, remedy=remedy, pairs=len(pairs) + len(twice),
                         readings=tuple(readings), left_out=(*left_out, *twice), happened=tuple(happened))


def _since_drawn(record: PropertyRecord, plans: Sequence[SignedPlan], pair: Pair, remedy: str,
                 done: Sequence[Application]) -> list[Application]:
    """What was put on of the remedy from the season on in which the lot drew the pair; before that nobody compared."""
    drawn = min(season_year(plan.day, record.property.latitude_deg) for plan in plans
                for arms in plan.signing.arms if arms.doubt == remedy and pair in arms.pairs)
    return [one for one in done if one.remedy == remedy
            and season_year(one.day, record.property.latitude_deg) >= drawn]


def _begun(record: PropertyRecord, pair: Pair, since: Sequence[Application]) -> int | None:
    """The season in which it was first put on at the treated tree, once it was drawn."""
    return min((season_year(one.day, record.property.latitude_deg) for one in since
                if pair.treated in one.tree_ids), default=None)


def _shoots(record: PropertyRecord, tree_id: str, done: Sequence[Application]) -> list[tuple[int, float]]:
    """Year and length of each shoot that is a measure: none from a growth regulator on, for some seasons. [mm]"""
    regulated = {season + later for one in done if one.remedy == REGULATOR and tree_id in one.tree_ids
                 for season in (season_year(one.day, record.property.latitude_deg),)
                 for later in range(REGULATED_SEASONS + 1)}
    return [(shoot.year, shoot.length_mm) for shoot in shoots_of(record, tree_id)
            if shoot.length_mm and shoot.year not in regulated]


def _pairs(signed: Iterable[SignedPlan], remedy: str, done: Sequence[Application]) -> tuple[list[Pair], list[LeftOut]]:
    """Pairs that share no tree: of several draws the one that the work followed, else the newest; and the others."""
    at = {tree_id for one in done if one.remedy == remedy for tree_id in one.tree_ids}
    drawn = [pair for plan in signed for arms in plan.signing.arms if arms.doubt == remedy for pair in arms.pairs]
    taken: dict[str, Pair] = {}
    twice: list[LeftOut] = []
    for pair in sorted(drawn, key=lambda each: not (each.treated in at and each.untreated not in at)):
        trees = (pair.treated, pair.untreated)
        met = next((each for each in trees if each in taken), None)
        if met is None:
            taken |= dict.fromkeys(trees, pair)
        elif {taken[met].treated, taken[met].untreated} != set(trees):
            other = pair.untreated if met == pair.treated else pair.treated
            twice.append(LeftOut(tree_id=met, partner_id=other, why="in_another_pair"))
    return list(dict.fromkeys(taken.values())), list(dict.fromkeys(twice))


def _left_out(record: PropertyRecord, pair: Pair, done: Sequence[Application], since: Sequence[Application],
              begun: int | None, told: Mapping[str, Sequence[tuple[int, float]]]) -> LeftOut | None:
    """Why a pair says nothing, if so."""
    if begun is None:
        return LeftOut(tree_id=pair.treated, partner_id=pair.untreated, why="not_put_on")
    if any(pair.untreated in one.tree_ids for one in since):
        return LeftOut(tree_id=pair.untreated, partner_id=pair.treated, why="got_it_too")
    for tree_id, partner_id in ((pair.treated, pair.untreated), (pair.untreated, pair.treated)):
        years = {year for year, _ in told[tree_id]}
        if any(year < begun for year in years) and any(year > begun for year in years):
            continue
        if gone := _gone(record, pair, tree_id, partner_id, begun, told[tree_id]):
            return gone
        regulated = [season_year(one.day, record.property.latitude_deg) for one in done
                     if one.remedy == REGULATOR and tree_id in one.tree_ids]
        if regulated:
            return LeftOut(tree_id=tree_id, partner_id=partner_id, why="regulated",
                           until=max(regulated) + REGULATED_SEASONS)
        before = any(year < begun for year in years)
        return LeftOut(tree_id=tree_id, partner_id=partner_id, why="not_read_after" if before else "not_read_before")
    return None


def _gone(record: PropertyRecord, pair: Pair, tree_id: str, partner_id: str, begun: int,
          told: Sequence[tuple[int, float]]) -> LeftOut | None:
    """That a tree was felled or died, as was last seen of it."""
    seen = record.of(tree_id, kind="tree_status")
    why = next((each for each in GONE if seen and seen[-1].choice == each), None)
    if why is None:
        return None
    before = [log(length_mm) for year, length_mm in told if year < begun]
    return LeftOut(tree_id=tree_id, partner_id=partner_id, why=why, treated=tree_id == pair.treated,
                   before=sum(before) / len(before) if before else None, note=seen[-1].attributes.get("note", ""))
