"""From signed arms, readings and the record of work to the readings of one trial."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import log

from rootcase.casework.compare.shoots import shoots_of
from rootcase.ground.dates import season_year
from rootcase.records.apply.done import Application
from rootcase.records.observe import PropertyRecord
from rootcase.records.offer import Pair, SignedPlan
from rootcase.records.prove import LeftOut, TrialReading, TrialReadings

REGULATOR = "growth_regulator"
REGULATED_SEASONS = 3
"""After a growth regulator was put on; its trials saw shoots cut for three years and more. Table prescribe/remedies."""


def readings_of_trial(record: PropertyRecord, signed: Iterable[SignedPlan], remedy: str,
                      applied: Sequence[Application]) -> TrialReadings:
    """Shoots of the pairs a lot parted for a remedy, before and after it was put on, and who is left out and why.

    Parameters
    ----------
    record : the property, corrections applied.
    signed : its plans, withdrawn and older ones too; the pairs of all of them count.
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
    time. A pair is left out whole, for one tree alone says nothing.

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
    labels = {tree.id: tree.label for tree in record.trees}
    done = [one for one in applied if not one.not_done]
    readings: list[TrialReading] = []
    left_out: list[LeftOut] = []
    pairs = _pairs(signed, remedy)
    for number, pair in enumerate(pairs, 1):
        seasons = sorted(season_year(one.day, record.property.latitude_deg) for one in done
                         if one.remedy == remedy and pair.treated in one.tree_ids)
        why = _left_out(record, pair, remedy, done, seasons)
        if why is not None:
            left_out.append(why)
            continue
        for tree_id in (pair.treated, pair.untreated):
            for shoot in shoots_of(record, tree_id):
                if shoot.length_mm and shoot.year != seasons[0]:
                    readings.append(TrialReading(
                        site=f"{record.property.id} {number}", tree=labels.get(tree_id, tree_id), year=shoot.year,
                        after=shoot.year > seasons[0], treated=tree_id == pair.treated, value=log(shoot.length_mm)))
    return TrialReadings(property_id=record.property.id, remedy=remedy, pairs=len(pairs), readings=tuple(readings),
                         left_out=tuple(left_out))


def _pairs(signed: Iterable[SignedPlan], remedy: str) -> list[Pair]:
    """Each pair once, as the plan that is first in the list parted it."""
    met: dict[frozenset[str], Pair] = {}
    for plan in signed:
        for arms in plan.signing.arms:
            if arms.doubt == remedy:
                for pair in arms.pairs:
                    met.setdefault(frozenset((pair.treated, pair.untreated)), pair)
    return list(met.values())


def _left_out(record: PropertyRecord, pair: Pair, remedy: str, done: Sequence[Application],
              seasons: Sequence[int]) -> LeftOut | None:
    """Why a pair says nothing, if so."""
    latitude_deg = record.property.latitude_deg
    if not seasons:
        return LeftOut(tree_id=pair.treated, partner_id=pair.untreated, why="not_put_on")
    if any(one.remedy == remedy and pair.untreated in one.tree_ids for one in done):
        return LeftOut(tree_id=pair.untreated, partner_id=pair.treated, why="got_it_too")
    for tree_id, partner_id in ((pair.treated, pair.untreated), (pair.untreated, pair.treated)):
        regulated = [season_year(one.day, latitude_deg) for one in done
                     if one.remedy == REGULATOR and tree_id in one.tree_ids]
        if regulated:
            return LeftOut(tree_id=tree_id, partner_id=partner_id, why="regulated",
                           until=max(regulated) + REGULATED_SEASONS)
        years = {shoot.year for shoot in shoots_of(record, tree_id) if shoot.length_mm}
        if not any(year < seasons[0] for year in years):
            return LeftOut(tree_id=tree_id, partner_id=partner_id, why="not_read_before")
        if not any(year > seasons[0] for year in years):
            return LeftOut(tree_id=tree_id, partner_id=partner_id, why="not_read_after")
    return None
