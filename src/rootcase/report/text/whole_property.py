"""What is said about the property as a whole: found, proposed, if nothing is done, not known."""

from __future__ import annotations

from collections import Counter

from rootcase.ground.dates import show_date
from rootcase.ground.quantity import show
from rootcase.ground.words import say
from rootcase.records.estimate import Estimate
from rootcase.records.prescribe import PlanItem
from rootcase.records.report import Casework
from rootcase.report.text import one_tree
from rootcase.report.text.beside import stop
from rootcase.report.text.cases import TreeCase
from rootcase.report.text.causes import main_cause
from rootcase.report.text.course import no_fit
from rootcase.report.text.figures import counted, ends, sentence
from rootcase.report.text.naming import looked_for, names, remedy_name
from rootcase.report.text.shares import at_most, between, part
from rootcase.report.text.signs import first_look
from rootcase.report.text.statements import Statement, of_tree

Cases = tuple[TreeCase, ...]
_CAUSES_TOLD = 3
OLD_DAYS = 3 * 365
"""Readings all older than this may no longer be true of a growing tree. JUDGEMENT."""


def headline(cases: Cases) -> list[str]:
    """Return the finding as one or two sentences: how many lag, then the cause they share."""
    read, behind = _read(cases), _behind(cases)
    if not read:
        return [say("report.property.nothing_read")]
    if not behind:
        return [say("report.property.none_behind", count=counted(len(read)))]
    if len(read) == 1:
        return one_tree.headline(behind[0])
    form = "one_behind" if len(behind) == 1 else "some_behind" if len(behind) < len(read) else (
        "both_behind" if len(read) == 2 else "all_behind")
    finding = say(f"report.property.{form}", behind=sentence(counted(len(behind))), count=counted(len(read)),
                  tree=behind[0].tree.label)
    return [finding, cause] if (cause := _common_cause(behind)) else [finding]


def causes(cases: Cases) -> str:
    """Return the two or three causes that matter, a sentence each, where the trees do not share one."""
    behind = _behind(cases)
    if len(_read(cases)) < 2 or not behind or _common_cause(behind):
        return ""
    named: dict[str, dict[str, list[TreeCase]]] = {}
    for case in behind:
        if case.explanation and (cause := main_cause(case.explanation)).word != "not known":
            named.setdefault(cause.name, {}).setdefault(cause.word, []).append(case)
    most = sorted(named.items(), key=lambda item: -sum(map(len, item[1].values())))[:_CAUSES_TOLD]
    return " ".join(_cause_at(name, words) for name, words in most)


def _cause_at(name: str, words: dict[str, list[TreeCase]]) -> str:
    """One cause, the trees where it is likely before those where it may be."""
    cause, sure, may = say(f"report.cause.name.{name}"), words.get("likely", []), words.get("maybe", [])
    if sure and may:
        return say("report.property.cause_both", cause=cause, likely=_few(sure), maybe=_few(may))
    return say(f"report.property.cause_{'likely' if sure else 'maybe'}", cause=cause, trees=_few(sure or may))


def _few(cases: list[TreeCase]) -> str:
    return _labels(cases) if len(cases) <= _CAUSES_TOLD else say("report.property.trees", count=counted(len(cases)))


def sureness(cases: Cases) -> str:
    """Return what we are nearly sure of for each tree that is behind."""
    shares = [case.share for case in _behind(cases) if case.share]
    if not shares:
        return say("report.property.nothing_certain") if _read(cases) else ""
    form = "each" if len(shares) > 1 else "it"
    return say(f"report.property.sure_{form}", interval=between(*_span(shares)))


def found(cases: Cases, casework: Casework) -> list[Statement]:
    """Return what was found, the trees that are well among it."""
    if not _read(cases):
        return [Statement(say("report.found.nothing_read"))]
    statements = []
    causes: dict[tuple[str, str], list[TreeCase]] = {}
    for case in _behind(cases):
        if case.explanation:
            cause = main_cause(case.explanation)
            causes.setdefault((cause.word, "" if cause.word == "not known" else cause.name), []).append(case)
    for word, name in sorted(causes, key=lambda key: ("likely", "maybe", "not known").index(key[0])):
        members = causes[word, name]
        about = tuple(of_tree(c.tree.id, "unexplained" if name in ("", "other") else f"limit.{name}") for c in members)
        cause_name = say(f"report.cause.name.{name}") if name else ""
        text = say(f"report.found.{word.replace(' ', '_')}", cause=cause_name, trees=_labels(members),
                   takes=_takes(name, members))
        statements.append(Statement(text, about))
    hard = [case for case in _behind(cases) if case.explanation and main_cause(case.explanation).name == "strength"]
    if hard:
        worst = min(hard, key=lambda case: case.share.mean if case.share else 1.0)
        if worst.explanation:
            statements.append(one_tree.rooting(worst.explanation, worst.tree.label, casework.record))
    rest = [case for case in _read(cases) if not case.behind]
    for word, members in (("unclear", [case for case in rest if case.unclear]),
                          ("well", [case for case in rest if not case.unclear])):
        if members:
            form = f"{word}_one" if len(members) == 1 else word
            text = say(f"report.found.{form}", trees=sentence(_labels(members)))
            statements.append(Statement(text, _shares(members)))
    return statements


def _takes(name: str, members: list[TreeCase]) -> str:
    """How much of the growth a cause takes at these trees, by the best estimates."""
    points = [_taken(name, case) for case in members]
    low, high = part(min(points) / 100), part(max(points) / 100)
    return say("report.found.one_part", part=low) if low == high else say("report.found.parts", low=low, high=high)


def _taken(name: str, case: TreeCase) -> float:
    explanation = case.explanation
    if explanation is None:
        return 0.0
    if name == "other":
        return explanation.unexplained_points.mean if explanation.unexplained_points else 0.0
    return next((step.points.mean for step in explanation.limits if step.limit == name), 0.0)


def proposed(cases: Cases, casework: Casework) -> list[Statement]:
    """Return what stops work, then the verdicts, leaving alone first."""
    statements = [Statement(text, (of_tree(case.tree.id, "beside"),)) for case in cases
                  if (text := stop(case.tree, casework.record))]
    if not casework.plan.fits:
        statements.append(Statement(no_fit(casework.plan, casework.record)))
    statements += _looked_at_first(cases)
    if alone := [case for case in _with_verdict(cases, "leave it alone") if not case.not_judged
                 and not (case.prescription and case.prescription.first_look)]:
        form = "leave_all" if len(alone) == len(cases) else "leave"
        statements.append(Statement(say(f"report.proposed.{form}", trees=_labels(alone)), _shares(alone)))
    statements += [*_treatments(cases, casework), *_expected(cases), *_past_us(cases)]
    if unread := [case for case in cases if case.not_judged]:
        form = "not_judged_one" if len(unread) == 1 else "not_judged"
        statements.append(Statement(say(f"report.proposed.{form}", trees=_labels(unread), count=counted(len(unread)))))
    return statements


def _looked_at_first(cases: Cases) -> list[Statement]:
    """What of the signs is looked at before all else, where a cause outside the soil leads."""
    groups: dict[str, list[TreeCase]] = {}
    for case in cases:
        if case.prescription and case.prescription.first_look:
            groups.setdefault(case.prescription.first_look, []).append(case)
    return [Statement(first_look(kind, _labels(members)), tuple(of_tree(case.tree.id, "signs") for case in members))
            for kind, members in groups.items()]


def _treatments(cases: Cases, casework: Casework) -> list[Statement]:
    """Each remedy of the plan: at which trees, on how much ground, and what is known of it."""
    chosen: dict[str, list[PlanItem]] = {}
    for item in casework.plan.items:
        chosen.setdefault(item.remedy, []).append(item)
    labels = {tree.id: tree.label for tree in casework.record.trees}
    statements = []
    for remedy, items in chosen.items():
        area = show(sum(item.dose.area_m2 for item in items), "m2", casework.record.property.system)
        text = say("report.proposed.remedy", remedy=sentence(remedy_name(remedy)), area=area,
                   trees=names([labels[item.tree_id] for item in items]), evidence=_evidence(cases, remedy))
        statements.append(Statement(text, tuple(of_tree(item.tree_id, f"remedy.{remedy}") for item in items)))
    return statements


def _expected(cases: Cases) -> list[Statement]:
    """Where the treated trees are expected in five years, beside where they would be by themselves."""
    treated = [case.prescription for case in cases if case.prescription and case.prescription.share_if_chosen
               and case.prescription.chosen not in (None, "nothing")]
    if not treated:
        return []
    then, alone = ([shares[-1] for shares in of] for of in ([plan.share_if_chosen for plan in treated],
                                                            [plan.share_if_nothing for plan in treated]))
    form, span = ("then_each", _means) if len(treated) > 1 else ("then", _span)
    (low, high), (low_alone, high_alone) = ends(*span(then)), ends(*span(alone))
    text = say(f"report.proposed.{form}", low=low, high=high, low_alone=low_alone, high_alone=high_alone)
    return [Statement(text, tuple(of_tree(plan.tree_id, "future") for plan in treated))]


def _past_us(cases: Cases) -> list[Statement]:
    """The trees that nothing on the list helps, by what would."""
    groups: dict[tuple[str, str], list[TreeCase]] = {}
    for case in _with_verdict(cases, "nothing on our list helps"):
        if case.prescription:
            reason = case.prescription.reason
            would = one_tree.what_would(case.prescription) or say(f"prescribe.verdict.{reason}")
            key = "report.proposed.nothing_allowed" if reason == "wishes_bar" else "report.proposed.nothing_helps"
            if case.prescription.too_dear:
                key, would = "report.proposed.too_dear", one_tree.too_dear(case.prescription, case.currency)
            groups.setdefault((key, would), []).append(case)
    return [Statement(say(key, trees=_labels(members), would=would), _shares(members))
            for (key, would), members in groups.items()]


def if_nothing(cases: Cases) -> list[Statement]:
    """Return how the trees that are behind would fare by themselves."""
    behind = [case for case in _behind(cases) if case.prescription and case.prescription.share_if_nothing]
    if not _read(cases):
        return [Statement(say("report.nothing.not_read"))]
    if not behind:
        return [Statement(say("report.nothing.no_haste"))]
    statements = []
    for form in ("same", "better", "worse"):
        members = [case for case in behind if one_tree.moves(case) == form]
        last = [case.prescription.share_if_nothing[-1] for case in members if case.prescription]
        if last:
            low, high = ends(*_span(last))
            statements.append(Statement(
                say(f"report.nothing.{form}", trees=sentence(_labels(members)), low=low, high=high),
                tuple(of_tree(case.tree.id, "future") for case in members)))
    return statements


def old_readings(casework: Casework) -> str:
    """Return that what the plan rests on was read long ago; empty where some of it was read lately."""
    newest = max((reading.day for reading in casework.record.readings), default=casework.made_on)
    if (casework.made_on - newest).days <= OLD_DAYS:
        return ""
    return say("report.unknown.old", day=show_date(newest))


def not_known(cases: Cases, casework: Casework) -> list[Statement]:
    """Return what was not looked at and what may lie outside the soil."""
    statements = [Statement(old)] if (old := old_readings(casework)) else []
    if unread := [case for case in cases if case.share is None]:
        statements.append(Statement(say("report.unknown.growth", trees=_labels(unread))))
    missing = Counter(kind for case in _behind(cases) if case.explanation for kind in case.explanation.missing)
    if missing:
        kinds = looked_for([kind for kind, _ in missing.most_common()])
        statements.append(Statement(say("report.unknown.kinds", kinds=kinds)))
    covered = [case for case in cases
               if any(r.choice == "not_looked" for r in casework.record.of(case.tree.id, kind="root_flare_state"))]
    if covered:
        statements.append(Statement(say("report.unknown.flare", trees=_labels(covered))))
    left = [case for case in _behind(cases) if case.explanation and case.explanation.unexplained_points
            and case.explanation.unexplained_points.high > 0]
    if left:
        most = max(left, key=_most_unexplained)
        statements.append(Statement(say("report.unknown.other", most=at_most(_most_unexplained(most) / 100),
                                        tree=most.tree.label),
                                    tuple(of_tree(case.tree.id, "unexplained") for case in left)))
    return statements


def _common_cause(behind: list[TreeCase]) -> str:
    """The cause named at half of the trees or more, with the weaker of the two words; empty where there is none."""
    causes = [main_cause(case.explanation) for case in behind if case.explanation]
    named = Counter(cause.name for cause in causes if cause.word != "not known")
    if not named:
        return say("report.cause.not_known")
    name, count = named.most_common(1)[0]
    if 2 * count < len(behind):
        return ""
    word = "likely" if all(c.word == "likely" for c in causes if c.name == name) else "maybe"
    where = "all" if count == len(behind) else "most"
    return say(f"report.property.{word}_{where}", cause=say(f"report.cause.name.{name}"), count=counted(count))


def _evidence(cases: Cases, remedy: str) -> str:
    """What is known about a remedy, from any tree it was reckoned for."""
    for case in cases:
        for outcome in case.prescription.remedies if case.prescription else ():
            if outcome.remedy == remedy:
                return say(f"report.evidence.{outcome.evidence.replace(' ', '_')}")
    return ""


def _most_unexplained(case: TreeCase) -> float:
    return case.explanation.unexplained_points.high if case.explanation and case.explanation.unexplained_points else 0.0


def _span(shares: list[Estimate]) -> tuple[float, float]:
    return min(share.low for share in shares), max(share.high for share in shares)


def _means(shares: list[Estimate]) -> tuple[float, float]:
    return min(share.mean for share in shares), max(share.mean for share in shares)


def _shares(cases: list[TreeCase]) -> tuple[str, ...]:
    return tuple(of_tree(case.tree.id, "share") for case in cases)


def _with_verdict(cases: Cases, verdict: str) -> list[TreeCase]:
    return [case for case in cases if case.prescription and case.prescription.verdict == verdict]


def _read(cases: Cases) -> list[TreeCase]:
    return [case for case in cases if case.share is not None]


def _behind(cases: Cases) -> list[TreeCase]:
    return [case for case in cases if case.behind]


def _labels(cases: list[TreeCase]) -> str:
    return names([case.tree.label for case in cases])
