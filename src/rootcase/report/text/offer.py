"""An offer in words: the options side by side, the work of each, what is kept, what it cannot do, who answered what."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from rootcase.ground.dates import show_date
from rootcase.ground.measured import on_a_tape, told
from rootcase.ground.words import say
from rootcase.records.explain import Explanation
from rootcase.records.observe import Practice, PropertyRecord
from rootcase.records.offer import (
    Answer,
    Arms,
    Change,
    MadeOffer,
    Offer,
    OfferOption,
    OfferPrice,
    OfferState,
    OfferWork,
    SignedPlan,
    WorkChange,
)
from rootcase.records.prescribe import Dose, Plan
from rootcase.report.text.beside import stop
from rootcase.report.text.course import calendar, price_lines, step_lines
from rootcase.report.text.doses import GROUND, LIQUID, LOOSE, SCALES, TAPE, WEIGHED
from rootcase.report.text.figures import listed, sentence
from rootcase.report.text.meaning import given_up, people
from rootcase.report.text.naming import COURSE_JOINT, looked_for, month_of, names, remedy_name
from rootcase.report.text.plan import past_us
from rootcase.report.text.rules import rules_in_brief
from rootcase.report.text.signed import arms_lines, laid_out, mark_shown
from rootcase.report.text.signs import first_look, read_next
from rootcase.report.text.wishes import wishes_by_place, wishes_not_asked
from rootcase.tables.currencies import digits_of

_NAMED_IN_A_CELL = 3
ROWS = ("this_year", "tax", "to_pay", "five_years", "buys", "trees")
BLOCKS = ("kept", "cannot", "not_known", "care", "looks")


@dataclass(frozen=True, slots=True)
class Priced:
    """A line of work and what it costs a year, without tax."""

    work: str
    cost: str


@dataclass(frozen=True, slots=True)
class Shown:
    """Everything an offer is shown with."""

    record: PropertyRecord
    plan: Plan
    arms: tuple[Arms, ...]
    made: MadeOffer
    practice: Practice
    signed: SignedPlan | None = None
    """None where nobody signed the plan."""
    changes: tuple[Change, ...] = ()
    """What has changed under the signed plan."""
    explanations: tuple[Explanation, ...] = ()
    """Of its trees, as far as they can be explained today."""

    @property
    def offer(self) -> Offer:
        return self.made.offer

    @property
    def done(self) -> Plan:
        """The plan with what is really done at the trees that go without."""
        return laid_out(self.plan, self.arms)

    @property
    def labels(self) -> Mapping[str, str]:
        """What each tree is called; one that is no longer there by its id."""
        return {tree.tree_id: tree.tree_id for tree in self.plan.trees} | {
            tree.id: tree.label for tree in self.record.trees}


def exactly(amount: float, currency: str) -> str:
    """Return a sum to its smallest coin.

    >>> exactly(1260.4, "USD"), exactly(1260.0, "JPY")
    ('1,260.40 USD', '1,260 JPY')
    """
    return f"{amount:,.{digits_of(currency)}f} {currency}"


def title_of(shown: Shown) -> str:
    return say("offer.title", property=shown.record.property.name)


def head_of(shown: Shown) -> str:
    """Return number and day of an offer."""
    return say("offer.head", number=shown.made.number, day=show_date(shown.offer.made_on))


def valid_line(offer: Offer) -> str:
    """Return how long it holds, and on what its later years rest."""
    return say("offer.valid", day=show_date(offer.valid_until))


def option_name(option: OfferOption) -> str:
    """Return what an option is called, its number before it.

    >>> free = OfferPrice(0.0, 0.0, 0.0)
    >>> option_name(OfferOption(0, "nothing", (), (0.0, 0.0), free, free, 0.0))
    '0 Leave it alone'
    """
    return say(f"offer.option.{option.kind}", number=option.number)


def side_by_side(shown: Shown) -> list[list[str]]:
    """Return a row for each thing that is told of every option, the options' names first."""
    offer = shown.offer
    heads = ["", *(option_name(option) for option in offer.options)]
    rows = [[row_name(row, offer), *(_told(row, option, shown) for option in offer.options)] for row in ROWS]
    return [heads, *rows]


def row_name(row: str, offer: Offer) -> str:
    """Return what a row is called; no tax is in a sum where nobody told one."""
    untaxed = row == "five_years" and offer.tax_pct is None
    return say("plans.five_years_before_tax") if untaxed else say(f"offer.row.{row}")


def tax_line(offer: Offer) -> str:
    """Return which tax is in the prices; that none is told where nobody has."""
    if offer.tax_pct is None:
        return say("offer.no_tax")
    return say("offer.tax", name=offer.tax_name or say("offer.tax_unnamed"), rate=f"{offer.tax_pct:g}")


def work_lines(option: OfferOption, shown: Shown) -> list[Priced]:
    """Return the work of an option by year and season, and what its trees share."""
    offer = shown.offer
    southern = shown.record.property.latitude_deg < 0
    lines = []
    for work in sorted(option.work, key=lambda work: calendar(work.step, southern=southern)):
        steps = [replace(work.step, year=year) for year in range(work.step.year, work.last_year + 1)]
        when = step_lines(steps, southern=southern)[0]
        text = say("offer.work", when=sentence(when.when), what=when.what, amount=_amount(work.step.dose, shown),
                   trees=names([shown.labels[tree] for tree in work.tree_ids]))
        each = "offer.every_year" if len(steps) > 1 else "offer.once"
        cost = work.step.cost or 0.0
        lines.append(Priced(text, say(each, cost=exactly(cost, offer.currency), count=len(steps),
                                      whole=exactly(cost * len(steps), offer.currency))))
    first, whole = option.shared
    if whole:
        lines.append(Priced(say("offer.shared", first=exactly(first, offer.currency)),
                            say("offer.once", cost=exactly(whole, offer.currency))))
    return lines


def trial_lines(shown: Shown) -> list[str]:
    """Return who goes without what is in doubt, and that a trial is one."""
    return [line for arms in shown.arms if arms.pairs or arms.apart
            for line in arms_lines(arms, dict(shown.labels), shown.offer.currency)]


def block(name: str, shown: Shown) -> list[str]:
    """Return the sentences of one of the blocks; each always says something."""
    return {"kept": _kept, "cannot": _cannot, "not_known": _not_known, "care": _care, "looks": _looks}[name](shown)


def who_lines(shown: Shown) -> list[str]:
    """Return whether somebody signed the plan, and what a yes is bound to."""
    offer = shown.offer
    return [say("offer.signed" if offer.signed else "offer.proposed", mark=mark_shown(offer.plan_mark)),
            say("offer.bound", mark=mark_shown(shown.made.mark))]


def state_line(made: MadeOffer, state: OfferState, people: Mapping[str, str], record: PropertyRecord) -> str:
    """Return what was said to an offer and whether that still holds, and every question that waits for an answer.

    people: names by id, as far as they were not erased.
    """
    return " ".join([standing_line(made, state, people, record),
                     *(said_line(asked, made, people) for asked in made.open_questions)])


def standing_line(made: MadeOffer, state: OfferState, people: Mapping[str, str], record: PropertyRecord) -> str:
    """Return the yes or no to an offer and whether that still holds; a yes to what has changed is asked again."""
    answer = made.decided
    told = [said_line(answer, made, people)] if answer else []
    if state.standing == "open":
        told = told or [say("offer.still_open", number=made.number, day=show_date(made.offer.valid_until))]
    else:
        again = answer is not None and answer.answer == "yes"
        told += [gone_line(made, state, record), *([say("offer.yes_again")] if again else [])]
    return " ".join(told)


def said_line(answer: Answer, made: MadeOffer, people: Mapping[str, str]) -> str:
    """Return who said what, on which day, to which offer."""
    told = say(f"offer.said.{answer.answer}", person=people.get(answer.contact_id) or say("offer.erased"),
               day=show_date(answer.day), number=made.number, option=answer.option, words=answer.words)
    return f"{told} {answer.words}".strip() if answer.answer == "no" else told


def questions_told(made: MadeOffer, people: Mapping[str, str]) -> list[tuple[Answer, str, str]]:
    """Return each question, in words, and what was said back; empty where it waits for that."""
    return [(each, said_line(each, made, people), reply_line(each)) for each in made.answers
            if each.answer == "question"]


def reply_line(asked: Answer) -> str:
    """Return what was said back to a question; empty where nothing was."""
    if asked.reply is None:
        return ""
    form = "replied" if asked.reply.words else "replied_aloud"
    return say(f"offer.{form}", day=show_date(asked.reply.day), words=asked.reply.words)


def gone_line(made: MadeOffer, state: OfferState, record: PropertyRecord) -> str:
    """Return why an offer holds no more."""
    if state.standing == "changed" and state.since is not None:
        changes = "; ".join(_change(change, record) for change in state.changes) or say("offer.same_work")
        totals = say("offer.totals", old=exactly(state.old_total, made.offer.currency),
                     new=exactly(state.new_total, made.offer.currency))
        return say("offer.gone.changed", day=show_date(state.since), changes=changes, totals=totals)
    key = state.standing.replace(" ", "_")
    return say(f"offer.gone.{key}", number=made.number, day=show_date(state.since or made.offer.valid_until))


def _told(row: str, option: OfferOption, shown: Shown) -> str:
    """One cell of the table."""
    offer = shown.offer
    if row == "trees":
        trees = _trees(option)
        if len(trees) > _NAMED_IN_A_CELL:
            return say("offer.trees", count=len(trees))
        return names([shown.labels[tree] for tree in trees]) or say("offer.none")
    if row == "buys":
        whole = max((each.gain_points_m2 or 0.0 for each in offer.options), default=0.0)
        if option.gain_points_m2 is None:
            return say("report.not_known")
        return say("offer.share", share=f"{100 * option.gain_points_m2 / whole:.0f}") if whole else say("offer.none")
    price: OfferPrice = option.five_years if row == "five_years" else option.this_year
    if row == "tax" and offer.tax_pct is None:
        return say("offer.tax_not_told")
    amount = {"this_year": price.net, "tax": price.tax}.get(row, price.total)
    return exactly(amount, offer.currency)


def _trees(option: OfferOption) -> list[str]:
    return list(dict.fromkeys(tree for work in option.work for tree in work.tree_ids))


def _amount(dose: Dose, shown: Shown) -> str:
    """How much of what, on how much ground, both systems; without what it is carried in."""
    system = shown.record.property.system
    ground = told(dose.area_m2, "m2", system, GROUND)
    amounts = say("offer.on", ground=ground)
    for form, amount, unit, pair, figures in (("over", dose.volume_m3, "m3", LOOSE, None),
                                              ("water", dose.litres, "L", LIQUID, None),
                                              ("over", dose.mass_kg, "kg", WEIGHED, SCALES)):
        if amount:
            amounts = say(f"offer.{form}", amount=told(amount, unit, system, pair, figures), ground=ground)
            if unit == "m3" and dose.depth_m and not (dose.holes or dose.trench_m):  # tilled ground: of its chips
                laid = on_a_tape(amount / dose.area_m2, system)
                amounts = say("offer.deep", amount=told(amount, unit, system, pair, figures), ground=ground,
                              depth=told(laid, "m", system, TAPE))
            break
    return say("offer.every", amount=amounts, days=dose.every_days) if dose.every_days else amounts


def _kept(shown: Shown) -> list[str]:
    lines = [*wishes_by_place(shown.plan, shown.record), *price_lines(shown.plan, shown.record)]
    if (given := given_up(shown.done, shown.record)) != say("report.give_up.nothing"):
        lines.append(given)
    return lines or [say("offer.kept_all")]


def _cannot(shown: Shown) -> list[str]:
    return [say("offer.no_promise"), *filter(None, [past_us(shown.plan, shown.labels)]), say("offer.no_risk")]


def _not_known(shown: Shown) -> list[str]:
    plan = shown.plan
    unread = [shown.labels[tree.tree_id] for tree in plan.trees if tree.reason == "read_first"]
    lines = [say("report.unknown.growth", trees=names(unread))] if unread else []
    if asked := wishes_not_asked(plan, shown.record):
        lines.append(asked)
    return [*lines, *_unread(shown), say("offer.see_report")]


def _unread(shown: Shown) -> list[str]:
    """What could still change the plan where money is to be spent: what was never read, and what to read again.

    Only the best reading of each tree: an offer is no work list.
    """
    working = {item.tree_id for item in shown.plan.items}
    best = [(tree.tree_id, tree.next_for_plan[0]) for tree in shown.plan.trees
            if tree.tree_id in working and tree.next_for_plan]
    lines = []
    for form, before in (("unread", False), ("unread_again", True)):
        found = [(tree_id, reading.kind) for tree_id, reading in best if reading.taken_before is before]
        if found:
            kinds = dict.fromkeys(kind for _, kind in found)
            lines.append(say(f"offer.{form}", what=listed([looked_for([kind]) for kind in kinds]),
                             trees=names([shown.labels[tree_id] for tree_id, _ in found])))
    return lines


def _care(shown: Shown) -> list[str]:
    """What stops work first, then cautions, who else uses the ground, rules and notice."""
    plan, record = shown.done, shown.record
    stops = [text for tree in record.trees if (text := stop(tree, record))]
    if not plan.items and not any(arms.apart for arms in shown.arms):
        return stops or [say("offer.nothing_to_mind")]
    done = {item.tree_id: item.remedy for item in plan.items}
    tried = {arms.doubt for arms in shown.arms if arms.apart}
    cautions = dict.fromkeys(
        caution for tree in plan.trees for outcome in tree.remedies for caution in outcome.cautions
        if outcome.remedy == done.get(tree.tree_id) or outcome.remedy in tried
        or outcome.remedy in done.get(tree.tree_id, "").split(COURSE_JOINT))
    return [*stops, *(say(f"prescribe.caution.{caution}") for caution in cautions), people(record),
            *filter(None, [rules_in_brief(plan, record)]), say("offer.codes_first")]


def _looks(shown: Shown) -> list[str]:
    first: dict[str, list[str]] = {}
    for tree in shown.plan.trees:
        if tree.first_look:
            first.setdefault(tree.first_look, []).append(shown.labels[tree.tree_id])
    told_first = [first_look(kind, names(labels)) for kind, labels in first.items()]
    by_month: dict[date, list[str]] = {}
    for tree in sorted((tree for tree in shown.plan.trees if tree.judged), key=lambda tree: tree.look_again):
        by_month.setdefault(tree.look_again.replace(day=1), []).append(shown.labels[tree.tree_id])
    told_looks = [say("sign.look", month=month_of(month), trees=names(labels)) for month, labels in by_month.items()]
    unread = read_next([shown.labels[tree.tree_id] for tree in shown.plan.trees if not tree.judged])
    return [*told_first, *unread, *told_looks] or [say("offer.no_look")]


def _change(change: WorkChange, record: PropertyRecord) -> str:
    remedy = remedy_name(change.remedy)
    if change.old is None:
        return say("offer.change.added", remedy=remedy, new=_brief(change.new, record))
    if change.new is None:
        return say("offer.change.gone", remedy=remedy, old=_brief(change.old, record))
    old, new = _brief(change.old, record), _brief(change.new, record)
    return say("offer.change.same" if old == new else "offer.change.other", remedy=remedy, old=old, new=new)


def _brief(work: OfferWork | None, record: PropertyRecord) -> str:
    """How much of it, by volume, water or weight, else by ground; where, if that is not the whole of it."""
    if work is None:
        return ""
    dose, system = work.step.dose, record.property.system
    for amount, unit, pair, figures in ((dose.volume_m3, "m3", LOOSE, None), (dose.litres, "L", LIQUID, None),
                                        (dose.mass_kg, "kg", WEIGHED, SCALES), (dose.area_m2, "m2", GROUND, None)):
        if amount:
            labels = {tree.id: tree.label for tree in record.trees}
            return say("offer.change.amount", amount=told(amount, unit, system, pair, figures),
                       trees=names([labels.get(tree, tree) for tree in work.tree_ids]))
    return ""


def options_told(options: Sequence[OfferOption]) -> str:
    """Return the numbers that an answer may name.

    >>> free = OfferPrice(0.0, 0.0, 0.0)
    >>> options_told([OfferOption(0, "nothing", (), (0.0, 0.0), free, free, 0.0)])
    '0 Leave it alone'
    """
    return "; ".join(option_name(option) for option in options)
