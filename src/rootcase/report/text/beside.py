"""What was seen at a tree that is no step of the waterfall: flare, wounds, ties, pests; and what stops work."""

from __future__ import annotations

from rootcase.ground.quantity import show
from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord, Reading, Tree
from rootcase.report.text.figures import known, listed, sentence
from rootcase.report.text.naming import choice_meaning, kind_name
from rootcase.report.text.statements import Statement, of_tree
from rootcase.tables.readings import kinds

SEEN_AT_A_TREE = (
    "structural_concern", "root_flare_state", "first_root_depth", "material_on_trunk", "encircling_share",
    "trunk_flat_side", "tie_or_wire", "roots_cut_share", "wound_share", "wound_state", "mower_wounds", "canker_share",
    "bark_bleeding", "base_fungi", "borer_hole_count", "pest_name", "root_ball_moisture", "crown_loss_pattern",
    "limb_flagging", "wood_stain", "margin_scorch", "chlorosis_young", "pale_older_leaves", "leaf_spots",
    "twisted_leaves", "honeydew", "stipple", "defoliation", "caterpillar_count", "aphid_count", "scale_count",
    "mite_count",
)
"""Kinds in the order in which they are told: what stops work, the trunk from the ground up, then the crown."""
_EXPECTED = ("structural_concern", "root_flare_state", "encircling_share", "borer_hole_count")
"""What a client takes for granted was looked at; where nobody was asked it counts as not looked at. JUDGEMENT."""
_CLEAR = ("none", "no", "none_seen", "all_round", "moist")
"""Choices that say all is as it should be, save where they have a sentence: a flare that is none is a buried one."""
_NOT_LOOKED = ("not_looked", "not_cut")


def stop(tree: Tree, record: PropertyRecord) -> str:
    """Return the sentence that stops work under a tree, empty where nothing was seen that could fail."""
    reading = _newest(record, tree.id, "structural_concern")
    return say("report.beside.stop", tree=tree.label) if reading and reading.choice == "seen" else ""


def beside(tree: Tree, record: PropertyRecord) -> Statement | None:
    """Return what was found, what was looked for and not seen, not looked at, and not readable; each kind once."""
    found, names = [], dict[str, list[str]](clear=[], not_looked=[], not_read=[])
    for kind in SEEN_AT_A_TREE:
        reading = _newest(record, tree.id, kind)
        if reading is None:
            if kind in _EXPECTED:
                names["not_looked"].append(_thing(kind))
        elif state := _nothing(reading):
            names[state].append(_thing(kind))
        else:
            found.append(_found(reading, record))
    if found:
        found.append(say("report.beside.takes"))
    told = [say(f"report.beside.{state}", things=listed(list(dict.fromkeys(things))))
            for state, things in names.items() if things]
    return Statement(" ".join([*found, *told]), (of_tree(tree.id, "beside"),)) if found or told else None


def beside_readings(tree: Tree, record: PropertyRecord) -> tuple[str, ...]:
    """Return the ids of the readings that stand behind what is said beside the picture."""
    newest = (_newest(record, tree.id, kind) for kind in SEEN_AT_A_TREE)
    return tuple(reading.id for reading in newest if reading)


def _newest(record: PropertyRecord, tree_id: str, kind: str) -> Reading | None:
    return max(record.of(tree_id, kind=kind), key=lambda reading: (reading.day, reading.id), default=None)


def _nothing(reading: Reading) -> str:
    """Which kind of nothing the reading is; empty where something was found."""
    if reading.nothing == "not read":
        return "not_read"
    if reading.nothing == "not looked" or reading.choice in _NOT_LOOKED:
        return "not_looked"
    told = known(f"report.beside.{reading.kind}.{reading.choice}")
    return "clear" if reading.nothing or reading.value == 0 or (reading.choice in _CLEAR and not told) else ""


def _thing(kind: str) -> str:
    return say(f"report.beside.thing.{kind}") if known(f"report.beside.thing.{kind}") else kind_name(kind)


def _found(reading: Reading, record: PropertyRecord) -> str:
    """The finding as a sentence; a kind without words of its own keeps the catalogue's."""
    kind = kinds()[reading.kind]
    form = reading.choice if reading.choice in kind.choices else "read"
    value = (show(reading.value, kind.si_unit, record.property.system, kind.pair) if reading.choice is None
             else choice_meaning(reading.kind, reading.choice))
    if known(f"report.beside.{reading.kind}.{form}"):
        return say(f"report.beside.{reading.kind}.{form}", value=value)
    return say("report.beside.other", kind=sentence(kind_name(reading.kind)), value=value)
