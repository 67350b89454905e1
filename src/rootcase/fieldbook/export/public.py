"""What a public copy holds, named field by field: whatever is added later stays at home until it is named here too."""

from __future__ import annotations

from collections.abc import Mapping

from rootcase.fieldbook.events import ReadingTaken
from rootcase.tables.readings import kinds

PUBLIC_FIELDS: Mapping[str, tuple[str, ...]] = {
    "property_opened": ("system", "currency", "invented"),
    "place_opened": ("place", "place_kind"),
    "tree_opened": ("tree", "place"),
    "pit_opened": ("pit", "tree", "place"),
    "sample_opened": ("sample", "tree", "place"),
    "visit_started": ("visit", "day", "observer"),
    "yardstick_named": ("yardstick", "label", "tree"),
    "compared_with": ("tree", "yardstick", "label"),
    "plan_signed": ("day", "by"),
    "plan_withdrawn": ("day", "by"),
    "offer_made": ("day",),
    "offer_answered": ("day", "answer"),
    "question_replied": ("day",),
    "programme_started": ("day", "visits_a_year"),
    "programme_stopped": ("day",),
}
"""Fields of each kind of event but readings; a kind that is not here is left out whole."""

_POSITIONS = ("latitude", "longitude")
_FREE_TEXT = ("text", "photo")
"""Types of value in which anything may stand, also a name."""


def is_public_reading(body: ReadingTaken) -> bool:
    """Whether a reading tells neither who nor where, nor a client's wishes; of free texts only the species goes out."""
    kind = kinds().get(body.kind)
    if kind is None or body.kind in _POSITIONS or kind.stage == "prescribe":
        return False
    return kind.value_type not in _FREE_TEXT or body.kind == "species"


def public_attributes(body: ReadingTaken) -> Mapping[str, str]:
    """Attributes whose words the catalogue gives."""
    return {name: text for name, text in body.attributes.items() if text in kinds()[body.kind].required.get(name, ())}
