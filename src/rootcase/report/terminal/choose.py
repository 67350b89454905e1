"""What is chosen from a list: what it comes to, how sure that nothing gains more, and what each tree gets."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from rootcase.ground.words import say
from rootcase.report.terminal.paper import Paper


class ChosenLine(Protocol):
    @property
    def tree(self) -> int | str: ...
    @property
    def option(self) -> int | str: ...
    @property
    def cost(self) -> float: ...
    @property
    def benefit(self) -> float: ...


class ChosenLines(Protocol):
    """What is shown of a choice; `chosen` has a line for each tree, option 0 where it is left alone."""

    @property
    def total_benefit(self) -> float: ...
    @property
    def total_cost(self) -> float: ...
    @property
    def bound(self) -> float: ...
    @property
    def budget(self) -> float: ...
    @property
    def chosen(self) -> Sequence[ChosenLine]: ...


def choice_text(choice: ChosenLines, width: int = 80, colour: bool = False) -> str:
    """Return the sums, the bound in words, and the trees that get something."""
    paper = Paper(width, colour)
    paper.say(say("choose.sums", benefit=_plain(choice.total_benefit), cost=_plain(choice.total_cost),
                  budget=_plain(choice.budget)), bold=True)
    if choice.bound > choice.total_benefit:
        missing = 100 * (choice.bound - choice.total_benefit) / choice.bound
        paper.say(say("choose.at_most", bound=_plain(choice.bound), missing=f"{missing:.2g}"))
    else:
        paper.say(say("choose.proved"))
    taken = [line for line in choice.chosen if line.option != 0]
    paper.say(say("choose.trees", treated=f"{len(taken):,}", alone=f"{len(choice.chosen) - len(taken):,}"))
    if taken:
        paper.gap()
        head = [say(f"choose.head.{name}") for name in ("tree", "option", "cost", "benefit")]
        paper.columns([head, *([str(line.tree), str(line.option), _plain(line.cost), _plain(line.benefit)]
                               for line in taken)], right=(2, 3), head=True)
    return paper.text()


def _plain(value: float) -> str:
    """A number as it was typed, thousands parted."""
    return f"{value:,.0f}" if value == round(value) else f"{value:,.10g}"
