"""The kinds of events of photos of trees that were measured; each belongs to the tree's property."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from rootcase.fieldbook.body import Body
from rootcase.records.tree_photo import CrownGaps, LeafOnCard, Shows, SoilOnCard


@dataclass(frozen=True, slots=True, kw_only=True)
class TreePhotoMeasured(Body):
    """A photo and its figures; one of the same slot that supersedes it tells what a person mended."""

    KIND = "tree_photo_measured"
    tree: str
    shows: Shows
    photo: str
    day: date
    by: str
    """A code, never a name."""
    leaves: tuple[LeafOnCard, ...] = ()
    crown: CrownGaps | None = None
    soil: SoilOnCard | None = None
    left_out: str = ""
    drawn: str = ""
    stand: str = ""
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TreePhotoTakenBack(Body):
    """The photo of this slot is not of this tree, or should not have been measured."""

    KIND = "tree_photo_taken_back"
    tree: str
    reason: str
    by: str


TREE_PHOTO_EVENTS: tuple[type[Body], ...] = (TreePhotoMeasured, TreePhotoTakenBack)
