"""Every remedy on the list: what it is, when, what trials found, what speaks against it."""

from __future__ import annotations

from collections.abc import Sequence

from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.report.terminal.paper import Paper
from rootcase.report.text.figures import sentence
from rootcase.report.text.naming import remedy_name
from rootcase.tables.load import Row, table


def chosen_remedies(codes: Sequence[str]) -> list[Row]:
    """The rows of these remedies, of all where none is named, as the table orders them."""
    rows = table("prescribe/remedies").rows
    known = [row["remedy"] for row in rows]
    for code in codes:
        if code not in known:
            raise Missing(say("dose.list.not_on_list"), value=f'"{code}"', right=", ".join(known))
    return [row for row in rows if not codes or row["remedy"] in codes]


def remedies_json(rows: Sequence[Row]) -> list[dict[str, object]]:
    """The same as fields: codes, words, evidence and source."""
    return [{"remedy": row["remedy"], "name": remedy_name(row["remedy"]), "what": say(f"dose.what.{row['remedy']}"),
             "against": say(f"dose.why_not.{row['remedy']}"), "evidence": row["evidence"],
             "evidence_without_need": row["evidence_without_need"], "in_model": row["in_model"] == 1.0,
             "season": row["season"], "cautions": _cautions(row), "source": row["source"],
             "how_known": row["how_known"]} for row in rows]


def remedies_text(rows: Sequence[Row], width: int, colour: bool) -> str:
    """A heading for each remedy, its words under it."""
    paper = Paper(width, colour)
    for row in rows:
        code = row["remedy"]
        paper.heading(sentence(remedy_name(code)), code)
        paper.say(say(f"dose.what.{code}"))
        if row["season"]:
            paper.say(say("dose.list.when", season=say(f"prescribe.season.{row['season']}")))
        paper.say(say("dose.list.evidence", evidence=_evidence(row["evidence"])))
        if row["evidence_without_need"] != row["evidence"]:
            paper.say(say("dose.list.without", evidence=_evidence(row["evidence_without_need"])))
        if not row["in_model"]:
            paper.say(say("dose.list.beyond_model"))
        paper.say(say("dose.list.against", against=say(f"dose.why_not.{code}")))
        if cautions := _cautions(row):
            paper.say(say("dose.list.cautions", cautions=" ".join(cautions)), bold=True)
        paper.say(say("dose.list.rests", source=row["source"], how=row["how_known"]), quiet=True)
    return paper.text()


def _evidence(grade: str) -> str:
    return say(f"report.evidence.{grade.replace(' ', '_')}")


def _cautions(row: Row) -> list[str]:
    return [say(f"prescribe.caution.{code}") for code in str(row["cautions"] or "").split("|") if code]
