"""A plan as it would be, beside the plan as it is."""

from __future__ import annotations

from dataclasses import dataclass

from rootcase.records.prescribe import Plan

Choice = tuple[str | None, float, float]
"""Course (None: nothing), gain in points, cost."""


@dataclass(frozen=True, slots=True)
class TreeChange:
    """One tree whose choice would be another, or gain or cost otherwise."""

    tree_id: str
    before: Choice
    after: Choice


@dataclass(frozen=True, slots=True)
class WhatIf:
    now: Plan
    then: Plan
    trees: tuple[TreeChange, ...]
    """Only those that change."""
