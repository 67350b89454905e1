"""rootcase apply: trucks, crews, fill points, drives and batches told at the command line."""

from __future__ import annotations

from pathlib import Path

from click.testing import CliRunner, Result

from rootcase.cli.apply import apply
from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.ground.errors import RootcaseError
from rootcase.services.fleet import fleet

AHEAD = "2099-05-03"


def run(file: Path, *words: str) -> Result:
    return CliRunner().invoke(apply, [*words, "--by", "rs", "--fieldbook", str(file)])


def test_a_yard_is_told_word_by_word(tmp_path: Path) -> None:
    file, drives = tmp_path / "own.sqlite", tmp_path / "drives.csv"
    drives.write_text(",yard\nyard,0\n", encoding="utf-8")
    with open_fieldbook(file):
        pass
    for words in (("fill-point", "name=yard", "where=47.45, -122.31", "fill=15", "yard=yes", "time_zone=UTC"),
                  ("truck", "name=truck 1", "tank=300 gal"), ("crew", "name=crew 1", "truck=truck 1", "people=rs"),
                  ("travel", "road=140", "--table", str(drives)),
                  ("plan-batch", f"day={AHEAD}", "ready=7:30", "volume=200 gal"),
                  ("crew", "name=crew 1", "back=16:00")):
        done = run(file, *words)
        assert done.exit_code == 0, (words, done.output, done.exception)
    assert "crew 1 is off the list." in run(file, "crew", "name=crew 1", "--gone").output
    refused = run(file, "truck", "name=truck 2", "tank=lots")
    assert isinstance(refused.exception, RootcaseError)
    assert "tank: " in str(refused.exception)
    assert "drives are not taken away" in str(run(file, "travel", "--gone").exception)
    over = run(file, "plan-batch", "day=2016-05-03", "ready=7:30", "volume=9 gal")
    assert "day: this day is over" in str(over.exception)
    assert run(file, "travel", "road=", "speed=").exit_code == 0
    with open_fieldbook(file) as book:
        assert fleet(book).travel.road_factor is None
