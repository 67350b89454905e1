"""What is said about one tree: the finding, the verdict, the doubt."""

from __future__ import annotations

from collections.abc import Sequence

from rootcase.ground.quantity import interval, show
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.explain import Explanation
from rootcase.records.observe import PropertyRecord
from rootcase.records.prescribe import RemedyOutcome, TreePrescription
from rootcase.report.text.beside import SEEN_AT_A_TREE
from rootcase.report.text.cases import TreeCase
from rootcase.report.text.causes import cause_sentence, larger_sentence, main_cause
from rootcase.report.text.course import course_lines, years_text
from rootcase.report.text.doses import beside, dose_text
from rootcase.report.text.figures import ends, listed, loss, money, percent, sentence
from rootcase.report.text.naming import limit_name, looked_for, month_of, named_kinds, remedy_name
from rootcase.report.text.readings import unused
from rootcase.report.text.shares import at_most, between, nearest, of_its_kind
from rootcase.report.text.signs import change_of_mind_outside, first_look, look_for, looked_at
from rootcase.report.text.statements import Statement, of_tree

_INCHES = ("in", "cm")


def headline(case: TreeCase) -> list[str]:
    """Return the finding in sentences: the growth, the cause, and what takes more on the mean if that is another."""
    label = sentence(case.tree.label)
    if case.share is None:
        return [say("report.tree.not_read", tree=case.tree.label)]
    if case.share.low > 1:
        return [say("report.tree.above_its_kind", tree=label)]
    if not case.behind:
        return [say("report.tree.unclear" if case.unclear else "report.tree.like_its_kind", tree=label)]
    growth = say("report.tree.grows", tree=label, share=of_its_kind(case.share))
    if case.explanation is None:
        return [growth]
    cause = main_cause(case.explanation)
    return [growth, *filter(None, [cause_sentence(cause), larger_sentence(case.explanation, cause)])]


def basis(case: TreeCase, record: PropertyRecord) -> Statement:
    """Return of what, how sure and against what."""
    comparison = case.comparison
    about = (of_tree(case.tree.id, "share"),)
    if comparison is None or comparison.share is None:
        return Statement(say("report.tree.no_share"), about)
    share, (low, high) = percent(comparison.share)[0], ends(comparison.share.low, comparison.share.high)
    if comparison.basis == "growth class":
        against = say("report.tree.against_class")
    else:
        group = next((y.label for y in record.yardsticks if y.id == comparison.yardstick_id), "")
        against = say("report.tree.against_yardstick", count=comparison.yardstick_tree_count, group=group)
    return Statement(say("report.tree.basis", share=share, low=low, high=high, against=against), about)


def sureness(case: TreeCase) -> str:
    """Return the interval in a client's words, empty where nothing was read."""
    if case.share is None:
        return ""
    return say("report.sure", interval=between(case.share.low, case.share.high))


def rooting(explanation: Explanation, label: str, record: PropertyRecord) -> Statement:
    """Return how deep roots can live here and under the healthy kind."""
    system, here, there = record.property.system, explanation.soil, explanation.yardstick_soil
    unit = _INCHES[system == "metric"]
    low, high = (convert(depth_m, "m", unit) for depth_m in (here.rootable_depth_m.low, here.rootable_depth_m.high))
    return Statement(
        say("report.tree.rooting", tree=label, depth=show(here.rootable_depth_m.mean, "m", system, _INCHES),
            interval=interval(low, high),
            there=show(there.rootable_depth_m.mean, "m", system, _INCHES)),
        (of_tree(explanation.tree_id, "rootable"),))


def unexplained(case: TreeCase) -> Statement | None:
    """Return what is left over once the soil has had its say, None where growth was not read."""
    explanation = case.explanation
    if explanation is None or explanation.unexplained_points is None:
        return None
    points = explanation.unexplained_points
    if points.low > 0:
        text = say("report.tree.something_else", interval=between(points.low / 100, points.high / 100))
    elif points.high < 0:
        text = say("report.tree.better_than_soil")
    elif nearest(points.high / 100) == 0:
        text = say("report.tree.nothing_else")
    else:
        text = say("report.tree.may_be_else", most=at_most(points.high / 100))
    if explanation.conditioned and explanation.conditioned.disagree:
        text = f"{text} {say('report.tree.disagree')}"
    return Statement(text, (of_tree(case.tree.id, "unexplained"),))


def conditioned(explanation: Explanation) -> str:
    """Return what the readings say once the growth that was seen is taken in, never part of the waterfall; empty where
    none was."""
    result = explanation.conditioned
    if result is None:
        return ""
    limits = sorted(result.limits, key=lambda step: -step.points.mean)
    named = ", ".join(f"{limit_name(step.limit)} {loss(step.points)[0]} ({loss(step.points)[1]})"
                      for step in limits if abs(step.points.mean) >= 1)
    other, of_other = loss(result.other_cause_points)
    return say("terminal.conditioned", limits=named, chance=f"{result.chance_other_cause:.2f}", other=other,
               interval=of_other)


def change_of_mind(case: TreeCase) -> str:
    """Return what would change our mind about the cause; empty where no cause is named."""
    if case.explanation is None or not case.behind:
        return ""
    cause = main_cause(case.explanation)
    if cause.name == "other" and (outside := change_of_mind_outside(case.explanation)):
        return outside
    return "" if cause.word == "not known" else say(f"report.change_mind.{cause.name}")


def not_looked_at(case: TreeCase, record: PropertyRecord) -> str:
    """Return what nobody looked at or could read at this tree, by its labels; absent data are never fine."""
    kinds, useless = _not_looked_kinds(case, record), unused(case.missing, case.tree, record)
    told = [say("report.tree.not_looked", kinds=named_kinds(kinds))] if kinds else []
    told += [say("report.tree.unused", kinds=named_kinds(list(useless)))] if useless else []
    return _and_how_deep(" ".join(told), case, record)


def not_found_out(case: TreeCase, record: PropertyRecord) -> str:
    """Return the same in a client's words."""
    kinds = _not_looked_kinds(case, record)
    return _and_how_deep(say("report.tree.not_found_out", kinds=looked_for(kinds)) if kinds else "", case, record)


def beyond(case: TreeCase) -> str:
    """Return what was read beyond a formula's range and taken at its limit."""
    return " ".join(say(doubt) for doubt in case.explanation.doubts) if case.explanation else ""


def turned(case: TreeCase) -> str:
    """Return which laboratory readings were turned into the way the model takes them, and by how much.

    What was turned at the yardstick by the same way is told with the tree's own.
    """
    every = case.explanation.turned if case.explanation else ()
    told = []
    for way in dict.fromkeys(each.way for each in every):
        same = [each for each in every if each.way == way]
        words = say(f"explain.turned.{way}", by=interval(min(each.least for each in same),
                                                         max(each.most for each in same)))
        only_there = all(each.at_yardstick for each in same)
        told.append(say("explain.turned.at_yardstick", told=words) if only_there else words)
    return " ".join(told)


def _and_how_deep(text: str, case: TreeCase, record: PropertyRecord) -> str:
    if case.explanation and case.explanation.soil.known_to_m > 0:
        depth = show(case.explanation.soil.known_to_m, "m", record.property.system, _INCHES)
        return f"{text} {say('report.tree.not_below', depth=depth)}".strip()
    return text


def _not_looked_kinds(case: TreeCase, record: PropertyRecord) -> list[str]:
    """What was tried or seen to be out of reach, then what would narrow the answer; each kind once."""
    readings = record.of(case.tree.id, *(pit.id for pit in record.pits_of(case.tree.id)))
    blank = [r.kind for r in readings if r.nothing in ("not looked", "not read") or r.choice == "not_looked"]
    read = {r.kind for r in readings if r.kind not in blank or r.value is not None}
    read |= {*unused(case.missing, case.tree, record)}
    kinds = dict.fromkeys([*blank, *case.missing])
    return [kind for kind in kinds if kind not in read and kind not in SEEN_AT_A_TREE]


def verdict(case: TreeCase, *, priced: bool = True) -> Statement | None:
    """Return the verdict in one or two sentences, None before the plan is made; without prices for who sees none."""
    plan = case.prescription
    if plan is None:
        return None
    label = sentence(case.tree.label)
    look = say("report.verdict.read_next") if case.not_judged else say("report.verdict.look",
                                                                       when=month_of(plan.look_again))
    treated = plan.chosen not in (None, "nothing")
    about = (of_tree(case.tree.id, f"remedy.{plan.chosen}" if treated else "share"),)
    if case.not_judged:
        text = say("report.verdict.not_judged", tree=label)
    elif plan.first_look:
        text = first_look(plan.first_look, case.tree.label)
    elif plan.verdict == "leave it alone":
        text = say("report.verdict.leave", tree=label)
    elif plan.verdict == "treat" and plan.chosen:
        text = say("report.verdict.treat", tree=label, remedy=remedy_name(plan.chosen))
    elif plan.verdict == "treat":
        text = say("report.verdict.waits", tree=label)
    elif plan.too_dear and not priced:
        return Statement(f"{label}: {say('report.short.too_dear')}. {look}", about)
    elif plan.too_dear:
        text = f"{label}: {too_dear(plan, case.currency)} {what_would(plan)}".strip()
    else:
        helps = say("report.verdict.nothing_allowed" if plan.reason == "wishes_bar" else "report.verdict.nothing_helps",
                    tree=case.tree.label)
        text = f"{helps} {what_would(plan)}".strip()
    told = plan.reason == "too_dear" and plan.too_dear  # the price and its worth say it
    reason = say(f"prescribe.verdict.{plan.reason}") if plan.reason and not told else ""
    outside = look_for(case.explanation) if plan.reason == "not_the_soil" else ""
    near = _nearly_as_good(case) if priced else ""
    return Statement(" ".join(part for part in (text, reason, near, outside, look) if part), about)


def proposed(case: TreeCase) -> str:
    """Return what is proposed at a tree in a few words, or that nothing is and why; empty before the plan is made."""
    plan = case.prescription
    if plan is None:
        return ""
    if case.not_judged:
        return say("report.short.not_judged")
    if plan.first_look:
        return say("report.short.first_look", what=looked_at(plan.first_look))
    if plan.verdict == "treat":
        return sentence(remedy_name(plan.chosen)) if plan.chosen else say("report.short.waits")
    if plan.verdict == "leave it alone":
        return sentence(remedy_name("nothing"))
    return say(f"report.short.{plan.reason}" if plan.reason in ("wishes_bar", "too_dear") else "report.short.nothing")


def too_dear(plan: TreePrescription, currency: str) -> str:
    """What would help, what it gains and costs, and what that was judged worth."""
    would = next(outcome for outcome in plan.remedies if outcome.remedy == plan.too_dear)
    gain = would.gain_points.mean if would.gain_points else 0.0
    return say("report.verdict.too_dear", remedy=remedy_name(plan.too_dear), gain=f"{gain:.0f}",
               cost=money(would.cost, currency), worth=money(plan.worth_m2, currency))


def _nearly_as_good(case: TreeCase) -> str:
    """What would do as well for all the draws can tell, with its price."""
    plan = case.prescription
    costs = {} if plan is None else {outcome.remedy: outcome.cost for outcome in plan.remedies}
    others = [say("report.verdict.near", remedy=remedy_name(code), cost=money(costs[code], case.currency))
              for code in (plan.nearly_as_good if plan else ())]
    return say("report.verdict.nearly", others="; ".join(others)) if others else ""


def told_alike(cases: Sequence[TreeCase]) -> list[list[TreeCase]]:
    """Return the cases in their order, those that nothing is judged of for one reason as one group."""
    groups: dict[str, list[TreeCase]] = {}
    for case in cases:
        said = verdict(case) if case.not_judged else None
        groups.setdefault(said.text.partition(": ")[2] if said else case.tree.id, []).append(case)
    return list(groups.values())


def what_would(plan: TreePrescription) -> str:
    """Return what would help where nothing on the list does; empty where a wish, money or a price stands before it."""
    if not plan.what_would:
        return say("report.verdict.nothing_known") if plan.reason in ("", "past_our_means") else ""
    return say("report.verdict.would", remedies=sentence(listed([remedy_name(code) for code in plan.what_would])))


def future(case: TreeCase) -> Statement | None:
    """Return where the tree is expected to be in five years, left alone and with the proposal."""
    plan = case.prescription
    if plan is None or not plan.share_if_nothing:
        return None
    share, interval_text = percent(plan.share_if_nothing[-1])
    text = say("report.tree.if_nothing", share=share, interval=interval_text)
    if plan.chosen and plan.share_if_chosen:
        share, interval_text = percent(plan.share_if_chosen[-1])
        text = f"{text} {say('report.tree.if_chosen', share=share, interval=interval_text)}"
    return Statement(text, (of_tree(case.tree.id, "future"),))


def moves(case: TreeCase) -> str:
    """Return "better", "worse" or "same": how the tree fares by itself over five years."""
    plan = case.prescription
    if plan is None or len(plan.share_if_nothing) < 2:
        return "same"
    first, last = (nearest(plan.share_if_nothing[i].mean) for i in (0, -1))
    return "better" if last > first else "worse" if last < first else "same"


def dose_in_short(outcome: RemedyOutcome, record: PropertyRecord) -> str:
    """Return the dose of a remedy; of a chosen course when what is done, as doses stand on the plan's own page."""
    ground = record.property
    southern = ground.latitude_deg < 0
    if {step.remedy for step in outcome.steps} - {outcome.remedy}:
        return years_text(outcome.steps, southern=southern) if outcome.verdict == "chosen" else ""
    return dose_text(outcome.dose, ground.system, southern) if outcome.dose else ""


def work_of(outcome: RemedyOutcome, record: PropertyRecord) -> list[str]:
    """Return the work of a chosen remedy, a sentence a piece of it with its dose; of one without steps its dose."""
    ground, southern = record.property, record.property.latitude_deg < 0
    if outcome.steps:
        return course_lines(outcome.steps, ground.system, southern=southern)
    return [f"{sentence(dose_text(outcome.dose, ground.system, southern))}."] if outcome.dose else []


def notes_of(outcome: RemedyOutcome, record: PropertyRecord) -> list[str]:
    """Return what stands beside the doses of a chosen remedy: minutes on the clock, the inch rule, what is open."""
    doses = [step.dose for step in outcome.steps] or [outcome.dose]
    return list(dict.fromkeys(note for dose in doses if dose for note in beside(dose, record.property.system)))
