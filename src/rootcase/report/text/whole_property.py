"""What is said about the property as a whole: found, proposed, if nothing is done, not known."""

from __future__ import annotations

from collections import Counter

from rootcase.ground.quantity import show
from rootcase.ground.words import say
from rootcase.records.estimate import Estimate
from rootcase.records.report import Casework
from rootcase.report.text import one_tree
from rootcase.report.text.cases import TreeCase
from rootcase.report.text.causes import main_cause
from rootcase.report.text.figures import counted, ends, sentence
from rootcase.report.text.naming import named_kinds, names, remedy_name
from rootcase.report.text.shares import between, part
from rootcase.report.text.statements import Statement, of_tree

Cases = tuple[TreeCase, ...]


def headline(cases: Cases) -> list[str]:
    """Return the finding as one or two sentences: how many lag, then the cause they share."""
    read, behind = _read(cases), _behind(cases)
    if not read:
        return [say("report.property.nothing_read")]
    if not behind:
        return [say("report.property.none_behind", count=counted(len(read)))]
    if len(read) == 1:
        return one_tree.headline(behind[0])
    form = "one_behind" if len(behind) == 1 else "some_behind"
    finding = say(f"report.property.{form}", behind=sentence(counted(len(behind))), count=counted(len(read)),
                  tree=behind[0].tree.label)
    return [finding, _common_cause(behind)]


def sureness(cases: Cases) -> str:
    """Return what we are nearly sure of for each tree that is behind."""
    shares = [case.share for case in _behind(cases) if case.share]
    if not shares:
        return say("report.property.nothing_certain") if _read(cases) else ""
    form = "each" if len(shares) > 1 else "it"
    return say(f"report.property.sure_{form}", interval=between(*_span(shares)))


def found(cases: Cases, casework: Casework) -> list[Statement]:
    """Return what was found, the trees that are well among it."""
    statements = []
    groups: dict[tuple[str, str], list[TreeCase]] = {}
    for case in _behind(cases):
        if case.explanation:
            cause = main_cause(case.explanation)
            groups.setdefault((cause.word, "" if cause.word == "not known" else cause.name), []).append(case)
    for word, name in sorted(groups, key=lambda key: ("likely", "maybe", "not known").index(key[0])):
        members = groups[word, name]
        about = tuple(of_tree(c.tree.id, "unexplained" if name in ("", "other") else f"limit.{name}") for c in members)
        cause_name = say(f"report.cause.name.{name}") if name else ""
        text = say(f"report.found.{word.replace(' ', '_')}", cause=cause_name, trees=_labels(members))
        statements.append(Statement(text, about))
    hard = [case for case in _behind(cases) if case.explanation and main_cause(case.explanation).name == "strength"]
    if hard:
        worst = min(hard, key=lambda case: case.share.mean if case.share else 1.0)
        if worst.explanation:
            statements.append(one_tree.rooting(worst.explanation, worst.tree.label, casework.record))
    if well := [case for case in _read(cases) if not case.behind]:
        form = "well_one" if len(well) == 1 else "well"
        statements.append(Statement(say(f"report.found.{form}", trees=sentence(_labels(well))),
                                    tuple(of_tree(case.tree.id, "share") for case in well)))
    return statements


def proposed(cases: Cases, casework: Casework) -> list[Statement]:
    """Return the verdicts, leaving alone first."""
    plan, statements = casework.plan, []
    if not plan.fits:
        statements.append(Statement(say("report.proposed.no_fit")))
    if alone := _with_verdict(cases, "leave it alone"):
        form = "leave_all" if len(alone) == len(cases) else "leave"
        statements.append(Statement(say(f"report.proposed.{form}", trees=_labels(alone)),
                                    tuple(of_tree(case.tree.id, "share") for case in alone)))
    chosen: dict[str, list[str]] = {}
    for item in plan.items:
        chosen.setdefault(item.remedy, []).append(item.tree_id)
    labels = {tree.id: tree.label for tree in casework.record.trees}
    for remedy, tree_ids in chosen.items():
        area = sum(item.dose.area_m2 for item in plan.items if item.remedy == remedy)
        text = say("report.proposed.remedy", remedy=sentence(remedy_name(remedy)),
                   trees=names([labels[tree_id] for tree_id in tree_ids]),
                   area=show(area, "m2", casework.record.property.system), evidence=_evidence(cases, remedy))
        statements.append(Statement(text, tuple(of_tree(tree_id, f"remedy.{remedy}") for tree_id in tree_ids)))
    treated = [case.prescription for case in cases if case.prescription and case.prescription.share_if_chosen
               and case.prescription.chosen not in (None, "nothing")]
    if treated:
        alone = ends(*_span([plan.share_if_nothing[-1] for plan in treated]))
        then = ends(*_span([plan.share_if_chosen[-1] for plan in treated]))
        text = say("report.proposed.then", low=then[0], high=then[1], low_alone=alone[0], high_alone=alone[1])
        statements.append(Statement(text, tuple(of_tree(plan.tree_id, "future") for plan in treated)))
    past_us: dict[str, list[TreeCase]] = {}
    for case in _with_verdict(cases, "nothing on our list helps"):
        if case.prescription:
            past_us.setdefault(one_tree.what_would(case.prescription), []).append(case)
    statements += [Statement(say("report.proposed.nothing_helps", trees=_labels(members), would=would),
                             tuple(of_tree(case.tree.id, "share") for case in members))
                   for would, members in past_us.items()]
    return statements


def if_nothing(cases: Cases) -> list[Statement]:
    """Return how the trees that are behind would fare by themselves."""
    behind = [case for case in _behind(cases) if case.prescription and case.prescription.share_if_nothing]
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


def not_known(cases: Cases, casework: Casework) -> list[Statement]:
    """Return what was not looked at and what may lie outside the soil."""
    statements = []
    if unread := [case for case in cases if case.share is None]:
        statements.append(Statement(say("report.unknown.growth", trees=_labels(unread))))
    missing = Counter(kind for case in _behind(cases) if case.explanation for kind in case.explanation.missing)
    if missing:
        kinds = named_kinds([kind for kind, _ in missing.most_common()])
        statements.append(Statement(say("report.unknown.kinds", kinds=kinds)))
    covered = [case for case in cases
               if any(r.choice == "not_looked" for r in casework.record.of(case.tree.id, kind="root_flare_state"))]
    if covered:
        statements.append(Statement(say("report.unknown.flare", trees=_labels(covered))))
    left = [case for case in _behind(cases) if case.explanation and case.explanation.unexplained_points
            and case.explanation.unexplained_points.high > 0]
    if left:
        most = max(left, key=_most_unexplained)
        statements.append(Statement(say("report.unknown.other", most=part(_most_unexplained(most) / 100),
                                        tree=most.tree.label),
                                    tuple(of_tree(case.tree.id, "unexplained") for case in left)))
    return statements


def _common_cause(behind: list[TreeCase]) -> str:
    """The cause named at half of the trees or more, with the weaker of the two words."""
    causes = [main_cause(case.explanation) for case in behind if case.explanation]
    named = Counter(cause.name for cause in causes if cause.word != "not known")
    if not named:
        return say("report.cause.not_known")
    name, count = named.most_common(1)[0]
    if 2 * count < len(behind):
        return say("report.property.many_causes")
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


def _with_verdict(cases: Cases, verdict: str) -> list[TreeCase]:
    return [case for case in cases if case.prescription and case.prescription.verdict == verdict]


def _read(cases: Cases) -> list[TreeCase]:
    return [case for case in cases if case.share is not None]


def _behind(cases: Cases) -> list[TreeCase]:
    return [case for case in cases if case.behind]


def _labels(cases: list[TreeCase]) -> str:
    return names([case.tree.label for case in cases])
