"""Links for clients: each opens one offer of one property, for a time, until it is ended."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import Row, insert, select, update

from rootcase.fieldbook.people.tokens import new_token, read_moment, read_perhaps, token_hash, written
from rootcase.fieldbook.store import Store
from rootcase.fieldbook.store.door import client_links
from rootcase.fieldbook.store.practices import know_practice
from rootcase.ground.errors import Missing, OutOfRange
from rootcase.ground.ids import IdMaker
from rootcase.ground.words import say
from rootcase.records.people import ClientLink

USUAL_DAYS = 60
"""JUDGEMENT: as long as a household may think an offer over."""
MOST_DAYS = 366
"""JUDGEMENT: what is older than a year is offered anew."""
_SAME_LOOK = timedelta(minutes=10)
"""JUDGEMENT: who turns the page is still looking; nothing is written for that."""


def make_link(store: Store, property_id: str, offer_mark: str, *, by: str, now: datetime,
              random_bytes: Callable[[int], bytes], days: int = USUAL_DAYS) -> tuple[str, ClientLink]:
    """Make a link to one offer; its token is known now and never again. by: the code of who makes it."""
    if not 1 <= days <= MOST_DAYS:
        raise OutOfRange(say("people.link_days"), value=f"{days}", right=say("people.link_days_right", most=MOST_DAYS))
    token = new_token(random_bytes)
    link_id = IdMaker(lambda: int(now.timestamp() * 1000), random_bytes)()
    with store.whole_file(writes=True) as file:
        know_practice(file, store.practice_id)
        file.execute(insert(client_links).values(
            token_hash=token_hash(token), id=link_id, practice_id=store.practice_id, property_id=property_id,
            offer_mark=offer_mark, made_by=by, made_at=written(now), expires_at=written(now + timedelta(days=days))))
    return token, next(link for link in links(store, property_id) if link.id == link_id)


def open_link(store: Store, token: str, now: datetime) -> ClientLink | None:
    """What a token opens, of whichever practice; None, after the same work, where it is wrong, expired or ended."""
    with store.whole_file() as file:
        row = file.execute(select(client_links).where(client_links.c.token_hash == token_hash(token))).first()
    if row is None or row.ended_at is not None or row.expires_at <= written(now):
        return None
    link = _link(row)
    if link.opened is None or now - link.opened > _SAME_LOOK:
        with store.whole_file(writes=True) as file:
            file.execute(update(client_links).where(client_links.c.id == link.id).values(opened_at=written(now)))
    return link


def end_link(store: Store, link_id: str, now: datetime) -> ClientLink:
    """End a link of this practice at once; the next request with its token is refused."""
    with store.whole_file(writes=True) as file:
        file.execute(update(client_links).where(
            client_links.c.practice_id == store.practice_id, client_links.c.id == link_id,
            client_links.c.ended_at.is_(None)).values(ended_at=written(now)))
        row = file.execute(select(client_links).where(client_links.c.practice_id == store.practice_id,
                                                      client_links.c.id == link_id)).first()
    if row is None:
        raise Missing(say("people.no_link"), value=link_id)
    return _link(row)


def links(store: Store, property_id: str) -> tuple[ClientLink, ...]:
    """Every link of a property, newest first, the ended and the expired among them."""
    asked = select(client_links).where(client_links.c.practice_id == store.practice_id,
                                       client_links.c.property_id == property_id)
    with store.whole_file() as file:
        found = file.execute(asked.order_by(client_links.c.made_at.desc(), client_links.c.id.desc())).all()
    return tuple(_link(row) for row in found)


def _link(row: Row[Any]) -> ClientLink:
    return ClientLink(row.id, row.practice_id, row.property_id, row.offer_mark, row.made_by, read_moment(row.made_at),
                      read_moment(row.expires_at), read_perhaps(row.ended_at), read_perhaps(row.opened_at))
