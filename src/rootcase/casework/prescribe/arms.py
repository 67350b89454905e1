"""Trial arms at signing: on what is in doubt a lot leaves one of two like trees untreated."""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import dataclass, replace
from math import inf, log

import numpy as np

from rootcase.casework.explain.ground import ground_of
from rootcase.casework.prescribe.remedies import Remedy, remedies
from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.records.compare import Comparison
from rootcase.records.observe import PropertyRecord, by_stem
from rootcase.records.offer import Arms, Pair
from rootcase.records.prescribe import Plan, TreePrescription
from rootcase.science.choice.lot import left_out, like_pairs
from rootcase.science.inference.beyond import NINE_IN_TEN
from rootcase.science.tree.trunk import one_trunk_mm

WORKS = "trials agree"
STOPS_HARM = ("keep_off", "stop_salt", "drainage", "deadwood")
"""What ends or keeps off a known harm: no lot withholds it, though no trial stands behind it. JUDGEMENT."""
MOST_TIMES = 1.5
"""Two trees are alike whose trunks, and shares of their yardstick, differ by no more than this factor. JUDGEMENT."""
OTHER_PLACE = 1.0
"""What another place of the same kind adds to their distance; a factor of MOST_TIMES adds as much. JUDGEMENT."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """A tree that would get the thing in doubt."""

    tree_id: str
    place_id: str
    alike: tuple[str, str, str]
    """What two trees of a pair share: kind, kind of place, what else is done."""
    trunk_mm: float | None
    share: float | None
    """None where nobody read it; then it has no partner."""


def in_doubt(course: str) -> tuple[str, ...]:
    """What of a remedy or course is in doubt.

    Parameters
    ----------
    course : code of one remedy, or of several joined by +.

    Returns
    -------
    Codes of the remedies for which trials do not agree that they help, in the order of the table; none that
    ends a harm.

    Raises
    ------
    Nothing.

    Notes
    -----
    What clearly works, or ends a known harm, is never withheld from a tree by lot.

    References
    ----------
    Table prescribe/remedies, column evidence. That a lot may decide only where it is not known what is better:
    common practice, no source.

    Examples
    --------
    >>> in_doubt("water+mulch"), in_doubt("air_tillage+slow_nitrogen")
    ((), ('air_tillage',))
    """
    parts = course.split("+")
    return tuple(remedy.code for remedy in remedies()
                 if remedy.code in parts and remedy.evidence != WORKS and remedy.code not in STOPS_HARM)


def without(course: str, doubt: str) -> str:
    """What a tree gets of a course when it goes without the thing in doubt.

    Parameters
    ----------
    course : code of one remedy, or of several joined by +.
    doubt : code of the remedy in doubt.

    Returns
    -------
    Code of what is left, "nothing" where nothing is.

    Raises
    ------
    Nothing.

    Notes
    -----
    Where the thing in doubt is covered with chips, the ground gets the chips: they are not in doubt.

    References
    ----------
    None; bookkeeping (computed).

    Examples
    --------
    >>> without("water+extract", "extract"), without("extract", "extract"), without("air_tillage", "air_tillage")
    ('water', 'nothing', 'mulch')
    """
    left = [part for part in course.split("+") if part not in (doubt, "nothing")]
    chips = next((remedy.chips for remedy in remedies() if remedy.code == doubt), False)
    if chips and doubt != "mulch" and "mulch" not in left:
        left.append("mulch")
    return "+".join(left) or "nothing"


def arms_of(record: PropertyRecord, comparison: Comparison, plan: Plan, *, seed: int, apart: Sequence[str] = (),
            kept: Sequence[Arms] = ()) -> tuple[Arms, ...]:
    """Who gets what is in doubt and who stays untreated, for everything in doubt in a plan.

    Parameters
    ----------
    record : the property, corrections applied.
    comparison : of its trees.
    plan : that is to be signed.
    seed : of the lot, 0 to 2^63 - 1.
    apart : codes of remedies that are no part of the plan and are tried on top of it.
    kept : arms of the plan that stands signed; pairs that still hold stay as they were drawn.

    Returns
    -------
    Arms of each thing in doubt, in the order of the table of remedies; without pairs where no two trees are alike.

    Raises
    ------
    Missing : what is to be tried is no remedy, or is one that clearly works or ends a known harm.
    OutOfRange : the seed leaves its range.

    Notes
    -----
    Pairs are of one kind, one kind of place and one other work; trunk and share within a factor of 1.5; the most alike
    first. One of each pair goes without, by lot. An odd tree gets what the plan has for it and stays outside the
    trial; of what is tried on top it gets nothing. What the practice's own signed trials show to help is in doubt no
    more, and no tree is left without it. Money is over five years, of the tree's own list.

    References
    ----------
    Pairing like trees and drawing within the pair: common practice, no source; the factor: JUDGEMENT.

    Examples
    --------
    >>> from datetime import date
    >>> from rootcase.records.observe import Property
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> none = PropertyRecord(owner, (), (), (), (), (), (), (), {})
    >>> plan = Plan("p", (), 0.0, 0.0, None, "CHF", 0.0, 0.0, (), (), True, (), date(2015, 11, 4), 10, 1)
    >>> day = date(2015, 11, 4)
    >>> arms_of(none, Comparison("p", (), 10, 1, day), plan, seed=7)
    ()
    >>> [(arms.doubt, arms.pairs) for arms in arms_of(none, Comparison("p", (), 10, 1, day), plan, seed=7,
    ...                                               apart=["extract"])]
    [('extract', ())]
    """
    shown = _shown_by_own_trials(record)
    _refuse_what_works(apart, shown)
    of_plan = {code for item in plan.items for code in in_doubt(item.remedy)} - shown
    return tuple(_arms(record, comparison, plan, remedy, seed, remedy.code not in of_plan, kept)
                 for remedy in remedies() if remedy.code in of_plan.union(apart))


def _shown_by_own_trials(record: PropertyRecord) -> set[str]:
    """Remedies that the practice's own signed trials leave in no doubt: nine in ten of what is believed is a gain."""
    return {said.remedy for said in record.learned if said.mean - NINE_IN_TEN * said.sd > 0.0}


def _refuse_what_works(apart: Sequence[str], shown: Set[str]) -> None:
    known = {remedy.code: remedy for remedy in remedies()}
    for code in apart:
        if code not in known or code == "nothing":
            raise Missing(say("sign.no_remedy"), value=code, right=say("sign.see_remedies"))
        if known[code].evidence == WORKS or code in shown:
            raise Missing(say("sign.works"), value=code, right=say("sign.try_doubt"))
        if code in STOPS_HARM:
            raise Missing(say("sign.stops_harm"), value=code, right=say("sign.try_doubt"))


def _arms(record: PropertyRecord, comparison: Comparison, plan: Plan, remedy: Remedy, seed: int, apart: bool,
          kept: Sequence[Arms]) -> Arms:
    courses = {tree.tree_id: "nothing" for tree in plan.trees} | {item.tree_id: item.remedy for item in plan.items}
    lists = {tree.tree_id: tree for tree in plan.trees}
    getting = [tree_id for tree_id, course in courses.items()
               if (_may_try(lists[tree_id], remedy.code) if apart else remedy.code in course.split("+"))]
    candidates = [_candidate(record, comparison, tree_id, without(courses[tree_id], remedy.code))
                  for tree_id in sorted(getting)]
    pairs = _pairs(candidates, seed, [pair for arms in kept if arms.doubt == remedy.code for pair in arms.pairs])
    paired = {tree_id for pair in pairs for tree_id in (pair.treated, pair.untreated)}
    spared = 0.0 if apart else _sum([_less(lists[pair.untreated], courses[pair.untreated], remedy.code)
                                     for pair in pairs])
    return Arms(remedy.code, remedy.evidence, pairs, tuple(c.tree_id for c in candidates if c.tree_id not in paired),
                apart, _sum([_cost(lists[pair.treated], remedy.code) for pair in pairs]), spared)


def _may_try(tree: TreePrescription, code: str) -> bool:
    return any(outcome.remedy == code and outcome.verdict not in ("not allowed", "no use here", "test first")
               for outcome in tree.remedies)


def _candidate(record: PropertyRecord, comparison: Comparison, tree_id: str, rest: str) -> Candidate:
    tree = next(tree for tree in record.trees if tree.id == tree_id)
    ground = ground_of(record, [tree])
    species = ground.choice("species")
    stems = [float(np.mean([reading.value for reading in stem if reading.value is not None]))
             for stem in by_stem(ground.numbers("dbh"))]
    share = next((each.share for each in comparison.trees if each.tree_id == tree_id), None)
    kind = "" if species is None else species.choice or ""
    return Candidate(tree_id, tree.place_id, (kind, ground.place_kind, rest),
                     float(one_trunk_mm(stems)) if stems and kind else None, None if share is None else share.median)


def _pairs(candidates: list[Candidate], seed: int, kept: list[Pair]) -> tuple[Pair, ...]:
    """Those that were drawn before and still hold, then new ones of the rest."""
    alike = {candidate.tree_id: candidate.alike for candidate in candidates}
    old = [replace(pair, rest=alike[pair.treated][-1]) for pair in kept if pair.treated in alike
           and alike[pair.treated] == alike.get(pair.untreated)]
    taken = {tree_id for pair in old for tree_id in (pair.treated, pair.untreated)}
    free = [candidate for candidate in candidates if candidate.tree_id not in taken]
    apart = [[_distance(one, other) for other in free] for one in free]
    new = []
    for at, other in like_pairs(np.array(apart).reshape(len(free), len(free))):
        ids = (free[at].tree_id, free[other].tree_id)
        untreated = left_out(seed, *ids)
        new.append(Pair(next(each for each in ids if each != untreated), untreated, seed, free[at].alike[-1]))
    return (*old, *new)


def _distance(one: Candidate, other: Candidate) -> float:
    """How far two trees are apart; infinite where they are not alike, or nobody knows."""
    if one is other or one.alike != other.alike or not (one.trunk_mm and other.trunk_mm and one.share and other.share):
        return inf
    parts = [abs(log(mine / theirs)) / log(MOST_TIMES) for mine, theirs in (
        (one.trunk_mm, other.trunk_mm), (one.share, other.share))]
    return inf if max(parts) > 1.0 else sum(parts) + (0.0 if one.place_id == other.place_id else OTHER_PLACE)


def _less(tree: TreePrescription, course: str, doubt: str) -> float | None:
    """What a course costs less without the thing in doubt."""
    whole, rest = _cost(tree, course), _cost(tree, without(course, doubt))
    return None if whole is None or rest is None else whole - rest


def _cost(tree: TreePrescription, code: str) -> float | None:
    """Of a remedy or course by the tree's own list; of a course that is not listed the sum of its parts."""
    costs = {outcome.remedy: outcome.cost for outcome in tree.remedies}
    if code in costs or code == "nothing":
        return costs.get(code, 0.0)
    return _sum([costs.get(part) for part in code.split("+")])


def _sum(parts: Sequence[float | None]) -> float | None:
    known = [part for part in parts if part is not None]
    return sum(known) if len(known) == len(parts) else None
