"""What a plan rests on, and whether a signed one still rests on what is known today."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import fields, is_dataclass
from itertools import zip_longest
from math import expm1

import numpy as np

from rootcase.casework.explain.ground import ground_of
from rootcase.casework.prescribe.rules import OPEN_WATER, rules_here
from rootcase.records.explain import Explanation
from rootcase.records.observe import PriceBook, PropertyRecord, Reading, Tree
from rootcase.records.offer import Change, Input, InputKind, Outdated, Revised, SignedPlan, Why
from rootcase.records.prescribe import Plan, PlanItem
from rootcase.tables.readings import kinds

STAGE = "prescribe"
LEADS_TO_A_PLAN = frozenset(("explain", STAGE))
FIGURES = 3
"""To which a dose is told; what differs less is the same. JUDGEMENT."""
Key = tuple[InputKind, str, str, str]


def inputs_of(record: PropertyRecord, explanations: Sequence[Explanation], book: PriceBook,
              tables: Mapping[str, str], engine: str) -> tuple[Input, ...]:
    """Everything a property's plan rests on.

    Parameters
    ----------
    record : the property, corrections applied.
    explanations : of the trees that were prescribed for.
    book : the practice's prices in the property's currency.
    tables : version of each table by its path.
    engine : name of the model's engine.

    Returns
    -------
    Input of every reading, wish, fact, rule, price and table, and the engine; each once.

    Raises
    ------
    Nothing.

    Notes
    -----
    A reading is rested on where an explanation names it, or where it is the newest of a kind that the catalogue says
    explaining or prescribing uses, read at such a tree, at one it is compared with, or at their ground.
    Weather is not among them: every night adds a day, and a day more is no reason to sign anew.

    References
    ----------
    Table observe/readings, column used_by; that weather does not outdate a plan: JUDGEMENT.

    Examples
    --------
    >>> from rootcase.records.observe import Price, Property
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> none = PropertyRecord(owner, (), (), (), (), (), (), (), {})
    >>> book = PriceBook("CHF", (Price("mulch", "per_m2", 9.5, "CHF", "ours"),))
    >>> [each.name for each in inputs_of(none, [], book, {"prescribe/rates": "1f"}, "four layers 1")]
    ['property', 'mulch', 'minimum charge', 'prescribe/rates', 'four layers 1']
    """
    trees = [tree for each in explanations for tree in record.trees if tree.id == each.tree_id]
    healthy = {tree_id for each in record.yardsticks for tree_id in each.tree_ids
               if each.id in {record.compared_with.get(tree.id) for tree in trees}}
    there = (*trees, *(tree for tree in record.trees if tree.id in healthy and tree not in trees))
    used = set(_ids(explanations)) | {reading.id for tree in there for reading in _leading(record, tree)}
    readings = (_reading(reading) for reading in record.readings if reading.id in used or _is_wish(reading))
    return (*readings, *_facts(record, trees), *_rules(record), *_effects(record),
            *_prices(book), *(Input("table", name, version) for name, version in sorted(tables.items())),
            Input("engine", engine, engine))


def outdated(signed: SignedPlan, inputs: Sequence[Input], record: PropertyRecord, plan: Plan) -> Outdated | None:
    """What has changed under a signed plan.

    Parameters
    ----------
    signed : the plan as it was signed.
    inputs : what the property's plan rests on today.
    record : the property today, corrections applied.
    plan : as it would be made today, what was chosen against the advice chosen again.

    Returns
    -------
    Outdated, old and new side by side; None where everything it rests on is as it was.

    Raises
    ------
    Nothing.

    Notes
    -----
    Nothing changes by itself: the signed plan holds until somebody signs anew. That a day has passed, or that newer
    weather has come, does not outdate it.

    References
    ----------
    None; bookkeeping (computed).

    Examples
    --------
    >>> from datetime import date
    >>> from rootcase.records.observe import Property
    >>> from rootcase.records.offer import Signing
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> none = PropertyRecord(owner, (), (), (), (), (), (), (), {})
    >>> day = date(2015, 11, 4)
    >>> plan = Plan("p", (), 0.0, 0.0, None, "CHF", 0.0, 0.0, (), (), True, (), day, 10, 1)
    >>> then = (Input("price", "mulch", "9.5 per_m2", "9.5 per_m2"),)
    >>> signed = SignedPlan("s", "4f2a", "rs", day, Signing(plan, then, "", "e", "0.1.0", 10, None), "standing")
    >>> outdated(signed, then, none, plan) is None
    True
    >>> outdated(signed, [Input("price", "mulch", "11 per_m2", "11 per_m2")], none, plan).changes[0].new
    '11 per_m2'
    """
    changes = tuple(_changes(signed.signing.inputs, inputs, record))
    if not changes:
        return None
    old, new = ({item.tree_id: item for item in each.items} for each in (signed.signing.plan, plan))
    revised = tuple(Revised(tree_id, old.get(tree_id), new.get(tree_id)) for tree_id in dict.fromkeys((*old, *new))
                    if _told(old.get(tree_id)) != _told(new.get(tree_id)))
    return Outdated(changes, revised, signed.signing.plan.total_cost, plan.total_cost)


def _ids(value: object) -> Iterator[str]:
    """Every text inside a result; those that are ids of readings are the readings it names."""
    if isinstance(value, str):
        yield value
    elif is_dataclass(value):
        for each in fields(value):
            yield from _ids(getattr(value, each.name))
    elif isinstance(value, tuple | list):
        for part in value:
            yield from _ids(part)


def _leading(record: PropertyRecord, tree: Tree) -> Iterator[Reading]:
    ground = ground_of(record, [tree])
    for kind in ground.by_kind:
        if kind in kinds() and LEADS_TO_A_PLAN.intersection(kinds()[kind].used_by):
            yield from ground.take(kind)


def _is_wish(reading: Reading) -> bool:
    return reading.kind in kinds() and kinds()[reading.kind].stage == STAGE


def _at(reading: Reading) -> str:
    """Which of several readings of one kind and thing: what a correction leaves as it is."""
    depths = (reading.depth_from_m, reading.depth_to_m, reading.growth_year)
    beside = (f"{name}={text}" for name, text in sorted(reading.attributes.items()))
    return "|".join((reading.visit_id, reading.series, *("" if each is None else f"{each:g}" for each in depths),
                     *beside))


def _reading(reading: Reading) -> Input:
    return Input("wish" if _is_wish(reading) else "reading", reading.kind, reading.id, reading.typed, reading.of,
                 _at(reading))


def _facts(record: PropertyRecord, trees: Sequence[Tree]) -> Iterator[Input]:
    """What is no reading: where the property lies, what ground a tree stands on, which trees it is compared with."""
    ground = record.property
    where = f"{ground.latitude_deg} {ground.longitude_deg} {ground.elevation_m} {ground.currency} {ground.law}"
    yield Input("fact", "property", where, ground.name)
    labels = {tree.id: tree.label for tree in record.trees}
    members = {each.id: each.tree_ids for each in record.yardsticks}
    for tree in trees:
        place = record.place_of(tree)
        where = "" if tree.east_m is None or tree.north_m is None else f" {tree.east_m} {tree.north_m}"
        yield Input("fact", "place", f"{place.id} {place.kind}{where}", place.name, tree.id)
        healthy = members.get(record.compared_with.get(tree.id, ""), ())
        yield Input("fact", "yardstick", " ".join(healthy), ", ".join(labels.get(each, each) for each in healthy),
                    tree.id)
    for water in (place for place in (*record.outlines, *record.places) if place.kind == OPEN_WATER):
        yield Input("fact", "outline", str(water.outline_m), water.name, water.id)
    for area in record.keep_off:
        yield Input("fact", "keep_off", f"{area.outline_m} {area.distance_m}", area.name, area.id)


def _rules(record: PropertyRecord) -> Iterator[Input]:
    for rule in rules_here(record):
        told = [rule.law, "" if rule.value is None else f"{rule.value:g} {rule.unit}", rule.closed_from, rule.closed_to]
        version = " | ".join((*told, *rule.applies_to, rule.source, rule.note))
        yield Input("rule", rule.topic, version, " ".join(filter(None, told)), at=rule.law)


def _effects(record: PropertyRecord) -> Iterator[Input]:
    for said in record.learned:
        middle = f"{100.0 * expm1(said.mean):.0f} %"
        yield Input("effect", said.remedy, f"{said.mean:g} {said.sd:g} {said.promised}", middle)


def _prices(book: PriceBook) -> Iterator[Input]:
    for price in book.prices:
        amount = f"{price.amount:g} {price.unit}"
        yield Input("price", price.item, f"{amount} {price.currency}", amount)
    amount = f"{book.minimum_charge:g}"
    yield Input("price", "minimum charge", f"{amount} {book.currency}", amount)


def _changes(old: Iterable[Input], new: Iterable[Input], record: PropertyRecord) -> Iterator[Change]:
    then, now = _by_key(old), _by_key(new)
    standing = _by_key(_reading(reading) for reading in record.readings)
    for key in dict.fromkeys((*then, *now)):
        before, after = then.get(key, []), now.get(key, [])
        gone = [each for each in before if each.version not in {other.version for other in after}]
        come = [each for each in after if each.version not in {other.version for other in before}]
        for was, is_now in zip_longest(gone, come):
            replaced = is_now or (None if was is None else _in_place_of(was, before, standing.get(key, [])))
            yield Change(key[0], key[1], key[2], "" if was is None else was.shown,
                         "" if replaced is None else replaced.shown, _why(was, replaced, standing.get(key, [])))


def _by_key(inputs: Iterable[Input]) -> dict[Key, list[Input]]:
    found: dict[Key, list[Input]] = defaultdict(list)
    for each in inputs:
        # An engine has no other name than what it is, so the new one takes the old one's place.
        name = "" if each.kind == "engine" else each.name
        found[each.kind, name, each.of, each.at].append(each)
    return found


def _in_place_of(was: Input, before: list[Input], standing: list[Input]) -> Input | None:
    """What a reading was corrected to where the plan has no use for that any more; None where it stands itself."""
    known = {each.version for each in before}
    if any(each.version == was.version for each in standing):
        return None
    return next((each for each in standing if each.version not in known), None)


def _why(was: Input | None, is_now: Input | None, standing: list[Input]) -> Why:
    reading = (was or is_now or Input("engine", "", "")).kind in ("reading", "wish")
    if was is not None and is_now is not None:
        return "corrected" if reading else "changed"
    if was is None:
        return "newer" if reading else "added"
    if not reading:
        return "gone"
    return "no longer used" if any(each.version == was.version for each in standing) else "taken back"


def _told(item: PlanItem | None) -> object:
    """What a person would see of a piece of work."""
    if item is None:
        return None
    doses = tuple(float(f"{value:.{FIGURES}g}") if isinstance(value, float | np.floating) else value
                  for value in (getattr(item.dose, each.name) for each in fields(item.dose)))
    return item.remedy, round(item.cost, 2), round(item.gain_points.mean), doses
