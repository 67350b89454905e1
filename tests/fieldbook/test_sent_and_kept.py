"""What phones sent, also what waits and what does not fit, goes through undoing, exports and archives."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from zipfile import ZipFile

import pytest

from rootcase.fieldbook.events import VisitStarted
from rootcase.fieldbook.export.public import PUBLIC_FIELDS
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.archive import open_archive
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.fieldbook.put_on_log import put_on_of
from rootcase.ground.errors import Missing
from rootcase.records.field import PutOn
from rootcase.records.people import UNBOUND, Bounds
from tests.fieldbook.sheets import NOW, SHEET, open_book, write_sheet
from tests.fieldbook.test_taking_in import events_of, held, sent, taken, trunk


def rows(archive: Path, name: str) -> list[dict[str, str]]:
    with ZipFile(archive) as found:
        return list(csv.DictReader(io.StringIO(found.read(name).decode("utf-8"), newline="")))


def log_of(book: Fieldbook) -> tuple[PutOn, ...]:
    return put_on_of(events_of(book))


def test_what_was_put_on_what_waits_and_what_does_not_fit_come_back_with_an_archive(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.sqlite") as book, open_book(tmp_path / "again.sqlite") as again:
        property_id = book.import_sheet(write_sheet(tmp_path / "sheet", SHEET)).property_id
        log = sent(book, PutOnLogged(slot="log", tree=held(book).trees[0].id, remedy="mulch", day=NOW.date(),
                                     by="crew1", amount="3 in", note="=1+1"))
        waits = sent(book, trunk(book, 301.0, visit="v 9"))
        wrong = sent(book, trunk(book, 90_000.0, slot="phone 1/2"))
        told = book.taking_in.take([log, waits, wrong], NOW, within=Bounds("crew1"))
        assert [each.state for each in told] == ["new", "waiting", "refused"]
        with pytest.raises(Missing, match=r"rests on it \(1 in all\) \(got put on logged\)"):
            book.undo_import(property_id, "wrong file")
        book.export(tmp_path / "all.zip")
        book.export(tmp_path / "copy.zip", public=True)
        with open_archive(tmp_path / "all.zip") as archive:
            again.restore(archive)
        assert again.state_hash() == book.state_hash()
        assert log_of(again) == log_of(book) != ()
        assert again.aside.kept(UNBOUND) == book.aside.kept(UNBOUND) != ()
        assert again.aside.kept(Bounds("crew2")) == ()
        visit = sent(again, VisitStarted(slot="v", visit="v 9", label="v 9", day=NOW.date(), observer="owner1"))
        taken(again, visit)
        assert {each.id for each in again.aside.kept(UNBOUND)} == {waits.id, wrong.id}, "its sender's rights came along"

    [row] = rows(tmp_path / "all.zip", "records/put_on_logged.csv")
    assert (row["tree"], row["amount"], row["note"], row["by"]) == ("oak 1", "3 in", "=1+1", "crew1")
    assert [each["id"] for each in rows(tmp_path / "all.zip", "records/waiting_events.csv")] == [waits.id]
    assert [each["why"] for each in rows(tmp_path / "all.zip", "records/kept_aside.csv")] == [told[2].error]
    with ZipFile(tmp_path / "copy.zip") as copy:
        said = b"".join(map(copy.read, copy.namelist()))
    assert "put_on_logged" not in PUBLIC_FIELDS
    assert not [each for each in (waits.id, wrong.id, log.id, "=1+1") if each.encode() in said]
