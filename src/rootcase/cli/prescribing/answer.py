"""rootcase prescribe answer."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from rootcase.cli.options import (
    day_option,
    day_run,
    fieldbook_option,
    json_option,
    open_book,
    out,
    property_option,
    screen,
    today,
)
from rootcase.ground.words import say


@click.command(help=say("offer.help.answer"))
@click.argument("word", type=click.Choice(["yes", "question", "no", "reply"]), required=False)
@click.option("--name", default="", help=say("offer.help.name"))
@click.option("--option", "option", type=int, metavar="N", help=say("offer.help.option"))
@click.option("--words", default="", help=say("offer.help.words"))
@click.option("--offer", "mark", default="", metavar="MARK", help=say("offer.help.mark"))
@fieldbook_option
@property_option
@json_option
@day_option
def answer(word: str | None, name: str, option: int | None, words: str, mark: str, fieldbook_path: Path | None,
           property_name: str | None, as_json: bool, day: date | None) -> None:
    from typing import cast

    from rootcase.records.offer import AnswerWord, Reply
    from rootcase.report.casework_json import stage_json
    from rootcase.report.terminal.offer import offers_text
    from rootcase.services.observe import find_property
    from rootcase.services.offer import Answering, answer_offer, offers_of, reply_to, signed_and_changes

    on = day or today()
    with open_book(fieldbook_path) as fieldbook:
        ground = find_property(fieldbook, property_name)
        if word == "reply":
            reply_to(fieldbook, ground, mark, Reply(on, name, words))
        elif word is not None:
            answer_offer(fieldbook, ground, Answering(cast(AnswerWord, word), name, option, words, mark), on)
        record, offers, people = offers_of(fieldbook, ground, on)
        signed, changes = signed_and_changes(fieldbook, ground, day_run(on))
    told = [{"offer": made, "state": state,
             "changed_since_signing": changes if signed and signed.mark == made.offer.plan_mark else ()}
            for made, state in offers]
    out(stage_json(told) if as_json else offers_text(record, offers, people, signed, changes, *screen()))
