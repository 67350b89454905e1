"""What needs the person: faults of one cause gathered, with what mends them all."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from rootcase.fieldbook.intake.faults import Fault
from rootcase.fieldbook.intake.lists.told import DAY_ORDERS, DEEDS, Mend, Told
from rootcase.ground.errors import RootcaseError
from rootcase.ground.words import say


@dataclass(frozen=True, slots=True)
class Answer:
    """One way to mend a group."""

    word: str
    """What is typed behind `--mend 3=`."""
    does: str
    """In words."""
    deed: str
    """One of told.DEEDS, or the notation of the whole column."""
    to: str = ""
    each: tuple[tuple[str, str], ...] = ()
    """Where every value has a repair of its own: the value and what is written for it."""


@dataclass(frozen=True, slots=True)
class Trouble:
    """One cell that cannot be taken as it stands."""

    row: int
    column: str
    value: str
    cause: str
    what: str
    right: str = ""
    answers: tuple[Answer, ...] = ()
    typed: bool = False
    """Whether a value may be typed in its place."""
    key: str = ""
    """What parts the groups of one cause and column."""
    label: str = ""
    """What the row's tree or sample is called, where the list calls it anything."""
    was: str = ""
    """What the file says there, where something else was written in its place since."""

    def of(self, text: str) -> Trouble:
        """The same, of the whole text of the cell that it was found in: a repair is for that."""
        answers = tuple(replace(each, each=tuple((text, to) for _, to in each.each)) for each in self.answers)
        return replace(self, value=text, answers=answers)

    def fault(self, sheet: str) -> Fault:
        return Fault(sheet, self.row, self.column, f'"{self.value}"' if self.value and self.value not in self.what
                     else "", self.what, self.right)


@dataclass(frozen=True, slots=True)
class Group:
    """Everything in the list that is wrong for one cause."""

    number: int
    cause: str
    column: str
    rows: tuple[int, ...]
    values: tuple[str, ...]
    what: str
    right: str
    answers: tuple[Answer, ...]
    typed: bool
    cells: tuple[tuple[int, str], ...] = ()
    """Each row with its value."""
    labels: tuple[str, ...] = ()
    """What the rows' trees or samples are called."""
    was: tuple[str, ...] = ()
    """What the file says, where something else was written in its place since."""

    @property
    def ranges(self) -> str:
        """The rows as people name them.

        >>> Group(1, "", "", (3, 4, 5, 9), (), "", "", (), False).ranges
        '3-5, 9'
        """
        runs: list[list[int]] = []
        for row in self.rows:
            if runs and row == runs[-1][-1] + 1:
                runs[-1].append(row)
            else:
                runs.append([row])
        return ", ".join(f"{run[0]}-{run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs)


def grouped(troubles: Iterable[Trouble]) -> tuple[Group, ...]:
    """Troubles by cause, the largest group first, else in the order of their rows."""
    found: dict[tuple[str, str, str], list[Trouble]] = defaultdict(list)
    for trouble in troubles:
        found[trouble.cause, trouble.column, trouble.key].append(trouble)
    ordered = sorted(found.values(), key=lambda group: (-len({each.row for each in group}), group[0].row))
    return tuple(_group(number, group) for number, group in enumerate(ordered, 1))


def _group(number: int, members: Sequence[Trouble]) -> Group:
    first = members[0]
    answers = tuple(_joined([each.answers[at] for each in members]) for at in range(len(first.answers))
                    if all(len(each.answers) > at and each.answers[at].deed == first.answers[at].deed
                           for each in members))
    same = len({each.what for each in members}) == 1
    return Group(number, first.cause, first.column, tuple(sorted({each.row for each in members})),
                 tuple(dict.fromkeys(each.value for each in members)),
                 first.what if same else say(f"lists.many.{first.cause}"), first.right if same else "", answers,
                 first.typed, tuple(dict.fromkeys((each.row, each.value) for each in members)),
                 tuple(dict.fromkeys(each.label for each in members if each.label)),
                 tuple(dict.fromkeys(each.was for each in members if each.was)))


def _joined(answers: Sequence[Answer]) -> Answer:
    """The same answer to several values, each with its own repair."""
    first = answers[0]
    if not any(answer.each for answer in answers):
        return first
    alike = len({answer.to for answer in answers}) == 1
    return Answer(first.word, first.does if alike else say("lists.each_so"), first.deed, first.to,
                  tuple(dict.fromkeys(pair for answer in answers for pair in answer.each)))


def answered(told: Told, groups: Sequence[Group], number: str, word: str) -> Told:
    """What is told once a group, or one of its values as `3.2`, has been answered with a word."""
    group = _named(groups, number)
    if group is None:
        raise RootcaseError(say("lists.no_such_group"), value=f"--mend {number}={word}",
                            right=say("lists.right_group", count=len(groups)) if groups else "")
    answer = next((each for each in group.answers if each.word.casefold() == word.strip().casefold()), None)
    if answer is None and not (group.typed and word.strip()):
        words = ", ".join(each.word for each in group.answers)
        raise RootcaseError(say("lists.no_such_answer"), value=f"--mend {number}={word}",
                            right=say("intake.one_of", choices=words))
    if answer is None:
        deed = "of" if group.cause == "owner" else "write"  # the sample keeps its own name
        return told.with_mend(Mend(group.column, group.values, deed, word.strip()))
    if answer.each:
        for value, to in answer.each:
            told = told.with_mend(Mend(group.column, (value,), answer.deed, to))
        return told
    if answer.deed in DEEDS:
        return told.with_mend(Mend(group.column, group.values, answer.deed, answer.to))
    return told.with_notation("days" if answer.deed in DAY_ORDERS else "commas", group.column, answer.deed)


def _named(groups: Sequence[Group], number: str) -> Group | None:
    """The group of this number, or the part of it that has one of its values."""
    whole, _, part = number.strip().partition(".")
    group = next((each for each in groups if str(each.number) == whole), None)
    if group is None or not part:
        return group
    values = [value for at, value in enumerate(group.values, 1) if str(at) == part]
    answers = tuple(replace(answer, each=tuple(pair for pair in answer.each if pair[0] in values))
                    for answer in group.answers)
    return replace(group, values=tuple(values), answers=answers) if values else None
