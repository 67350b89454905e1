"""Pests on the terminal: what was counted tree by tree, then which look is due."""

from __future__ import annotations

from rootcase.ground.dates import show_date
from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord
from rootcase.records.pests import Pests
from rootcase.report.terminal.paper import Paper
from rootcase.report.text.pests import cautions, looks_in_words, not_looked, trees_in_words, warmth_in_words


def pests_text(record: PropertyRecord, pests: Pests, width: int = 80, colour: bool = False) -> str:
    """Return the counts beside their thresholds, the looks by degree days, and the cautions."""
    paper = Paper(width, colour)
    paper.title(record.property.name, show_date(pests.made_on))
    pests_section(paper, record, pests)
    return paper.text()


def pests_section(paper: Paper, record: PropertyRecord, pests: Pests) -> None:
    """Write the property's pests below a title of the paper's owner."""
    paper.heading(say("pests.counts_title"))
    if not pests.trees:
        paper.say(say("pests.nothing_counted"))
    for tree in trees_in_words(record, pests):
        for headline, told in tree.findings:
            paper.say(say("pests.of_tree", tree=tree.tree, told=headline), bold=True)
            paper.say(told)
        if tree.beside:
            paper.say(say("pests.of_tree", tree=tree.tree, told=tree.beside))
        paper.gap()
    if pests.trees:
        paper.say(not_looked(record, pests), quiet=True)
    paper.heading(say("pests.looks_title"))
    paper.say(say("pests.looks_intro"))
    paper.gap()
    for look in looks_in_words(record, pests):
        paper.item("·", say("pests.look.line", what=look.what, when=look.when, trees=look.trees, read=look.read))
    if not pests.looks:
        paper.say(say("pests.no_hosts"))
    paper.gap()
    for told in warmth_in_words(record, pests):
        paper.say(told, quiet=True)
    paper.gap()
    for caution in cautions():
        paper.item("!", caution)
