"""Client: what somebody with a link may look at, and what they answer to it; nothing else of the practice."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.ground.errors import UnreadableValue
from rootcase.ground.length import MOST_WORDS, require_length
from rootcase.ground.words import say
from rootcase.records.observe import Property
from rootcase.records.offer import MadeOffer
from rootcase.services.offer import Answering, answer_offer

MOST_ANSWERS, MOST_NAME = 10, 80
"""JUDGEMENT: answers a day to one offer and letters of a name; nobody in earnest needs more."""


def answer_by_link(fieldbook: Fieldbook, ground: Property, made: MadeOffer, answering: Answering, day: date) -> None:
    """Keep what a client said to just this offer; what cannot be taken names the field of the form."""
    name, words = _plain(answering.name), answering.words.strip()
    if not name or len(name) > MOST_NAME:
        raise UnreadableValue(say("client.no_name"), where="name", right=say("client.right_name", most=MOST_NAME))
    if answering.answer == "question" and not words:
        raise UnreadableValue(say("client.no_words"), where="words", right=say("client.right_words", most=MOST_WORDS))
    require_length(words, MOST_WORDS, where="words")
    answer_offer(fieldbook, ground, replace(answering, name=name, words=words, mark=made.mark), day,
                 most_a_day=MOST_ANSWERS)


def _plain(name: str) -> str:
    """A name in one line, of signs that can be seen."""
    return " ".join("".join(sign if sign.isprintable() else " " for sign in name).split())
