"""Catch cups of a controller's zones: from the sheet, a row a cup, to minutes on the clock."""

from __future__ import annotations

from pathlib import Path

import pytest

from rootcase.casework.explain.ground import ground_of
from rootcase.casework.prescribe.needs import Standing
from rootcase.casework.prescribe.sprinklers import zone_runs
from rootcase.science.tree.site import Site
from tests.fieldbook.sheets import SHEET, open_book, write_sheet

LOAM = Site(sand=0.4, clay=0.2, organic_matter_pct=2.0, litter=1.0, ece_ds_m=0.4, sar=1.0, ph=6.5,
            trunk_diameter_m=0.3, crown_radius_m=5.0, salt_threshold_ds_m=2.0, salt_slope_pct=14.0, lock_up_per_ph=0.03)
PLACES = [["place", "repeat", "place_kind", "controller zone", "Water caught in a cup", "Minutes the test ran",
           "zone_heads"],
          ["lawn", "1", "lawn", "3", "0.20 in", "15", "spray"], ["lawn", "2", "", "3", "0.30", "", ""],
          ["lawn", "3", "", "3", "0.25", "", ""], ["lawn", "4", "", "3", "1/4", "", ""],
          ["lawn", "5", "", "4", "0.5", "10", "rotor"], ["wood", "", "woodland", "", "", "", ""]]


def test_cups_of_two_zones_are_told_apart(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.sqlite") as book:
        result = book.import_sheet(write_sheet(tmp_path / "sheet", {**SHEET, "places": PLACES}))
        record = book.record(book.properties()[0].id)
    assert result.rejects_path is None
    tree = next(tree for tree in record.trees if tree.label == "oak 4")
    run, = zone_runs(Standing(ground_of(record, [tree]), LOAM, {}), 12.7)  # the one cup of zone 4 tells too little
    assert (run.zone, run.heads, run.cups) == ("3", "spray", 4)
    assert run.rate_mm_h == pytest.approx(25.4)
    assert run.evenness == pytest.approx(0.8)
    assert run.minutes == pytest.approx(30.0 / 0.88)
