"""Entries that a phone saved as a file come in once, as if it had sent them; what does not fit is told."""

from __future__ import annotations

import json
from base64 import b64encode
from collections.abc import Iterator
from dataclasses import asdict, replace
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.people.register import add_person
from rootcase.ground.errors import FileError, ImpossibleValue
from rootcase.services.phone_file import take_phone_file
from rootcase.services.sealing import sealing_pair
from tests.fieldbook.sheets import NOW, SHEET, open_book, write_sheet
from tests.fieldbook.test_taking_in import sent, trunk
from tests.services.packs import sealed
from tests.services.test_sealing import told, visit_of

PHOTO = b"\xff\xd8\xff a photo"


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Fieldbook]:
    with open_book(tmp_path / "book.sqlite") as fieldbook:
        fieldbook.import_sheet(write_sheet(tmp_path / "sheet", SHEET))
        yield fieldbook


def saved(folder: Path, **told: Any) -> Path:
    whole = {"rootcase_field": 1, "practice": "own", "phone": "p", "person": "crew1", "made_at": "", "events": [],
             "photos": []} | told
    path = folder / "unsent.json"
    path.write_text(json.dumps(whole), encoding="utf-8")
    return path


def test_it_comes_in_once(book: Fieldbook, tmp_path: Path) -> None:
    one = sent(book, trunk(book))
    mark = sha256(PHOTO).hexdigest()
    path = saved(tmp_path, events=[asdict(one)], photos=[
        {"mark": mark, "type": "image/jpeg", "base64": b64encode(PHOTO).decode()}])
    first, second = take_phone_file(book, path, NOW), take_phone_file(book, path, NOW)
    assert (first.count("new"), first.photos, first.refused) == (1, 1, ())
    assert (second.count("new"), second.count("known")) == (0, 1)
    assert book.photos.sound(mark) is not None


def test_what_is_sealed_in_it_comes_in_too(book: Fieldbook, tmp_path: Path) -> None:
    add_person(book.store, "crew1", "Rowan Doe", "crew1", "crew")
    pair = sealing_pair(book.store, NOW)
    pack = b64encode(sealed(pair, told(book, pair, visit_of(book, "crew1")))).decode()
    assert take_phone_file(book, saved(tmp_path, practice="", sealed=[pack]), NOW).count("new") == 1


def test_what_does_not_fit_is_told_and_the_rest_kept(book: Fieldbook, tmp_path: Path) -> None:
    good, bad = sent(book, trunk(book)), sent(book, trunk(book, slot="phone 1/2"))
    taken = take_phone_file(book, saved(tmp_path, events=[asdict(good), asdict(replace(bad, hash="0" * 64))]), NOW)
    assert (taken.count("new"), [each.id for each in taken.refused]) == (1, [bad.id])


def test_another_practices_file_changes_nothing(book: Fieldbook, tmp_path: Path) -> None:
    before = book.state_hash()
    picture = {"mark": sha256(PHOTO).hexdigest(), "base64": b64encode(PHOTO).decode()}
    for more in ({"events": [asdict(sent(book, trunk(book)))]}, {"photos": [picture]}):
        with pytest.raises(ImpossibleValue, match="another practice"):
            take_phone_file(book, saved(tmp_path, practice="other", **more), NOW)
    assert book.state_hash() == before
    assert book.photos.sound(picture["mark"]) is None


def test_what_is_damaged_is_told_and_all_else_taken(book: Fieldbook, tmp_path: Path) -> None:
    add_person(book.store, "crew1", "Rowan Doe", "crew1", "crew")
    pair = sealing_pair(book.store, NOW)
    pack, mark = sealed(pair, told(book, pair, visit_of(book, "crew1"))), sha256(PHOTO).hexdigest()
    whole, text = b64encode(pack).decode(), b64encode(PHOTO).decode()
    taken = take_phone_file(book, saved(
        tmp_path, events=[{"id": 3}, asdict(sent(book, trunk(book)))],
        sealed=["?", b64encode(pack[:-1]).decode(), whole],
        photos=[{"mark": "0" * 64, "base64": text}, {"mark": mark}, {"mark": mark, "base64": text}]), NOW)
    assert (taken.count("new"), taken.photos, taken.refused) == (2, 1, ())
    assert [each.split(":")[0] for each in taken.damaged[:-1]] == ["entry 1", "photo 1", "photo 2", "locked packet 1"]
    assert taken.damaged[-1].startswith("what was sealed has changed on its way")
    assert book.photos.sound(mark) is not None


@pytest.mark.parametrize("text", [
    "", "[]", "{}", "7", '{"rootcase_field": 2}', "[" * 100_000,
    '{"rootcase_field": 1, "practice": "own", "events": 3}',
    '{"rootcase_field": 1, "practice": "own", "events": []}', "\udc80"])
def test_what_is_no_such_file_is_told_in_one_line(book: Fieldbook, tmp_path: Path, text: str) -> None:
    path = tmp_path / "x.json"
    path.write_bytes(text.encode("utf-8", "surrogateescape"))
    with pytest.raises(FileError, match="no file of unsent entries"):
        take_phone_file(book, path, NOW)
