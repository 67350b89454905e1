"""What a person's device reads to give codes: a picture of squares, and the same in letters."""

from __future__ import annotations

from dataclasses import dataclass

import segno
from markupsafe import Markup

from rootcase.fieldbook.people.totp import device_address
from rootcase.ground.words import say

_SIGNS_A_GROUP = 4


@dataclass(frozen=True, slots=True)
class SecondStep:
    """One secret, as it is shown."""

    picture: Markup
    letters: str


def second_step(secret: str, login: str, practice: str) -> SecondStep:
    """Show a secret to who may see it; the picture has no style of its own, and stays dark on light."""
    code = segno.make_qr(device_address(secret, login, practice), error="m")
    svg = code.svg_inline(omitsize=True, border=4, light="#fff", dark="#000", title=say("people.invite.picture"),
                          svgclass="squares", lineclass=None)
    groups = (secret[start:start + _SIGNS_A_GROUP] for start in range(0, len(secret), _SIGNS_A_GROUP))
    return SecondStep(Markup(svg.replace("<svg ", '<svg role="img" ', 1)), " ".join(groups))
