"""A step of a batch is undone at once by who told it, and by nobody else."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from rootcase.fieldbook.body import Body
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.made.batches import BatchStepTakenBack
from rootcase.fieldbook.people.tokens import written
from rootcase.ground.errors import RootcaseError
from rootcase.services import make_batch
from rootcase.services.make_batch import batch_named, tell_step
from tests.fieldbook.making.batch_world import Yard, fit, made, usable_heap


def tell(book: Fieldbook, body: Body) -> None:
    book.making.tell(lambda _: [body])


def test_only_the_last_step_just_told_by_oneself_is_undone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(make_batch, "heap_use", usable_heap)
    yard = Yard(tmp_path / "book.sqlite")
    with yard.open() as book:
        batch = made(book, yard.clock, until="oxygen")
        oxygen = batch.told("oxygen")[-1]
        slot = next(each.body.slot for each in book.making.events() if each.id == oxygen.id)
        back = BatchStepTakenBack(slot=slot, supersedes=oxygen.id, batch=batch.id, at=written(yard.clock.at), by="rs")
        compost = batch.told("compost")[0]
        for odd in (replace(back, by="jk"), replace(back, slot="other"), replace(back, supersedes=compost.id),
                    replace(back, supersedes=None)):
            with pytest.raises(RootcaseError, match="only who has just told the last step"):
                tell(book, odd)
        yard.clock.on(1.01)
        with pytest.raises(RootcaseError, match="only who has just told the last step"):
            tell(book, replace(back, at=written(yard.clock.at)))
        yard.clock.on(-1.01)
        tell(book, back)
        assert not batch_named(book, batch.id).told("oxygen")
        for step, figures, words in (("smell", {}, {"smell": "sour"}),
                                     ("oxygen", {"oxygen_mg_l": 5.9, "temperature_c": 18.0}, {"air": "on"})):
            bad = tell_step(book, batch.id, step, figures, words, "rs").steps[-1]
            with pytest.raises(RootcaseError, match="only who has just told the last step"):
                make_batch.undo_step(book, batch.id, bad.id, "rs")
        found = tell_step(book, batch.id, "lab", {"e_coli_per_100_ml": 2400.0}, {}, "rs").told("lab")[-1]
        slot = next(each.body.slot for each in book.making.events() if each.id == found.id)
        with pytest.raises(RootcaseError, match="only who has just told the last step"):
            tell(book, BatchStepTakenBack(slot=slot, supersedes=found.id, batch=batch.id, at=written(yard.clock.at),
                                          by="rs"))
        slip = tell_step(book, batch.id, "smell", {}, {"smell": "earthy"}, "rs").steps[-1]
        assert slip.id in {each.id for each in batch_named(book, batch.id).every_step}
        fit_one = fit(book, yard.clock)
        told = tell_step(book, fit_one.id, "oxygen", {"oxygen_mg_l": 8.1, "temperature_c": 18.0}, {"air": "on"}, "rs")
        with pytest.raises(RootcaseError, match="only who has just told the last step"):
            make_batch.undo_step(book, fit_one.id, told.told("oxygen")[-1].id, "rs")
