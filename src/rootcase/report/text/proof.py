"""What a practice's own trials say, in words; a null reads as a null, and harm as harm."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import expm1, log1p

from rootcase.ground.dates import show_date
from rootcase.ground.quantity import number
from rootcase.ground.words import say
from rootcase.records.prove import Happened, LeftAlone, LeftOut, Proof, PropertyTrial
from rootcase.report.text.figures import MINUS, sentence
from rootcase.report.text.naming import remedy_name

MOST = 9999
"""Percent past which no shoot grows: a limit of few pairs that lies there is told as that."""


def in_percent(log_ratio: float) -> str:
    """A log ratio of shoots as percent more or less, with its sign.

    >>> in_percent(0.18), in_percent(-0.05)
    ('+20 %', '\\u22125 %')
    """
    return say("proof.percent", share=_signed(log_ratio))


def _signed(log_ratio: float) -> str:
    if log_ratio > log1p(MOST / 100.0):
        return say("proof.over", share=MOST)
    share = round(100.0 * expm1(log_ratio))
    sign = MINUS if share < 0 else "+" if share else ""
    return f"{sign}{abs(share)}"


def proof_finding(proof: Proof) -> str:
    """The finding of one remedy: it helped, it did harm, it cannot be told from nothing, or nothing was read yet."""
    name = sentence(remedy_name(proof.remedy))
    if not proof.look:
        return say("proof.not_yet", remedy=name)
    key = "helped" if proof.low > 0 else "harmed" if proof.high < 0 else "not_told"
    return say(f"proof.{key}", remedy=name, effect=interval(proof.effect, proof.low, proof.high))


def interval(effect: float, low: float, high: float) -> str:
    """An effect with its interval."""
    return say("proof.interval", effect=in_percent(effect), low=_signed(low), high=_signed(high))


def proof_lines(proof: Proof, names: Mapping[str, str], labels: Mapping[str, str]) -> Iterator[str]:
    """Beside the finding: what was compared, what could not be seen, each property, who is left out and why."""
    if proof.look:
        yield say("proof.compared", pairs=proof.pairs, look=proof.look,
                  properties=sum(each.fit is not None for each in proof.properties))
    if proof.least_seen:
        yield say("proof.least_seen", share=in_percent(proof.least_seen))
    for each in proof.properties:
        yield property_line(each, names)
        if each.fit and any(warning.kind == "trend" for warning in each.fit.warnings):
            yield say("proof.trend", property=names.get(each.property_id, each.property_id))
        for one in each.left_out:
            yield left_out_line(one, labels)
        for befell in each.happened:
            yield happened_line(befell, labels)
        if proof.without and len(proof.properties) > 1 and any(befell.disturbing for befell in each.happened):
            yield _without_here(next(rest for rest in proof.without.properties
                                     if rest.property_id == each.property_id), names)
    if proof.without:
        yield without_line(proof, proof.without)


def happened_line(one: Happened, labels: Mapping[str, str]) -> str:
    """What befell a tree that counts, of whichever arm."""
    return say("proof.happened" if one.disturbing else "proof.gone_since",
               tree=sentence(labels.get(one.tree_id, one.tree_id)), what=say(f"proof.befell.{one.what}"),
               arm=say(f"proof.arm.{'treated' if one.treated else 'untreated'}"), day=show_date(one.day),
               note=f": {one.note.rstrip('.')}" if one.note else "")


def _without_here(rest: PropertyTrial, names: Mapping[str, str]) -> str:
    if rest.fit is None:
        return say("proof.too_little", property=say("proof.without_name", property=names.get(rest.property_id,
                                                                                             rest.property_id)))
    return say("proof.without_here", property=names.get(rest.property_id, rest.property_id), pairs=rest.pairs,
               effect=interval(rest.fit.effect, rest.fit.low, rest.fit.high))


def without_line(proof: Proof, rest: Proof) -> str:
    """The answer without the pairs of which a tree was disturbed, and how many trees of each arm were."""
    struck = {(one.tree_id, one.treated) for each in proof.properties for one in each.happened if one.disturbing}
    treated = sum(arm for _, arm in struck)
    if not rest.look:
        return say("proof.without_too_little", treated=treated, untreated=len(struck) - treated)
    return say("proof.without", effect=interval(rest.effect, rest.low, rest.high), pairs=rest.pairs, treated=treated,
               untreated=len(struck) - treated)


def left_alone_line(here: LeftAlone, names: Mapping[str, str]) -> str:
    """How those of a property grew that were signed to be left alone."""
    sure = here.low is not None and here.high is not None
    return say("proof.left_alone", property=names.get(here.property_id, here.property_id),
               change=interval(here.change, here.low or 0.0, here.high or 0.0) if sure else in_percent(here.change),
               trees=number(len(here.trees)))


def property_line(trial: PropertyTrial, names: Mapping[str, str]) -> str:
    """One property's own answer, and what it says after hearing the others."""
    name = names.get(trial.property_id, trial.property_id)
    fit = trial.fit
    if fit is None or trial.heard is None:
        return say("proof.too_little", property=name)
    return say("proof.property", property=name, pairs=trial.pairs, effect=interval(fit.effect, fit.low, fit.high),
               heard=in_percent(trial.heard))


def proof_rows(proof: Proof, names: Mapping[str, str]) -> tuple[tuple[str, str, str, str], ...]:
    """The picture's figures: each property, its pairs, its effect, its effect after hearing the others; then all."""
    unknown = say("picture.not_known")
    rows = [(names.get(each.property_id, each.property_id), number(each.pairs),
             interval(each.fit.effect, each.fit.low, each.fit.high) if each.fit else unknown,
             in_percent(each.heard) if each.heard is not None else unknown) for each in proof.properties]
    return (*rows, (say("proof.picture.together"), number(proof.pairs),
                    interval(proof.effect, proof.low, proof.high), ""))


def left_out_line(one: LeftOut, labels: Mapping[str, str]) -> str:
    """Why a pair says nothing; that a treated tree died is said as plainly as that an untreated one did."""
    more = {"arm": say(f"proof.arm.{'treated' if one.treated else 'untreated'}"),
            "note": f": {one.note.rstrip('.')}" if one.note else ""} if one.why in ("removed", "dead") else {}
    tree = labels.get(one.tree_id, one.tree_id)
    return say(f"proof.left_out.{one.why}", tree=tree, start=sentence(tree),
               partner=labels.get(one.partner_id, one.partner_id), until=number(one.until) if one.until else "", **more)
