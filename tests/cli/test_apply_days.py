"""A day on the line of apply's commands, as a stranger would mistype it."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from rootcase.cli.main import rootcase


@pytest.mark.parametrize("words", [
    ("give", "15.1.", "crew 1", "--by", "rs"), ("move", "tomorrow", "crew 1", "1", "--by", "rs"),
    ("move", "2016-01-15", "crew 1", "1", "--to-day", "2016-02-30", "--by", "rs"),
    ("day", "1/15", "crew 1", "--out", "x.pdf"), ("sheet", "", "crew 1", "--out", "x.pdf"), ("notice", "x", "ground")])
def test_a_day_that_is_none_is_told_with_how_to_write_it(words: tuple[str, ...]) -> None:
    done = CliRunner().invoke(rootcase, ["apply", *words])
    assert done.exit_code == 2
    told = " ".join(done.output.split())
    assert "is not a day; write it as 2016-01-15" in told
    assert "%Y" not in told
