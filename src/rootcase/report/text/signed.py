"""A signed plan in words: who signed what, who stays untreated, what has changed since."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import replace

from rootcase.ground.dates import show_date
from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord
from rootcase.records.offer import Arms, Change, Outdated, Pair, Revised, SignedPlan
from rootcase.records.prescribe import Plan, PlanItem
from rootcase.records.report import Casework
from rootcase.report.text.doses import dose_text
from rootcase.report.text.figures import counted, money, sentence, signed
from rootcase.report.text.naming import kind_name, month_of, names, remedy_name, subjects
from rootcase.report.text.signs import read_next
from rootcase.tables.load import table

_FIGURES_OF_MARK = 8


def mark_shown(mark: str) -> str:
    """Return the first figures of a mark, in fours, as they are read out.

    >>> mark_shown("44136fa355b3678a1146ad16f7e8649e")
    '4413 6fa3'
    """
    return " ".join(mark[at:at + 4] for at in range(0, _FIGURES_OF_MARK, 4))


def signature(plan: SignedPlan) -> str:
    """Return who signed, when, and the mark."""
    return say("sign.signature", day=show_date(plan.day), by=plan.by, mark=mark_shown(plan.mark))


def signature_of(casework: Casework) -> str:
    """Return whether the plan of these pages is signed; empty where no plan is."""
    if casework.signed is None:
        return ""
    key = "sign.page" if _same_work(casework.signed.signing.plan, casework.plan) else "sign.page_other"
    return say(key, plan=signature(casework.signed))


def mark_of_plan(casework: Casework) -> str:
    """Return the mark of the plan of these pages, as its offer bears it: of the signed text where it is signed."""
    signed = casework.signed
    if signed is not None and _same_work(signed.signing.plan, casework.plan):
        return signed.mark
    return casework.plan_mark


def arms_of(casework: Casework) -> tuple[Arms, ...]:
    """Return the arms that were drawn for the plan of these pages; none where another plan is signed."""
    signed = casework.signed
    if signed is None or not _same_work(signed.signing.plan, casework.plan):
        return ()
    return tuple(arms for arms in signed.signing.arms if arms.pairs)


def laid_out(plan: Plan, arms: Iterable[Arms]) -> Plan:
    """Return the plan with what is really done at the trees that go without."""
    rest = {pair.untreated: pair.rest for each in arms if not each.apart for pair in each.pairs}
    items = (replace(item, remedy=rest.get(item.tree_id, item.remedy)) for item in plan.items)
    return replace(plan, items=tuple(item for item in items if item.remedy != "nothing"))


def tree_names(record: PropertyRecord, plan: SignedPlan) -> dict[str, str]:
    """Return what each tree of a plan is called today; one that is no longer there by its id."""
    signing = plan.signing
    ids = [tree.tree_id for tree in signing.plan.trees]
    for arms in signing.arms:
        ids += [*arms.outside, *(each for pair in arms.pairs for each in (pair.treated, pair.untreated))]
    return {each: each for each in ids} | {tree.id: tree.label for tree in record.trees}


def against_lines(plan: SignedPlan, labels: dict[str, str]) -> list[str]:
    """Return what was chosen against the advice, each once, and why."""
    signing = plan.signing
    found = [say("sign.against", tree=sentence(labels[each.tree_id]), taken=_remedy(each.taken),
                 advised=_remedy(each.advised), cost=money(each.cost, signing.plan.currency))
             for each in signing.against]
    return [*found, say("sign.reason", reason=signing.reason)] if signing.reason else found


def alone_line(plan: SignedPlan, labels: dict[str, str]) -> str:
    """Return the trees at which nothing is done, those that were not judged apart; empty where something is done at
    all."""
    working = {item.tree_id for item in plan.signing.plan.items}
    idle = [tree for tree in plan.signing.plan.trees if tree.tree_id not in working]
    alone, unread = ([labels[tree.tree_id] for tree in idle if tree.judged is judged] for judged in (True, False))
    return " ".join(say(f"sign.{form}", trees=names(those))
                    for form, those in (("alone", alone), ("not_judged", unread)) if those)


def looks_ahead(plan: SignedPlan, labels: dict[str, str]) -> list[str]:
    """Return when to look again at which trees; signing books it."""
    by_month: dict[tuple[int, int], list[str]] = {}
    trees = [tree for tree in plan.signing.plan.trees if tree.judged]
    for tree in sorted(trees, key=lambda tree: tree.look_again):
        by_month.setdefault((tree.look_again.year, tree.look_again.month), []).append(tree.tree_id)
    days = {(tree.look_again.year, tree.look_again.month): tree.look_again for tree in trees}
    unread = [labels[tree.tree_id] for tree in plan.signing.plan.trees if not tree.judged]
    return [*read_next(unread), *(say("sign.look", month=month_of(days[month]),
                                      trees=names([labels[each] for each in those]))
                                  for month, those in by_month.items())]


def arms_lines(arms: Arms, labels: dict[str, str], currency: str) -> list[str]:
    """Return who gets the thing in doubt and who does not, and what that costs."""
    return [*pairs_lines(arms, labels), *arms_cost(arms, currency)]


def pairs_lines(arms: Arms, labels: dict[str, str], drawn: Collection[Pair] | None = None) -> list[str]:
    """Return who gets the thing in doubt and who does not; of pairs that are yet to be drawn that a lot decides.

    drawn: the pairs that are drawn already, where the others are not; None: all are.
    """
    evidence = say(f"report.evidence.{arms.evidence.replace(' ', '_')}")
    lines = [say("sign.doubt", thing=sentence(remedy_name(arms.doubt)), evidence=evidence)]
    if not arms.pairs:
        return [*lines, say("sign.no_pairs")]
    lines += [_pair(pair, labels) if drawn is None or pair in drawn else _pair_ahead(pair, labels)
              for pair in arms.pairs]
    lines.append(say("sign.one_pair") if len(arms.pairs) == 1 else
                 say("sign.pairs", count=sentence(counted(len(arms.pairs)))))
    if arms.outside:
        lines.append(say("sign.outside_apart" if arms.apart else "sign.outside",
                         trees=names([labels[each] for each in arms.outside])))
    return lines


def arms_cost(arms: Arms, currency: str) -> list[str]:
    """Return what a trial costs on top of the plan, or saves of it."""
    if not arms.pairs or (not arms.apart and arms.spared is None):
        return []
    return [say("sign.on_top", cost=money(arms.cost, currency)) if arms.apart
            else say("sign.spared", cost=money(arms.spared, currency))]


def total_lines(plan: SignedPlan) -> list[str]:
    """Return what the plan costs as advised, and with the trial."""
    signing = plan.signing
    lines = [say("sign.total", cost=money(signing.plan.total_cost, signing.plan.currency))]
    extra = [(arms.cost if arms.apart else 0.0, arms.spared) for arms in signing.arms if arms.pairs]
    known = [(cost, spared) for cost, spared in extra if cost is not None and spared is not None]
    if extra and len(known) == len(extra):
        with_trial = signing.plan.total_cost + sum(cost - spared for cost, spared in known)
        lines.append(say("sign.total_trial", cost=money(with_trial, signing.plan.currency)))
    return lines


def rests_on(plan: SignedPlan) -> str:
    """Return how much a plan rests on."""
    kinds = [each.kind for each in plan.signing.inputs]
    counts = {kind: f"{kinds.count(kind):,}" for kind in ("reading", "wish", "rule", "price", "table")}
    text = say("sign.rests_on", **counts)
    tried = [remedy_name(each.name) for each in plan.signing.inputs if each.kind == "effect"]
    if tried:
        text = f"{text} {say('feed.rests', remedies=names(tried))}"
    ends = plan.signing.weather_ends
    return text if ends is None else f"{text} {say('sign.weather', day=show_date(ends))}"


def change_lines(record: PropertyRecord, changes: Iterable[Change]) -> list[str]:
    """Return each changed input in a line, those of one kind, thing and reason together."""
    called = subjects(record)
    groups: dict[tuple[str, str, str, str], list[Change]] = {}
    for change in changes:
        groups.setdefault((change.kind, change.name, change.of, change.why), []).append(change)
    return [_change(found, called) for found in groups.values()]


def revised_lines(record: PropertyRecord, outdated: Outdated, labels: dict[str, str], currency: str) -> list[str]:
    """Return what each tree had in the plan and what it would have."""
    if not outdated.revised:
        return [say("sign.same_figures")]
    lines = [_revised(each, record, labels, currency) for each in outdated.revised]
    return [*lines, say("sign.totals", old=money(outdated.old_cost, currency), new=money(outdated.new_cost, currency))]


def _same_work(one: Plan, other: Plan) -> bool:
    """Whether both do the same at the same trees for the same money."""
    mine, theirs = ([(item.tree_id, item.remedy, round(item.cost, 2)) for item in plan.items] for plan in (one, other))
    return mine == theirs


def _remedy(code: str) -> str:
    return say("sign.leave_alone") if code == "nothing" else remedy_name(code)


def _pair(pair: Pair, labels: dict[str, str]) -> str:
    key = "sign.pair_alone" if pair.rest == "nothing" else "sign.pair"
    return say(key, treated=sentence(labels[pair.treated]), untreated=labels[pair.untreated], seed=pair.seed,
               rest=_remedy(pair.rest))


def _pair_ahead(pair: Pair, labels: dict[str, str]) -> str:
    one, other = sorted((labels[pair.treated], labels[pair.untreated]))
    return say("plans.pair_ahead", one=sentence(one), other=other, rest=_remedy(pair.rest))


def _change(found: list[Change], called: dict[str, str]) -> str:
    first = found[0]
    what = _named(first)
    thing = called.get(first.of, "")
    subject = sentence(say("sign.of", thing=thing, what=what) if thing else what)
    why = say(f"sign.why.{first.why.replace(' ', '_')}")
    if len(found) > 1:
        return say("sign.changes", subject=subject, count=len(found), why=why)
    if first.why == "corrected" and first.old == first.new:
        return say("sign.change_same", subject=subject, now=first.new)
    old, new = (_plain(first.kind, text) for text in (first.old, first.new))
    if old and new:
        return say("sign.change", subject=subject, old=old, new=new, why=why)
    told = old or new
    return say("sign.change_one", subject=subject, told=told, why=why) if told else say(
        "sign.change_bare", subject=subject, why=why)


def _plain(kind: str, text: str) -> str:
    """A price's unit as a person writes it; all else as it stands."""
    return text.replace("per_", "per ").replace("m2", "m²").replace("m3", "m³") if kind == "price" else text


def _named(change: Change) -> str:
    if change.kind in ("reading", "wish"):
        return kind_name(change.name)
    name = change.name.replace("_", " ")
    if change.kind == "table":
        name = table(change.name).title if change.why != "gone" else change.name
    return say(f"sign.input.{change.kind}", name=name)


def _revised(each: Revised, record: PropertyRecord, labels: dict[str, str], currency: str) -> str:
    return say("sign.revised", tree=sentence(labels.get(each.tree_id, each.tree_id)),
               old=_work(each.old, record, currency), new=_work(each.new, record, currency))


def _work(item: PlanItem | None, record: PropertyRecord, currency: str) -> str:
    if item is None:
        return say("sign.nothing")
    return say("sign.work", remedy=remedy_name(item.remedy), cost=money(item.cost, currency),
               gain=signed(item.gain_points.mean), dose=dose_text(item.dose, record.property.system))
