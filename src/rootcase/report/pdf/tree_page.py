"""The page of one tree that lags, and the one table for all the others."""

from __future__ import annotations

from typing import Any

from rootcase.ground.words import say
from rootcase.records.estimate import Estimate
from rootcase.records.prescribe import RemedyOutcome, TreePrescription
from rootcase.records.report import Casework
from rootcase.report.pdf import bars
from rootcase.report.pdf.front import line
from rootcase.report.text import one_tree
from rootcase.report.text.beside import beside, stop
from rootcase.report.text.cases import TreeCase
from rootcase.report.text.figures import ends, listed, money, percent, sentence
from rootcase.report.text.gains import why
from rootcase.report.text.ledger import Ledger
from rootcase.report.text.naming import names, place_name, remedy_name, species_of
from rootcase.report.text.next_reading import before_spending, next_reading
from rootcase.report.text.signs import signs_told
from rootcase.report.text.statements import Statement, of_tree

Page = dict[str, Any]
_REMEDIES_DRAWN = 3
"""Leaving it alone, the choice and the best of the rest; the others stand in a table. JUDGEMENT: one page."""


def tree_page(case: TreeCase, casework: Casework, ledger: Ledger) -> Page:
    """Return everything one page says of one tree."""
    record = casework.record
    about = [part for part in (species_of(record, case.tree), place_name(record, case.tree)) if part]
    paragraphs: list[list[Statement | None]] = [[one_tree.verdict(case), one_tree.future(case)],
                  [one_tree.unexplained(case), Statement(one_tree.change_of_mind(case))],
                  [Statement(one_tree.not_found_out(case, record)), Statement(one_tree.turned(case)),
                   Statement(one_tree.beyond(case)), Statement(next_reading(case)),
                   Statement(before_spending(case, casework.plan.currency))]]
    return {
        "label": sentence(case.tree.label), "about": ", ".join(about), "headline": one_tree.headline(case),
        "basis": line(one_tree.basis(case, record), ledger), "sure": one_tree.sureness(case),
        "stop": stop(case.tree, record), "beside_title": say("report.beside.title"),
        "beside": line(seen, ledger) if (seen := beside(case.tree, record)) else None,
        "fall_title": say("report.heading.fall"),
        "fall": _marked(bars.waterfall(case.explanation), ledger) if case.explanation else [],
        "signs_title": say("signs.title"), "signs": [line(said, ledger) for said in signs_told(case)],
        "remedies_title": say("report.heading.remedies"), "cost_title": say("report.column.cost"),
        "remedies": _remedy_rows(case, casework, ledger),
        "paragraphs": [[line(said, ledger) for said in paragraph if said and said.text] for paragraph in paragraphs],
        "key": say("report.key"),
    }


def others_table(cases: list[TreeCase], ledger: Ledger) -> Page:
    """Return one row for each tree that needs no page, and one for all that were not judged for one reason."""
    rows = []
    for group in one_tree.told_alike(cases):
        case, labels = group[0], sentence(listed([each.tree.label for each in group]))
        share, interval = percent(case.share) if case.share else (say("report.not_known"), "")
        soil, soil_interval = _soil_alone([each.explanation.predicted_share for each in group if each.explanation])
        verdict = one_tree.verdict(case)
        rows.append({
            "tree": labels, "share": share, "interval": interval,
            "marks": ledger.marks([of_tree(case.tree.id, "share")]), "soil": soil, "soil_interval": soil_interval,
            "soil_marks": ledger.bundle(say("report.mark.predicted", tree=labels),
                                        [of_tree(each.tree.id, "predicted") for each in group]),
            "verdict": sentence(verdict.text.partition(": ")[2]) if verdict else say("report.not_known")})
    heads = ("tree", "growth", "nine_in_ten", "soil_alone", "nine_in_ten", "verdict")
    return {"title": say("report.heading.others"), "rows": rows,
            "heads": [say(f"report.column.{head}") for head in heads]}


def _soil_alone(shares: list[Estimate]) -> tuple[str, str]:
    """What the soil alone predicts at one tree; of several the span of the figures, and of their intervals."""
    if len(shares) < 2:
        return percent(shares[0]) if shares else (say("report.not_known"), "")
    low, high = ends(min(share.mean for share in shares), max(share.mean for share in shares))
    least, most = ends(min(share.low for share in shares), max(share.high for share in shares))
    return f"{say('report.to', low=low, high=high)} %", say("report.to", low=least, high=most)


def weighed_table(cases: list[TreeCase]) -> Page:
    """Return every remedy that no tree's page draws, so that none is silently absent.

    Remedies with the same reasons at the same trees share a row.
    """
    lagging = [case for case in cases if case.prescription]
    reasons: dict[str, dict[str, list[str]]] = {}
    for case in lagging:
        for outcome in _not_drawn(case):
            reasons.setdefault(remedy_name(outcome.remedy), {}).setdefault(why(outcome), []).append(case.tree.label)
    rows: dict[tuple[str, ...], list[str]] = {}
    for remedy, by_reason in reasons.items():
        told = tuple(say("report.remedy.at", why=reason, trees=_all_or(labels, len(lagging)))
                     for reason, labels in by_reason.items())
        rows.setdefault(told, []).append(remedy)
    return {"title": say("report.heading.weighed"),
            "heads": [say("report.column.remedy"), say("report.column.weighed")],
            "rows": [{"remedies": sentence(listed(remedies)), "whys": list(told)} for told, remedies in rows.items()]}


def _all_or(labels: list[str], count: int) -> str:
    return say("report.remedy.all_trees") if len(labels) == count > 1 else names(labels)


def _marked(rows: list[bars.Row], ledger: Ledger) -> list[bars.Row]:
    return [row | {"mark": ledger.mark(row["about"])} for row in rows]


def _drawn(plan: TreePrescription) -> list[RemedyOutcome]:
    """Leaving it alone first, then what is proposed, what would help, and the largest gains."""
    order = ("nothing", plan.chosen)
    first = [outcome for outcome in plan.remedies if outcome.remedy in order]
    others = [outcome for outcome in plan.remedies if outcome.remedy not in order]
    would = [outcome for outcome in others if outcome.remedy in plan.what_would]
    gains = [(-outcome.gain_points.mean, outcome) for outcome in others
             if outcome.gain_points and outcome.verdict not in ("no use here", "test first") and outcome not in would]
    gains.sort(key=lambda pair: pair[0])
    first.sort(key=lambda outcome: order.index(outcome.remedy))
    would = would[:_REMEDIES_DRAWN - len(first)]
    room = _REMEDIES_DRAWN - len(first) - len(would)
    return [*first, *(outcome for _, outcome in gains[:max(room, 1)]), *would]


def _remedy_rows(case: TreeCase, casework: Casework, ledger: Ledger) -> list[bars.Row]:
    plan = case.prescription
    if plan is None:
        return []
    drawn, explanation = _drawn(plan), case.explanation
    share = case.share or (explanation.predicted_share if explanation else None)
    now = 100 * share.mean if share else 0.0
    rows = bars.remedies(drawn, case.tree.id, now, [money(outcome.cost) for outcome in drawn])
    for row, outcome in zip(rows, drawn, strict=True):
        chosen = outcome.remedy == plan.chosen
        row["name"] = sentence(remedy_name(outcome.remedy))
        weighed = "" if outcome.remedy == "nothing" else say("report.remedy.under", why=why(outcome))
        row["under"] = f"{weighed} {one_tree.dose_in_short(outcome, casework.record)}".strip()
        row["cautions"] = [say(f"prescribe.caution.{caution}") for caution in outcome.cautions] if chosen else []
        row["proposed"] = chosen
    return _marked(rows, ledger)


def _not_drawn(case: TreeCase) -> list[RemedyOutcome]:
    if case.prescription is None:
        return []
    drawn = {outcome.remedy for outcome in _drawn(case.prescription)}
    return [outcome for outcome in case.prescription.remedies if outcome.remedy not in drawn]
