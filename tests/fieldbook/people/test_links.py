"""A client's link opens one offer of one property, and nothing opens it but its own token, in time."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from rootcase.fieldbook.people.links import end_link, links, make_link, open_link
from rootcase.fieldbook.store import Store, open_store
from rootcase.ground.errors import Missing, OutOfRange
from tests.fieldbook.people.chance import chance

NOW = datetime(2016, 1, 15, 12, tzinfo=UTC)
MARK = "ab" * 32


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return open_store(tmp_path / "fieldbook.sqlite", "own")


def made(store: Store, **more: int) -> tuple[str, str]:
    token, link = make_link(store, "p", MARK, by="ann1", now=NOW, random_bytes=chance(1), **more)
    return token, link.id


def test_a_token_opens_its_offer_and_the_file_does_not_hold_it(store: Store, tmp_path: Path) -> None:
    token, link_id = made(store)
    link = open_link(store, token, NOW)
    assert link is not None
    assert (link.id, link.practice_id, link.property_id, link.offer_mark, link.made_by) == (
        link_id, "own", "p", MARK, "ann1")
    assert link.expires == NOW + timedelta(days=60)
    assert not any(token.encode() in file.read_bytes() for file in tmp_path.iterdir())
    assert links(store, "p")[0].opened == NOW
    assert links(store, "q") == ()


def test_every_flipped_bit_of_a_token_opens_nothing(store: Store) -> None:
    token, _ = made(store)
    flipped = {bytes(byte ^ (1 << bit) if place == at else byte for place, byte in enumerate(token.encode()))
               for at in range(len(token)) for bit in range(8)}
    assert len(flipped) == 8 * 43
    for each in flipped:
        assert open_link(store, each.decode("latin-1"), NOW) is None
    for each in (token[:-1], token + "=", token + "A", "", token.upper(), " " + token):
        assert open_link(store, each, NOW) is None


def test_a_link_ends_by_itself_and_at_once(store: Store, tmp_path: Path) -> None:
    token, link_id = made(store, days=2)
    assert open_link(store, token, NOW + timedelta(days=2, milliseconds=-1))
    assert open_link(store, token, NOW + timedelta(days=2)) is None
    other = open_store(tmp_path / "fieldbook.sqlite", "own")  # as another process would
    assert end_link(other, link_id, NOW).ended == NOW
    assert open_link(store, token, NOW) is None
    assert end_link(store, link_id, NOW + timedelta(days=1)).ended == NOW, "an end stays where it was"


def test_another_practice_neither_sees_nor_ends_a_link(store: Store, tmp_path: Path) -> None:
    token, link_id = made(store)
    other = open_store(tmp_path / "fieldbook.sqlite", "other")
    assert links(other, "p") == ()
    with pytest.raises(Missing, match="no such link"):
        end_link(other, link_id, NOW)
    link = open_link(other, token, NOW)
    assert link is not None
    assert link.practice_id == "own", "the token says whose it is, not who asks"


@pytest.mark.parametrize("days", [0, -1, 367])
def test_a_link_lasts_a_day_to_a_year(store: Store, days: int) -> None:
    with pytest.raises(OutOfRange, match="1 to 366 days"):
        made(store, days=days)
