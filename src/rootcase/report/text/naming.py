"""What things are called: remedies, limits, kinds of readings, places and the trees themselves."""

from __future__ import annotations

from datetime import date

from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord, Tree
from rootcase.report.text.figures import known, listed
from rootcase.tables.load import table
from rootcase.tables.readings import kinds

COURSE_JOINT = "+"
_NAMES_IN_A_SENTENCE = 8
_KINDS_IN_A_SENTENCE = 6
_PLAIN_IN_A_SENTENCE = 4
_SAYS_NOTHING = ("none", "no", "yes", "part", "all", "other")
"""Codes that say nothing without their question. JUDGEMENT."""
_SHORTEST = 5
"""Signs of an id that a correction accepts."""


def remedy_name(code: str) -> str:
    """Return what a remedy is called; of a course all its remedies, what begins in a later year after a "then".

    >>> remedy_name("settling_water+mulch"), remedy_name("mulch+slow_nitrogen")
    ('watering while it settles in and wood-chip mulch', 'wood-chip mulch, then slow nitrogen')
    """
    first, *rest = parts = code.split(COURSE_JOINT)
    begins = _first_years(code) if rest else {}
    joints = ["and" if begins.get(part) == begins.get(before) else "then"
              for before, part in zip(parts, rest, strict=False)]
    return "".join([say(f"remedy.{first}"), *(say(f"course.{joint}", remedy=say(f"remedy.{part}"))
                                              for joint, part in zip(joints, rest, strict=True))])


def _first_years(course: str) -> dict[str, str]:
    """The year in which each remedy of a course begins."""
    rows = [str(row["parts"]) for row in table("prescribe/courses").rows if row["course"] == course]
    return {code: part.split()[1] for parts in rows
            for code, part in zip(course.split(COURSE_JOINT), parts.split("|"), strict=True)}


def limit_name(code: str) -> str:
    return say(f"limit.{code}")


def kind_name(code: str) -> str:
    """Return the label of a reading kind as it stands inside a sentence.

    >>> kind_name("probe_depth"), kind_name("dbh")
    ('probe depth to refusal', 'trunk diameter (DBH)')
    """
    known = kinds().get(code)
    label = known.label if known else code.replace("_", " ")
    return label[0].lower() + label[1:] if label[1:2].islower() else label


def named_kinds(kinds: list[str]) -> str:
    """Return reading kinds as a sentence lists them; a long list is cut and the rest counted.

    >>> named_kinds(["probe_depth", "dbh"])
    'probe depth to refusal; trunk diameter (DBH)'
    """
    shown = [kind_name(kind) for kind in kinds[:_KINDS_IN_A_SENTENCE]]
    rest = len(kinds) - len(shown)
    return "; ".join([*shown, say("report.more", count=rest)] if rest else shown)


def looked_for(kinds: list[str]) -> str:
    """Return what was not found out as a client says it, the labels of the catalogue where it has no plain words.

    >>> looked_for(["sar", "ece", "drainage_hole_drop"])
    'how salty the soil is; how fast water drains away'
    """
    if "ece" in kinds:  # how salty comes before what the salt is
        kinds = ["ece" if kind == "sar" else kind for kind in kinds]
    plain = [say(f"report.looked.{kind}") if known(f"report.looked.{kind}") else kind_name(kind) for kind in kinds]
    told = list(dict.fromkeys(plain))
    rest = len(told) - _PLAIN_IN_A_SENTENCE
    return "; ".join(told if rest <= 0 else [*told[:_PLAIN_IN_A_SENTENCE], say("report.more", count=rest)])


def choice_name(kind: str, choice: str) -> str:
    """Return the short name of a choice, its meaning where the code says nothing; free text stays as it is.

    >>> choice_name("texture_feel", "silt_loam"), choice_name("slake_class", "4"), choice_name("note", "by_the_gate")
    ('silt loam', '10-25 % left after five dips', 'by_the_gate')
    """
    known = kinds().get(kind)
    if not known or choice not in known.choices or choice.isdigit() or choice in _SAYS_NOTHING:
        return choice_meaning(kind, choice)
    return choice.replace("_", " ")


def way_name(code: str) -> str:
    """Return a laboratory's method or another way of reading as a person says it.

    >>> way_name("1_5"), way_name("mehlich_3"), way_name("dripline")
    ('1:5', 'Mehlich 3', 'dripline')
    """
    return say(f"laboratory.by.{code}") if known(f"laboratory.by.{code}") else code.replace("_", " ")


def choice_meaning(kind: str, choice: str) -> str:
    """Return what a choice of a reading kind means; free text stays as it is."""
    known = kinds().get(kind)
    return (known.choices.get(choice) if known and known.choices else None) or choice


def compare_note(note: str, kind: str = "") -> str:
    """Return the words of a comparison's note: the year it carries, as in short_year=2014, or the kind it is about.

    >>> compare_note("companion_missing", "crown_dieback")
    'Shown, not compared: not read beside it the same day: light while rating crowns.'
    """
    key, _, year = note.partition("=")
    rows = table("compare/measures").rows
    needed = next((str(row["companion"]) for row in rows if row["kind"] == kind and row["companion"]), "")
    companions = say("readings.or").join(kind_name(each) for each in needed.split("|")) if needed else ""
    return say(f"compare.note.{key}", year=year, companion=companions)


def subjects(record: PropertyRecord) -> dict[str, str]:
    """Return what everything that can be read is called, by its id: places, trees, pits, samples, visits."""
    return {**{place.id: place.name for place in record.places}, **{tree.id: tree.label for tree in record.trees},
            **{pit.id: pit.label for pit in record.pits}, **{sample.id: sample.label for sample in record.samples},
            **{visit.id: visit.label for visit in record.visits}}


def thing_name(record: PropertyRecord, subject_id: str) -> str:
    """Return what kind of thing has this id; of a sample and a pit at a tree also whose, as labels are shared."""
    things = {"place": record.places, "tree": record.trees, "pit": record.pits, "sample": record.samples,
              "visit": record.visits}
    thing, found = next((thing, each) for thing, held in things.items() for each in held if each.id == subject_id)
    tree = next((tree.label for tree in record.trees if tree.id == getattr(found, "tree_id", None)), "")
    name = say(f"terminal.thing.{thing}")
    return say("terminal.thing_of", thing=name, tree=tree) if tree else name


def short_ids(record: PropertyRecord) -> dict[str, str]:
    """Return the shortest ends of the readings' ids that still tell them apart, at least five signs."""
    ids = [reading.id for reading in record.readings]
    length = _SHORTEST
    while len({one[-length:] for one in ids}) < len(set(ids)):
        length += 1
    return {one: one[-length:] for one in ids}


def place_name(record: PropertyRecord, tree: Tree) -> str:
    return next((place.name for place in record.places if place.id == tree.place_id), "")


def species_of(record: PropertyRecord, tree: Tree) -> str | None:
    """Return the botanical name that was read at the tree, None where nobody has."""
    return next((reading.choice for reading in reversed(record.of(tree.id, kind="species")) if reading.choice), None)


def names(labels: list[str]) -> str:
    """Return tree labels as a sentence lists them; a long list is cut and the rest counted.

    >>> names(["oak 1", "oak 2"])
    'oak 1 and oak 2'
    """
    if len(labels) <= _NAMES_IN_A_SENTENCE:
        return listed(labels)
    shown = labels[: _NAMES_IN_A_SENTENCE - 1]
    return listed([*shown, say("report.more", count=len(labels) - len(shown))])


def month_of(day: date) -> str:
    """Return a day as the month a client remembers.

    >>> month_of(date(2017, 10, 1))
    'October 2017'
    """
    return say("report.month", month=say("dates.months").split()[day.month - 1], year=day.year)
