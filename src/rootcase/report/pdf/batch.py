"""A batch on paper: the sheet with all that was told of it, and the label for its tank."""

from __future__ import annotations

from datetime import date
from typing import Any

from rootcase.ground.quantity import show
from rootcase.ground.words import say
from rootcase.records.make.paper import BatchPaper
from rootcase.report.lettering import printable
from rootcase.report.pdf.typeset import PAPER, typeset
from rootcase.report.text.balance import balance_line
from rootcase.report.text.batch import (
    barred_by,
    batch_state,
    became_line,
    caution_lines,
    day_and_clock,
    load_told,
    moment_and_by,
    step_said,
    sums_told,
    taken_back_told,
    zone_of,
)
from rootcase.report.text.claims import claim_heads, claim_lines, claim_rows, claim_sources
from rootcase.report.text.figures import sentence
from rootcase.report.text.recall import went_lines
from rootcase.report.text.slides import row_told, slide_told

_CAUTIONS = ("load", "end", "lab")


def batch_sheet_pdf(paper: BatchPaper) -> bytes:
    """Return the sheet of a batch."""
    seen, system, practice = paper.seen, paper.system, paper.practice
    batch, zone = seen.batch, zone_of(seen)
    document: dict[str, Any] = {
        "lang": say("report.language"), "paper": PAPER[system], "page": say("report.page"), "of": say("report.of"),
        "title": say("made.paper.title", number=batch.number),
        "head": printable(say("made.paper.head", number=batch.number, heap=seen.heap.name)),
        "letterhead": [part for part in (practice.name, practice.address, practice.reach) if part],
        "finding": _finding(paper), "facts": _facts(paper),
        "why": list(batch.judgement.why if batch.judgement else ()),
        "why_title": say("made.paper.why"), "steps_title": say("made.page.steps"),
        "steps_heads": [say(f"made.paper.head_{head}") for head in ("step", "said", "when")],
        "steps": [[sentence(say(f"batch.step.{each.step}")), step_said(told, seen, system), moment_and_by(told, zone)]
                  for each in seen.steps for told in each.told] + [
                      [say("made.paper.taken_back"), line, ""] for line in taken_back_told(seen, system)],
        "sums_title": say("made.page.limit"), "sums": [*sums_told(seen, system), seen.finding.limit_note],
        "slides_title": say("made.paper.slides"), "slides": _slides(paper),
        "loads_title": say("made.page.loads"), "no_loads": say("made.page.no_loads"),
        "loads_heads": [say(f"made.page.head_{head}") for head in ("at", "tank", "volume", "gap", "oxygen", "by")],
        "loads": [list(load_told(batch, load, system, zone)) for load in batch.loads],
        "unfit_title": say("made.paper.unfit"),
        "unfit_heads": [say(f"made.paper.head_{head}") for head in ("went", "against")],
        "unfit": [[line, against] for _, line, against in went_lines(paper.went) if against],
        "claims_title": say("made.claims.title"), "claims_heads": list(claim_heads(paper.claims, system)),
        "claims": [list(row) for row in claim_rows(paper.claims, system)],
        "claims_lines": list(claim_lines(paper.claims, system)),
        "cautions_title": say("made.paper.cautions"), "cautions": list(caution_lines(*_CAUTIONS)),
        "sources_title": say("made.claims.sources"), "sources": list(claim_sources(paper.claims)),
        "tables_title": say("made.paper.tables"),
        "tables": [say("made.paper.table", name=name, version=version) for name, version in paper.tables],
        "foot": say("made.paper.foot"),
    }
    return typeset("batch.typ", document, _made_on(paper))


def batch_label_pdf(paper: BatchPaper) -> bytes:
    """Return the label of a batch, for its tank."""
    batch = paper.seen.batch
    stop = _state(paper) != "fit"
    document: dict[str, Any] = {
        "lang": say("report.language"), "title": say("made.paper.label_title", number=batch.number),
        "number": say("made.title", number=batch.number), "finding": _finding(paper),
        "stop": stop, "facts": _facts(paper), "cautions": list(caution_lines("end_batch" if stop else "load")),
    }
    return typeset("batch_label.typ", document, _made_on(paper))


def _state(paper: BatchPaper) -> str:
    return batch_state(paper.seen.batch, paper.seen.heap, paper.at)


def _finding(paper: BatchPaper) -> str:
    batch, zone = paper.seen.batch, zone_of(paper.seen)
    judged, state = batch.judgement, _state(paper)
    if state == "fit" and judged and judged.good_until:
        return say("made.paper.fit", until=day_and_clock(judged.good_until, zone))
    return say(f"made.paper.{state}")


def _facts(paper: BatchPaper) -> list[list[str]]:
    """What stands on both: made, ended, heap, volume, and the hour of printing, by which it is fit or not."""
    seen, zone = paper.seen, zone_of(paper.seen)
    batch, end, water = seen.batch, seen.batch.newest("end"), seen.batch.newest("water")
    volume = (end.figure("volume_l") if end else None) or (water.figure("volume_l") if water else None)
    facts = [("made", day_and_clock(batch.started_at, zone)),
             ("ended", day_and_clock(end.at, zone) if end else say("made.not_read")), ("heap", seen.heap.name),
             ("volume", show(volume, "L", paper.system)), ("zone", seen.heap.time_zone)]
    judged = batch.judgement
    if judged and judged.good_until and (state := _state(paper)) in ("fit", "over"):
        facts.insert(2, ("use_by" if state == "fit" else "was_until", day_and_clock(judged.good_until, zone)))
    if _state(paper) == "held":
        facts.insert(2, ("held_because", seen.heap.held))
    if _state(paper) == "barred":
        facts.insert(2, ("barred_because", barred_by(seen.heap)))
    if batch.refused_since:
        facts.insert(2, ("called_back_because", batch.refused_since))
    if seen.heap.invented:
        facts.append(("data", say("heap.picture.invented")))
    if batch.ended_as:
        facts.append(("became", became_line(batch)))
    facts.append(("printed", day_and_clock(paper.at, zone)))
    return [[say(f"made.paper.fact_{name}"), value] for name, value in facts]


def _slides(paper: BatchPaper) -> list[str]:
    lines = []
    for slide, count in paper.slides:
        lines.append(row_told(slide, count))
        lines += [slide_told(slide, count).not_shown] if count else []
    return [*(lines or [say("made.paper.no_slides")]), balance_line(paper.balance)]


def _made_on(paper: BatchPaper) -> date:
    """The day of its verdict: the same batch printed at the same hour gives the same bytes."""
    batch = paper.seen.batch
    return (batch.judgement.at if batch.judgement else batch.started_at).date()
