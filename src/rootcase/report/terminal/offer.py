"""Offers, answers, programmes and what is due in the terminal."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from rootcase.ground.dates import count_days, show_date
from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord
from rootcase.records.offer import Change, DueItem, MadeOffer, OfferState, ProgrammeState, SignedPlan, newest_answered
from rootcase.report.terminal.paper import Paper
from rootcase.report.text.due import due_lines
from rootcase.report.text.offer import (
    BLOCKS,
    Shown,
    block,
    gone_line,
    head_of,
    option_name,
    side_by_side,
    state_line,
    tax_line,
    title_of,
    trial_lines,
    valid_line,
    who_lines,
    work_lines,
)
from rootcase.report.text.offered_choice import chosen_against, since_signing
from rootcase.report.text.offered_trees import tree_lines
from rootcase.report.text.signed import mark_shown


def offer_text(shown: Shown, told: Sequence[str] = (), width: int = 80, colour: bool = False) -> str:
    """Return an offer as its page says it; told: what only the practice is told."""
    paper = Paper(width, colour)
    paper.title(title_of(shown), head_of(shown))
    for line in told:
        paper.say(line)
    paper.say(since_signing(shown.record, shown.changes), bold=True)
    paper.say(valid_line(shown.offer))
    paper.say(tax_line(shown.offer))
    paper.gap()
    paper.heading(say("offer.tree.title"))
    for line in tree_lines(shown):
        paper.item("·", line)
    paper.gap()
    rows = side_by_side(shown)
    paper.columns(rows, right=range(1, len(rows[0])), head=True)
    for option in shown.offer.options:
        if option.work:
            paper.heading(option_name(option))
            for line in work_lines(option, shown):
                paper.item("·", f"{line.work} {line.cost}")
    if against := chosen_against(shown.signed, shown.labels, shown.offer.currency):
        paper.heading(say("offer.against.title"))
        for text in against:
            paper.item("·", text)
    if trial := trial_lines(shown):
        paper.heading(trial[0])
        for text in trial[1:]:
            paper.item("·", text)
    for name in BLOCKS:
        paper.heading(say(f"offer.block.{name}"))
        for text in block(name, shown):
            paper.item("·", text)
    if shown.offer.terms:
        paper.heading(say("offer.terms"))
        for paragraph in shown.offer.terms.split("\n"):
            paper.say(paragraph)
    paper.gap()
    for line in who_lines(shown):
        paper.say(line, quiet=True)
    return paper.text()


def offers_text(record: PropertyRecord, offers: Sequence[tuple[MadeOffer, OfferState]], people: Mapping[str, str],
                signed: SignedPlan | None = None, changes: Sequence[Change] = (), width: int = 80,
                colour: bool = False) -> str:
    """Return every offer of a property, newest first: what was said to it, whether that holds, and on what plan."""
    labels = {tree.id: tree.label for tree in record.trees}
    paper = Paper(width, colour)
    paper.title(record.property.name, say("offer.title_all"))
    if not offers:
        paper.say(say("offer.none_here"))
    yes = [made for made, _ in offers if made.decided and made.decided.answer == "yes"]
    binding = newest_answered([made for made, _ in offers])
    if len(yes) > 1 and binding is not None and binding.decided is not None:
        paper.say(say("offer.newest_binds", number=binding.number, day=show_date(binding.decided.day)), bold=True)
    for made, state in offers:
        paper.heading(say("offer.head", number=made.number, day=show_date(made.offer.made_on)), mark_shown(made.mark))
        paper.say(state_line(made, state, people, record))
        if signed is None or signed.mark != made.offer.plan_mark:
            continue
        for line in chosen_against(signed, labels, made.offer.currency):
            paper.say(line)
        if changes:
            paper.say(since_signing(record, changes), bold=True)
            paper.say(say("offer.since.ask_again"), bold=True)
    return paper.text()


def programme_text(record: PropertyRecord, states: Sequence[ProgrammeState],
                   gone: Mapping[str, tuple[MadeOffer, OfferState]] | None = None, width: int = 80,
                   colour: bool = False) -> str:
    """Return each programme: its visits, what was skipped and why, until when its price is held."""
    paper = Paper(width, colour)
    paper.title(record.property.name, say("offer.programme.title"))
    if not states:
        paper.say(say("offer.programme.none"))
    for state in states:
        programme = state.programme
        paper.heading(say("offer.programme.head", day=show_date(programme.years[0][0]), option=programme.option),
                      mark_shown(programme.offer_mark))
        if programme.stopped is not None:
            paper.say(say("offer.programme.stopped", day=show_date(programme.stopped),
                          reason=programme.stopped_because))
        else:
            held = "held" if state.price_held else "held_no_more"
            paper.say(say(f"offer.programme.{held}", day=show_date(programme.price_until)))
            paper.say(say("offer.programme.renewal", day=show_date(state.renewal_due)))
            if gone and programme.offer_mark in gone:
                why = gone_line(*gone[programme.offer_mark], record)
                paper.say(say("offer.programme.yes_gone", why=why), bold=True)
        paper.gap()
        paper.columns([(show_date(visit.due), say(f"offer.programme.visit.{visit.state}"), visit.told)
                       for visit in state.visits])
        shown = {visit.due for visit in state.visits}
        earlier = [(day, why) for day, why in programme.skipped if day not in shown]
        paper.columns([(show_date(day), say("offer.programme.visit.skipped"), why) for day, why in earlier])
    return paper.text()


def due_text(items: Sequence[DueItem], records: Mapping[str, PropertyRecord], today: date, until: date,
             width: int = 80, colour: bool = False) -> str:
    """Return what is due, overdue first, and what is not tracked."""
    paper = Paper(width, colour)
    paper.title(say("offer.due.title"), say("offer.due.until", day=show_date(until)))
    if not items:
        paper.say(say("offer.due.nothing", days=count_days((until - today).days)))
    for when, where, what in due_lines(items, records, today):
        paper.line(f"{when} · {where}", bold=True)
        paper.say(what, indent=2)
    paper.gap()
    paper.say(say("offer.due.not_tracked"), quiet=True)
    return paper.text()
