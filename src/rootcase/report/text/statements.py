"""A sentence for the client together with the results it speaks of, so that a page can mark it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Statement:
    """`about` names results: "<tree id>/share", "<tree id>/limit.water", "property/cost" ..."""

    text: str
    about: tuple[str, ...] = ()


def of_tree(tree_id: str, result: str) -> str:
    """Return the name of one result of one tree.

    >>> of_tree("t4", "share")
    't4/share'
    """
    return f"{tree_id}/{result}"
