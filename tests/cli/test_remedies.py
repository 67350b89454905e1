"""The list of remedies on the command line."""

from __future__ import annotations

import json

from click.testing import CliRunner

from rootcase.cli.prescribing.remedies import remedies
from rootcase.ground.errors import Missing
from rootcase.tables.load import table

CODES = [row["remedy"] for row in table("prescribe/remedies").rows]


def test_every_remedy_is_listed_with_evidence_and_what_speaks_against_it() -> None:
    done = CliRunner().invoke(remedies)
    assert done.exit_code == 0, done.output
    assert done.output.count("Against it:") == len(CODES)
    assert "Trials found nothing" in done.output


def test_one_is_told_as_json() -> None:
    done = CliRunner().invoke(remedies, ["gypsum", "--json"])
    told, = json.loads(done.output)
    assert (told["remedy"], told["evidence_without_need"]) == ("gypsum", "trials found nothing")
    assert told["source"]
    assert told["cautions"]


def test_an_unknown_one_is_named_with_those_there_are() -> None:
    done = CliRunner().invoke(remedies, ["tonic"])
    assert isinstance(done.exception, Missing)
    assert '"tonic"' in str(done.exception)
    assert "gypsum" in str(done.exception)
