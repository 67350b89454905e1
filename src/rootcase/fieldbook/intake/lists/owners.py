"""Which tree or place of the property each sample of a laboratory's sheet was taken at."""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping
from dataclasses import replace

from rootcase.fieldbook.intake.grid import folded
from rootcase.fieldbook.intake.lists.columns import Mapped, Theirs, is_blank
from rootcase.fieldbook.intake.lists.entry import Entries, Entry
from rootcase.fieldbook.intake.lists.facts import Belongs
from rootcase.fieldbook.intake.lists.told import Told
from rootcase.fieldbook.intake.lists.troubles import Answer, Trouble
from rootcase.ground.words import say

_NAMED, _NEAR = 3, 3


def name_owners(found: Entries, mapped: Mapped, told: Told, belongs: Belongs) -> Mapped:
    """Give every sample its tree or its place; returns the columns with what their names turned out to be."""
    if mapped.laboratory is None or not belongs.name:
        return mapped
    of_tree, tag = mapped.of("of_tree"), mapped.of("tag")
    by_name = tag and not of_tree and not mapped.of("place") and tag.why != say("lists.you_said")
    column = of_tree or tag or mapped.labels
    mends = {value: mend.to for mend in told.mends if mend.do == "of" and column and mend.column == column.header
             for value in mend.values}
    trees = 0
    for entry in found.rows:
        typed = entry.row.cells[column.at].text if column else ""
        said = mends.get(typed) or (entry.cells[of_tree.at].text if of_tree and not is_blank(entry.cells[of_tree.at])
                                    else "")
        trees += _own(entry, said, entry.label if by_name else "", belongs)
        if _is_open(entry, said, told, belongs):
            entry.place = ""
            found.troubles.append(_whose(entry, column, said, typed, belongs))
    if tag is None or not by_name or not trees:
        return mapped
    shown = say("lists.names_of_trees", count=trees, of=len(found.rows), property=belongs.name, column=tag.header)
    named = replace(tag, word="tree", standing="proposed", why=shown)
    return replace(mapped, columns=tuple(named if each is tag else each for each in mapped.columns))


def _own(entry: Entry, said: str, label: str, belongs: Belongs) -> bool:
    """Find the tree, else the place, of what was said or of the sample's own name; whether it is a tree."""
    entry.tree = _tree_named(said or label, belongs.trees)
    if entry.tree:
        entry.place = entry.place if entry.has_place else ""
    elif folded(said or label) in belongs.places:
        entry.place, entry.has_place = said or label, True
    return bool(entry.tree)


def _is_open(entry: Entry, said: str, told: Told, belongs: Belongs) -> bool:
    """Whether nobody can know where a sample was taken; one place alone, or one it is known to be of, is taken."""
    if entry.tree or folded(entry.place) == folded(said) != "":
        return False
    if said:
        return True
    if entry.has_place or told.place or belongs.facts is None:
        return False
    if folded(entry.label) in belongs.samples:
        entry.place = ""
    elif len(belongs.places) == 1:
        entry.place = next(iter(belongs.places.values()))
    return bool(entry.place) and folded(entry.place) not in belongs.places


def _whose(entry: Entry, column: Theirs | None, said: str, typed: str, belongs: Belongs) -> Trouble:
    name = said or entry.label
    labels = {folded(label): label for label in (*belongs.trees.values(), *belongs.places.values())}
    # Numbers that look alike are other trees.
    near = [] if name.isdigit() else [labels[each] for each in difflib.get_close_matches(folded(name), labels, n=_NEAR)]
    first = ", ".join(list(belongs.trees.values())[:_NAMED])
    right = say("lists.right_owner", count=len(belongs.trees), first=first, places=", ".join(
        list(belongs.places.values())[:_NAMED]))
    right += "" if said else say("lists.right_owner_place")
    return Trouble(entry.row.number, column.header if column else say("lists.our_column.sample"), typed, "owner",
                   say("lists.no_owner", name=name, property=belongs.name), right,
                   tuple(Answer(each, say("lists.does.of", of=each), "of", each) for each in near), typed=True,
                   key=folded(name))


def _tree_named(text: str, trees: Mapping[str, str]) -> str:
    """The tree a text names, as 104, or Tree 104 for a tree that is called 104."""
    bare = folded(text)
    return trees.get(bare) or trees.get(re.sub(rf"^(?:{say('lists.tree_words')}) ", "", bare)) or ""
