"""What the app refuses by itself, beside what the floors below refuse."""

from __future__ import annotations

from rootcase.ground.errors import Missing


class NotThere(Missing):
    """What was asked for by its id is not of this practice, or of none."""


class NotReady(Missing):
    """What was asked for does not fit what is there now."""
