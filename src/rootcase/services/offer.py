"""Offer: the plan put to a client, the answer to it, what is repeated by agreement, and what is due."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import inf

from rootcase.casework.prescribe.answered import offer_state, same_work
from rootcase.casework.prescribe.due import Known, due_list
from rootcase.casework.prescribe.offer import offer_of
from rootcase.casework.prescribe.repeated import months_on, programme_state
from rootcase.fieldbook.events import ProgrammeRenewed, ProgrammeStarted, ProgrammeStopped, VisitSkipped
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.grid import Cell
from rootcase.fieldbook.intake.values import read_value
from rootcase.fieldbook.offers import offer_named, plan_mark, running
from rootcase.ground.dates import show_date
from rootcase.ground.errors import Missing, RootcaseError, UnreadableValue
from rootcase.ground.length import MOST_LINE, MOST_WORDS, require_length
from rootcase.ground.words import say
from rootcase.records.explain import Explanation
from rootcase.records.observe import Property, PropertyRecord
from rootcase.records.offer import (
    Answer,
    AnswerWord,
    Arms,
    Change,
    DueItem,
    MadeOffer,
    Offer,
    OfferState,
    Programme,
    ProgrammeState,
    Reply,
    SignedPlan,
    newest_answered,
)
from rootcase.records.prescribe import Plan
from rootcase.report.text.figures import listed
from rootcase.report.text.offer import Shown, exactly, gone_line, options_told
from rootcase.services.pests import pests_property
from rootcase.services.prescribe import prescribe_property, thought
from rootcase.services.run import Run
from rootcase.services.sign import changes_since
from rootcase.tables.currencies import half_a_coin
from rootcase.tables.readings import kinds

_MONTHS = 12
_MOST_VISITS = 52


class TooOften(RootcaseError):
    """So many answers in one day are no answers."""


@dataclass(frozen=True, slots=True)
class Answering:
    """What a client said."""

    answer: AnswerWord
    name: str
    option: int | None = None
    words: str = ""
    mark: str = ""
    """How the offer's mark begins; empty: the newest."""


def make_offer(fieldbook: Fieldbook, ground: Property, run: Run, budgets: tuple[float, ...] = (),
               plan: Plan | None = None) -> tuple[Shown, tuple[str, ...]]:
    """Put the signed plan to the client, or the proposed one where none is signed, and keep the offer.

    plan: the proposed one, where it is at hand. Returns also what only the practice is told.
    """
    record, practice = fieldbook.record(ground.id), fieldbook.practice()
    if not ground.currency:
        raise Missing(say("offer.no_currency"), where=ground.name, right=say("offer.say_currency"))
    standing = next((each for each in fieldbook.signed_plans(ground.id) if each.standing == "standing"), None)
    arms: tuple[Arms, ...] = ()
    told: list[str] = []
    changes: tuple[Change, ...] = ()
    _require_order(run.today, [*([standing.day] if standing else []),
                               *(made.offer.made_on for made in fieldbook.offers(ground.id)[:1])])
    if standing is not None:
        plan, arms, mark = standing.signing.plan, standing.signing.arms, standing.mark
        changes = changes_since(fieldbook, standing, ground, run)
        if changes:
            told.append(say("offer.outdated"))
    else:
        plan = plan or prescribe_property(fieldbook, ground, run).plan
        mark = plan_mark(plan)
        told.append(say("offer.not_signed"))
    if not practice.name:
        told.append(say("offer.no_practice"))
    offer = offer_of(plan, arms, practice, plan_mark=mark, signed=standing is not None, today=run.today,
                     budgets=budgets)
    told += without_step(offer, budgets)
    return Shown(record, plan, arms, fieldbook.make_offer(offer), practice, standing, changes,
                 _explained(fieldbook, ground, run, plan)), tuple(told)


def without_step(offer: Offer, budgets: tuple[float, ...]) -> list[str]:
    """Which of these sums buys no smaller step, in a line; nothing where each buys one."""
    rounded_by = half_a_coin(offer.currency)  # a step's price was rounded, perhaps to above its sum
    least = min((option.this_year.net for option in offer.options if option.kind == "less"), default=inf)
    sums = [exactly(budget, offer.currency) for budget in budgets if least > budget + rounded_by]
    return [say("plans.no_step", sums=listed(sums))] if sums else []


def read_budgets(typed: str, ground: Property) -> tuple[float, ...]:
    """Sums of money for smaller steps, several parted by a semicolon or a blank behind a comma."""
    require_length(typed, MOST_LINE)
    return tuple(_sum(part.strip(), ground) for part in typed.replace(", ", ";").split(";") if part.strip())


def _sum(typed: str, ground: Property) -> float:
    """A sum that may buy something."""
    read = read_value(kinds()["budget_year"], Cell(typed), "", ground.system, None, currency=ground.currency)
    if read is None or read.value is None or read.value <= 0:
        raise UnreadableValue(say("plans.no_sum"), value=f'"{typed}"', right=say("plans.right_sum"))
    return read.value


def show_offer(fieldbook: Fieldbook, ground: Property, run: Run, made: MadeOffer,
               proposed: Plan | None = None) -> Shown | None:
    """An offer with the plan it prices; None where that was never signed and is not what is proposed any more.

    proposed: the plan at hand that nobody signed.
    """
    practice = fieldbook.practice()
    signed = next((each for each in fieldbook.signed_plans(ground.id) if each.mark == made.offer.plan_mark), None)
    if signed is not None:
        plan, arms = signed.signing.plan, signed.signing.arms
    elif proposed is not None and same_work(made, proposed, practice, run.today):
        plan, arms = proposed, ()
    else:
        return None
    changes = changes_since(fieldbook, signed, ground, run) if signed else ()
    return Shown(fieldbook.record(ground.id), plan, arms, made, practice, signed, changes,
                 _explained(fieldbook, ground, run, plan))


def answer_offer(fieldbook: Fieldbook, ground: Property, answering: Answering, day: date, *,
                 most_a_day: int | None = None) -> None:
    """Keep what a client said; a yes to what has changed or run out is refused, and it says what changed.

    most_a_day: how many answers of one day are taken; None: any number.
    """
    offers = fieldbook.offers(ground.id)
    made = offer_named(offers, answering.mark)
    if not answering.name.strip():
        raise UnreadableValue(say("offer.no_name"), value=f'"{answering.name}"', right=say("offer.right_name"))
    if answering.answer == "question" and not answering.words.strip():
        raise Missing(say("offer.no_words"), right=say("offer.right_words"))
    numbers = [option.number for option in made.offer.options]
    usual = 0 if answering.answer == "no" else min(1, numbers[-1])
    option = usual if answering.option is None else answering.option
    if option not in numbers:
        raise Missing(say("offer.no_option"), value=str(option),
                      right=say("offer.right_option", options=options_told(made.offer.options)))
    if day < made.offer.made_on:
        raise UnreadableValue(say("offer.before", day=show_date(made.offer.made_on)), value=show_date(day))
    practice, record = fieldbook.practice(), fieldbook.record(ground.id)

    def admit(offers: Sequence[MadeOffer], plans: Sequence[SignedPlan]) -> None:
        """Judged by what is there when it is written: others answer and sign meanwhile."""
        said = sum(each.day == day for offer in offers if offer.id == made.id for each in offer.answers)
        if most_a_day is not None and said >= most_a_day:
            raise TooOften(say("client.too_often"), right=say("client.tomorrow"))
        if answering.answer == "yes":
            wanted = replace(made, answers=(Answer(made.id, made.mark, "yes", option, day, ""),))
            state = offer_state(wanted, tuple(offers), tuple(plans), practice, day)
            if state.standing != "open":
                raise Missing(gone_line(made, state, record).rstrip("."), right=say("offer.offer_again"))

    fieldbook.answer_offer(ground.id, made, answering.answer, option, name=answering.name.strip(), day=day,
                           words=answering.words.strip(), admit=admit)


def reply_to(fieldbook: Fieldbook, ground: Property, mark: str, reply: Reply, question: str = "") -> None:
    """Keep what was said back to a client's question.

    mark: how the offer's mark begins; empty: the newest. question: its id; empty: the oldest that is open.
    """
    asked = [each for each in offer_named(fieldbook.offers(ground.id), mark).open_questions
             if question in ("", each.id)]
    if not asked:
        raise Missing(say("offer.no_question"), right=say("offer.see_questions"))
    require_length(reply.words.strip(), MOST_WORDS)
    if reply.day < asked[0].day:
        raise UnreadableValue(say("offer.reply_before", day=show_date(asked[0].day)), value=show_date(reply.day))
    fieldbook.reply(ground.id, asked[0], replace(reply, words=reply.words.strip()))


def offers_of(fieldbook: Fieldbook, ground: Property, day: date) -> tuple[
        PropertyRecord, list[tuple[MadeOffer, OfferState]], dict[str, str]]:
    """Every offer with where it stands, and the names of who answered, as far as they were not erased."""
    offers, plans = fieldbook.offers(ground.id), fieldbook.signed_plans(ground.id)
    states = [(made, offer_state(made, offers, plans, fieldbook.practice(), day)) for made in offers]
    return fieldbook.record(ground.id), states, names_of(fieldbook, ground)


def names_of(fieldbook: Fieldbook, ground: Property) -> dict[str, str]:
    """What the contacts of a property are called, by id, as far as they were not erased."""
    return {person.id: person.name for person in fieldbook.contacts(ground.id)}


def _require_order(today: date, before: list[date]) -> None:
    """An offer comes behind the plan it puts forward and behind the offers before it."""
    latest = max(before, default=today)
    if today < latest:
        raise UnreadableValue(say("offer.too_early", day=show_date(latest)), value=show_date(today),
                              right=say("offer.later_day"))


def _explained(fieldbook: Fieldbook, ground: Property, run: Run, plan: Plan) -> tuple[Explanation, ...]:
    """What holds each tree of a plan back; none where that cannot be reckoned any more, as a signed plan stands."""
    there = {tree.tree_id for tree in plan.trees}
    try:
        explanations = thought(fieldbook, ground, replace(run, seed=plan.seed))[3]
    except Missing:
        return ()
    return tuple(each for each in explanations if each.tree_id in there)


def signed_and_changes(fieldbook: Fieldbook, ground: Property, run: Run) -> tuple[SignedPlan | None,
                                                                                  tuple[Change, ...]]:
    """The plan that stands signed, and what has changed under it."""
    standing = next((each for each in fieldbook.signed_plans(ground.id) if each.standing == "standing"), None)
    return standing, changes_since(fieldbook, standing, ground, run) if standing else ()


def start_programme(fieldbook: Fieldbook, ground: Property, day: date, visits: int, price_until: date | None) -> None:
    """Repeat what was said yes to; one programme runs at a time."""
    offers = fieldbook.offers(ground.id)
    agreed = newest_answered(offers)
    said = agreed.decided if agreed else None
    if agreed is None or said is None or said.answer != "yes" or said.option == 0:
        raise Missing(say("offer.programme.no_yes"), right=say("offer.programme.answer_first"))
    state = offer_state(agreed, offers, fieldbook.signed_plans(ground.id), fieldbook.practice(), day)
    if state.standing != "open":
        raise Missing(gone_line(agreed, state, fieldbook.record(ground.id)).rstrip("."), right=say("offer.offer_again"))
    if any(each.stopped is None for each in fieldbook.programmes(ground.id)):
        raise Missing(say("offer.programme.runs"), right=say("offer.programme.stop_first"))
    fieldbook.tell_programme(ground.id, ProgrammeStarted(
        slot="", offer_mark=agreed.mark, option=said.option, visits_a_year=_visits(visits), day=day,
        price_until=_held_until(price_until, day)))


def skip_visit(fieldbook: Fieldbook, ground: Property, day: date, due: date | None, reason: str) -> date:
    """Leave out a visit, the nearest one that is open where none is named; returns which."""
    state = _state(fieldbook, ground, running(fieldbook.programmes(ground.id)), day)
    open_ = [visit.due for visit in state.visits if visit.state in ("ahead", "missed")]
    if not open_ or (due is not None and due not in open_):
        raise Missing(say("offer.programme.no_visit"), value=show_date(due) if due else "",
                      right=say("offer.programme.see_visits"))
    found = due or min(open_, key=lambda each: abs(each - day))
    fieldbook.tell_programme(ground.id, VisitSkipped(slot="", programme=state.programme.id, due=found, reason=reason))
    return found


def renew_programme(fieldbook: Fieldbook, ground: Property, day: date, visits: int | None,
                    price_until: date | None) -> None:
    """Let it run another year from this day, or from the day its year ends where that is yet to come."""
    state = _state(fieldbook, ground, running(fieldbook.programmes(ground.id)), day)
    since = max(day, state.renewal_due)
    fieldbook.tell_programme(ground.id, ProgrammeRenewed(
        slot="", programme=state.programme.id, visits_a_year=_visits(visits or state.programme.years[-1][1]),
        price_until=_held_until(price_until, since), day=since))


def stop_programme(fieldbook: Fieldbook, ground: Property, day: date, reason: str) -> None:
    """End it; what was done stays in the record."""
    found = running(fieldbook.programmes(ground.id))
    if day < (began := found.years[0][0]):
        raise UnreadableValue(say("offer.programme.not_begun", day=show_date(began)), value=show_date(day))
    fieldbook.tell_programme(ground.id, ProgrammeStopped(slot="", programme=found.id, day=day, reason=reason))


def programmes_of(fieldbook: Fieldbook, ground: Property, day: date) -> tuple[PropertyRecord, list[ProgrammeState]]:
    """Every programme of a property where it stands on a day, newest first."""
    return fieldbook.record(ground.id), [_state(fieldbook, ground, each, day)
                                         for each in fieldbook.programmes(ground.id)]


def yes_gone(fieldbook: Fieldbook, ground: Property, day: date) -> dict[str, tuple[MadeOffer, OfferState]]:
    """The offers that were said yes to and hold no longer, by their mark."""
    return {made.mark: (made, state) for made, state in offers_of(fieldbook, ground, day)[1]
            if made.decided and made.decided.answer == "yes" and state.standing != "open"}


def due_in_practice(fieldbook: Fieldbook, grounds: tuple[Property, ...], run: Run, until: date) -> tuple[
        tuple[DueItem, ...], dict[str, PropertyRecord]]:
    """All that is due until a day, and the properties it is of."""
    known = [known_of(fieldbook, ground, run) for ground in grounds]
    return (due_list(known, fieldbook.practice(), run.today, until),
            {each.record.property.id: each.record for each in known})


def known_of(fieldbook: Fieldbook, ground: Property, run: Run) -> Known:
    """What decides what is due at a property."""
    record = fieldbook.record(ground.id)
    plan = next((each for each in fieldbook.signed_plans(ground.id) if each.standing == "standing"), None)
    agreed = next((each for each in fieldbook.programmes(ground.id) if each.stopped is None), None)
    return Known(record, plan, fieldbook.offers(ground.id),
                 _state(fieldbook, ground, agreed, run.today) if agreed else None,
                 pests_property(fieldbook, record, run), tuple(yes_gone(fieldbook, ground, run.today).values()),
                 fieldbook.wanting.of(ground.id))


def _state(fieldbook: Fieldbook, ground: Property, programme: Programme, day: date) -> ProgrammeState:
    record, asked = fieldbook.record(ground.id), set[str]()
    for visit in record.visits:  # who only asks for wishes visits no tree
        read = [reading.kind for reading in record.readings if reading.visit_id == visit.id]
        if read and all(kind in kinds() and kinds()[kind].stage == "prescribe" for kind in read):
            asked.add(visit.id)
    return programme_state(programme, [visit.day for visit in record.visits if visit.id not in asked], day)


def _held_until(told: date | None, since: date) -> date:
    """The day until which a price is held; a year where none is told."""
    if told is not None and told < since:
        raise UnreadableValue(say("offer.programme.held_before", day=show_date(since)), value=show_date(told))
    return told or months_on(since, _MONTHS)


def _visits(number: int) -> int:
    if not 1 <= number <= _MOST_VISITS:
        raise UnreadableValue(say("offer.programme.no_number"), value=str(number),
                              right=say("offer.programme.right_number", most=_MOST_VISITS))
    return number
