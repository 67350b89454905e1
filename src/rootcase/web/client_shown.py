"""What a client's page shows: one offer of one property, with what was found and why; nothing else."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any

from markupsafe import Markup

from rootcase.ground.measured import told
from rootcase.ground.words import say
from rootcase.records.observe import Property, PropertyRecord
from rootcase.records.offer import MadeOffer, OfferState
from rootcase.records.people import ClientLink
from rootcase.records.prove import Proof
from rootcase.records.report import Casework
from rootcase.report.pictures import draw_proof, draw_section, draw_shares
from rootcase.report.pictures.signs import Layout
from rootcase.report.text import client, one_tree, whole_property
from rootcase.report.text.cases import TreeCase, tree_cases
from rootcase.report.text.doses import TAPE
from rootcase.report.text.offer import (
    Shown,
    gone_line,
    option_name,
    reply_line,
    said_line,
    title_of,
    work_lines,
)
from rootcase.report.text.recall import client_lines
from rootcase.report.text.tried import tried_lines
from rootcase.services.kept import Kept
from rootcase.services.offer import offers_of
from rootcase.services.proof import proofs
from rootcase.services.recall import recalled_at
from rootcase.web import plan_work
from rootcase.web.desk import Desk
from rootcase.web.offer_shown import paper_of
from rootcase.web.picture import both

LAYOUTS: tuple[Layout, ...] = ("wide", "phone")
_HELD = 32
"""JUDGEMENT: pages at hand, some 100 kB each."""


@dataclass(frozen=True, slots=True)
class _Asked:
    """What decides a page's lasting parts, and where to take them from."""

    key: tuple[object, ...]
    desk: Desk = field(compare=False)
    practice_id: str = field(compare=False)
    ground: Property = field(compare=False)
    made: MadeOffer = field(compare=False)
    kept: Kept = field(compare=False)


def offered(desk: Desk, link: ClientLink) -> tuple[Property, MadeOffer] | None:
    """The property and the offer of a link; None where the practice has it no more."""
    ground = desk.grounds(link.practice_id).get(link.property_id)
    made = next((each for each in desk.book(link.practice_id).offers(link.property_id)
                 if each.mark == link.offer_mark), None)
    return (ground, made) if ground and made else None


def client_page(desk: Desk, link: ClientLink, ground: Property, made: MadeOffer) -> dict[str, Any]:
    """All that the page shows."""
    book, kept = desk.book(link.practice_id), desk.kept(link.practice_id, ground)
    casework = kept.casework
    key = (desk.path, link.practice_id, ground.id, made.mark, book.arrivals.commits(), desk.today(link.practice_id),
           casework and (casework.made_on, casework.plan_mark))
    record, states, people = offers_of(book, ground, desk.today(link.practice_id))
    state = next(state for each, state in states if each.mark == made.mark)
    paper = _composed(_Asked(key, desk, link.practice_id, ground, made, kept))
    tried = [(tried_lines(proof, trial, {tree.id: tree.label for tree in record.trees}),
              _trial_drawn(proof, ground)) for proof in proofs(book, [ground.id]) for trial in proof.properties]
    recalls = client_lines(recalled_at(book, ground.id), ground.id)
    return {"ground": ground, "made": made, "paper": paper, "recalls": recalls, "tried": tried,
            "practice": book.practice(), "until": link.expires,
            "open": state.standing == "open" and paper is not None, **_answers(made, state, record, people),
            "options": [(option.number, option_name(option)) for option in made.offer.options if option.number]}


def _answers(made: MadeOffer, state: OfferState, record: PropertyRecord, people: Mapping[str, str]) -> dict[str, Any]:
    """What was said, and whether it still holds."""
    said = [" ".join(filter(None, (said_line(each, made, people), reply_line(each)))) for each in made.answers]
    gone = "" if state.standing == "open" else gone_line(made, state, record)
    yes = made.decided is not None and made.decided.answer == "yes"
    return {"said": said, "gone": " ".join(filter(None, (gone, say("offer.yes_again") if gone and yes else "")))}


@lru_cache(maxsize=_HELD)
def _composed(asked: _Asked) -> dict[str, Any] | None:
    """What is the same for everybody who looks; None where the plan of the offer is not at hand any more."""
    desk, casework = asked.desk, asked.kept.casework
    shown: Shown | None = desk.jobs.call(plan_work.shown, desk.elsewhere(asked.practice_id), asked.ground.id,
                                         desk.run(asked.practice_id), asked.made)
    if shown is None:
        return None
    paper = paper_of(shown)
    futures = [(option_name(option), [(row[0], row[at]) for row in paper["rows"]], work_lines(option, shown))
               for at, option in enumerate(shown.offer.options, 1)]
    return {**paper, "title": title_of(shown), "futures": futures, "keep_off": _keep_off(shown.record),
            **_found(replace(casework, plan=shown.plan) if casework else None)}


def _found(casework: Casework | None) -> dict[str, Any]:
    """The finding, what happens if nothing is done, one picture, and why; blank until it was reckoned."""
    if casework is None:
        return {"headline": [], "sure": "", "causes": "", "if_nothing": [], "picture": None, "why": []}
    cases, record = tree_cases(casework), casework.record
    why = [(case.tree.label, " ".join(one_tree.headline(case)), client.why(case, record))
           for case in cases if case.explanation and case.share]
    return {"headline": whole_property.headline(cases), "sure": whole_property.sureness(cases),
            "causes": whole_property.causes(cases), "picture": _picture(cases, casework), "why": why,
            "if_nothing": [each.text for each in whole_property.if_nothing(cases)]}


def _picture(cases: tuple[TreeCase, ...], casework: Casework) -> tuple[Markup, str] | None:
    """The section of the only tree that was read, else every tree against its kind; with what it shows."""
    record, read = casework.record, [case for case in cases if case.share]
    if not read:
        return None
    line, explanation = read[0].comparison, read[0].explanation
    if len(read) == 1 and line and explanation:
        return both(*(draw_section(record, read[0].tree.id, line, explanation, layout)
                      for layout in ("wide", "phone"))), ""
    return both(draw_shares(record, casework.comparison),
                draw_shares(record, casework.comparison, "phone")), say("report.first.caption")


def _trial_drawn(proof: Proof, ground: Property) -> Markup | None:
    """A trial at this property alone; None while its trees were not read again."""
    if not proof.look:
        return None
    wide, phone = (draw_proof(proof, {ground.id: ground.name}, ground.id, ground.system, invented=ground.invented,
                              layout=layout) for layout in LAYOUTS)
    return both(wide, phone, proof.remedy)


def _keep_off(record: PropertyRecord) -> list[str]:
    """Wells and other ground that was drawn to be kept clear of."""
    return [say("client.keep_off", name=each.name, reason=each.reason,
                distance=told(each.distance_m, "m", record.property.system, TAPE)) for each in record.keep_off]
