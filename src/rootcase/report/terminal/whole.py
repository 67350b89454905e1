"""The whole casework of a property on one screen after another."""

from __future__ import annotations

from rootcase.ground.dates import show_date
from rootcase.ground.words import say
from rootcase.records.prescribe import RemedyOutcome
from rootcase.records.report import Casework
from rootcase.report.terminal.chart import waterfall
from rootcase.report.terminal.course import what_it_takes
from rootcase.report.terminal.paper import Paper
from rootcase.report.text import one_tree, whole_property
from rootcase.report.text.beside import beside, stop
from rootcase.report.text.cases import TreeCase, tree_cases
from rootcase.report.text.causes import Cause, main_cause
from rootcase.report.text.course import no_fit
from rootcase.report.text.figures import change, listed, money, percent, sentence
from rootcase.report.text.naming import place_name, remedy_name, species_of
from rootcase.report.text.next_reading import before_spending, next_reading
from rootcase.report.text.signs import not_a_soil_case, signs_told


def summary(casework: Casework, width: int = 80, colour: bool = False) -> str:
    """Return the finding, a block for each tree that needs one, the plan, and what nobody looked at."""
    cases, paper = tree_cases(casework), Paper(width, colour)
    _finding(paper, cases, casework)
    for case in cases:
        if case.needs_page:
            _tree(paper, case, casework)
    _others(paper, [case for case in cases if not case.needs_page])
    _plan(paper, casework)
    paper.heading(say("report.heading.not_known"))
    for statement in whole_property.not_known(cases, casework):
        paper.item("·", statement.text)
    _foot(paper, casework)
    return paper.text()


def brief(casework: Casework, width: int = 80, colour: bool = False) -> str:
    """Return the finding and the plan; what there is to say of each tree stands in its report."""
    cases, paper = tree_cases(casework), Paper(width, colour)
    _finding(paper, cases, casework)
    _plan(paper, casework)
    _foot(paper, casework)
    return paper.text()


def _finding(paper: Paper, cases: tuple[TreeCase, ...], casework: Casework) -> None:
    ground = casework.record.property
    paper.title(ground.name, show_date(casework.made_on))
    if ground.invented:
        paper.line(say("report.invented"), quiet=True)
    paper.gap()
    paper.say(" ".join(whole_property.headline(cases)), bold=True)
    paper.say(whole_property.causes(cases))
    paper.say(whole_property.sureness(cases))


def _tree(paper: Paper, case: TreeCase, casework: Casework) -> None:
    record = casework.record
    about = [part for part in (species_of(record, case.tree), place_name(record, case.tree)) if part]
    paper.heading(case.tree.label, ", ".join(about))
    paper.say(" ".join(one_tree.headline(case)), bold=True)
    paper.say(one_tree.basis(case, record).text)
    paper.say(stop(case.tree, record), bold=True)
    if case.explanation:
        if case.behind:
            paper.say(_weight_of(main_cause(case.explanation)), quiet=True)
        paper.gap()
        for line in waterfall(case.explanation, paper.width):
            paper.line(line)
        paper.gap()
    for statement in (beside(case.tree, record), one_tree.unexplained(case), one_tree.verdict(case)):
        paper.say(statement.text if statement else "")
    if case.explanation and not_a_soil_case(case.explanation):
        for told in signs_told(case):
            paper.say(told.text)
    if chosen := _chosen(case):
        _chosen_lines(paper, chosen, casework)
    paper.say(one_tree.not_found_out(case, record), quiet=True)
    paper.say(next_reading(case), quiet=True)
    paper.say(before_spending(case, casework.plan.currency))
    paper.say(one_tree.beyond(case), quiet=True)


def _weight_of(cause: Cause) -> str:
    """The word for the cause and how often it leads; one that is not known is not put as the answer."""
    name, chance = say(f"report.cause.name.{cause.name}"), f"{cause.chance:.2f}"
    if cause.word == "not known":
        return say("terminal.cause_not_known", cause=name, chance=chance)
    return say("terminal.cause", word=say(f"report.word.{cause.word}"), chance=chance, cause=name)


def _chosen(case: TreeCase) -> RemedyOutcome | None:
    """The remedy proposed for the tree, None where it is left alone."""
    plan = case.prescription
    if plan is None or plan.chosen in (None, "nothing"):
        return None
    return next((outcome for outcome in plan.remedies if outcome.remedy == plan.chosen), None)


def _chosen_lines(paper: Paper, chosen: RemedyOutcome, casework: Casework) -> None:
    """Gain and cost of what is proposed, its work a line a step, what stands beside it, its cautions."""
    gain = say("report.gain_not_known") if chosen.gain_points is None else say(
        "terminal.gain", gain=change(chosen.gain_points)[0], interval=change(chosen.gain_points)[1])
    cost = money(chosen.cost, casework.plan.currency)
    paper.item("→", say("terminal.chosen", remedy=sentence(remedy_name(chosen.remedy)), gain=gain, cost=cost))
    for work in one_tree.work_of(chosen, casework.record):
        paper.item("  ·", work)
    for note in one_tree.notes_of(chosen, casework.record):
        paper.say(note, indent=2, quiet=True)
    for caution in chosen.cautions:
        paper.item("!", say(f"prescribe.caution.{caution}"))


def _others(paper: Paper, cases: list[TreeCase]) -> None:
    """One line for each tree that needs no block of its own."""
    if not cases:
        return
    paper.heading(say("report.heading.others"))
    rows = []
    alike = one_tree.told_alike(cases)
    for case in (group[0] for group in alike if len(group) == 1):
        share, interval = percent(case.share) if case.share else (say("report.not_known"), "")
        verdict = one_tree.verdict(case)
        rows.append((case.tree.label, share, interval, verdict.text.partition(": ")[2] if verdict else ""))
    paper.columns(rows, right=(1,))
    for group in alike:
        if len(group) > 1 and (verdict := one_tree.verdict(group[0])):
            _, parting, told = verdict.text.partition(": ")
            paper.say(listed([case.tree.label for case in group]) + parting + told)


def _plan(paper: Paper, casework: Casework) -> None:
    plan, labels = casework.plan, {tree.id: tree.label for tree in casework.record.trees}
    paper.heading(say("report.heading.plan"))
    if not plan.items:
        paper.say(no_fit(plan, casework.record) or say("report.proposed.none"))
        return
    rows = [(say("report.column.tree"), say("report.column.remedy"), say("report.column.gain"), "",
             say("report.column.cost"))]
    rows += [(labels[item.tree_id], remedy_name(item.remedy), *change(item.gain_points),
              money(item.cost, plan.currency)) for item in plan.items]
    rows.append((say("report.cost.shared"), "", "", "", money(plan.shared_cost, plan.currency)))
    rows.append((say("report.cost.first_year"), "", "", "", money(plan.first_year_cost, plan.currency)))
    rows.append((say("report.cost.total"), "", "", "", money(plan.total_cost, plan.currency)))
    paper.columns(rows, right=(2, 4), head=True)
    if plan.budget is not None:
        paper.say(say("report.cost.budget", budget=money(plan.budget, plan.currency)))
    what_it_takes(paper, plan, casework.record)


def _foot(paper: Paper, casework: Casework) -> None:
    paper.gap()
    if casework.explanations:
        paper.say(say("report.weather_ends", day=show_date(max(e.weather_ends for e in casework.explanations))))
    paper.say(say("terminal.not_risk"), quiet=True)
