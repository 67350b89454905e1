"""Which trees nobody works under."""

from __future__ import annotations

from datetime import date

from rootcase.casework.apply.gates import concerned_trees
from rootcase.records.observe import Property, PropertyRecord, Reading

MONDAY, TUESDAY = date(2016, 5, 2), date(2016, 5, 3)
GROUND = Property("p", "own", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)


def concerned(*told: tuple[str, date, str]) -> frozenset[str]:
    readings = tuple(Reading(f"r{at}", "structural_concern", tree, "v", day, "rs", None, choice, "=", None, choice)
                     for at, (tree, day, choice) in enumerate(told))
    return concerned_trees(PropertyRecord(GROUND, (), (), (), (), (), readings, (), {}))


def test_the_newest_reading_of_each_tree_decides() -> None:
    assert concerned(("a", MONDAY, "seen"), ("b", MONDAY, "none_seen")) == {"a"}
    assert concerned(("a", TUESDAY, "none_seen"), ("a", MONDAY, "seen")) == frozenset()
    assert concerned(("a", MONDAY, "none_seen"), ("a", MONDAY, "seen")) == {"a"}
