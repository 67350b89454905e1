"""All that was said of one reading stays to be seen, in the order it was said."""

from __future__ import annotations

import pytest

from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.ground.errors import Missing
from rootcase.services.demo import import_demo


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Fieldbook:
    folder = tmp_path_factory.mktemp("history")
    fieldbook = open_fieldbook(folder / "demo.sqlite")
    import_demo(fieldbook, folder / "demo")
    return fieldbook


def test_a_slip_put_right_twice_and_taken_back(demo: Fieldbook) -> None:
    record = demo.record(demo.properties()[0].id)
    reading = next(each for each in record.readings if each.kind == "dbh")
    second = demo.correct(reading.id, "31 cm", "slip")
    third = demo.correct(second, "32 cm", "looked again")
    for asked in (reading.id, second, third):
        told = demo.history(asked)
        assert [(each.saying, each.typed, each.stands) for each in told.said] == [
            ("taken", reading.typed, False), ("corrected", "31 cm", False), ("corrected", "32 cm", True)]
        assert (told.kind, told.of, told.property_id) == ("dbh", reading.of, record.property.id)
        assert told.standing is not None
        assert told.standing.id == third
    demo.take_back(third, "wrong tree")
    told = demo.history(reading.id)
    assert (told.said[-1].saying, told.said[-1].reason, told.standing) == ("taken back", "wrong tree", None)


def test_an_import_that_was_undone_takes_its_readings_with_it(demo: Fieldbook) -> None:
    ground = demo.properties()[1]
    reading = next(each for each in demo.record(ground.id).readings if "soil" in each.source)
    demo.undo_import(ground.id, "wrong file")
    told = demo.history(reading.id)
    assert (told.said[-1].saying, told.said[-1].reason, told.standing) == ("undone", "wrong file", None)


def test_a_reading_that_was_never_made(demo: Fieldbook) -> None:
    with pytest.raises(Missing, match=r"no such reading \(got nothing\)"):
        demo.history("nothing")
