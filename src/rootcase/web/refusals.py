"""What is refused, and how that is said: a page of words, or one form of JSON under /api/."""

from __future__ import annotations

from rootcase.ground.errors import Missing


class NotThere(Missing):
    """What was asked for by its id is not of this practice, or of none."""
