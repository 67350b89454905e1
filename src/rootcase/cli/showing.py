"""What is typed by others is shown and never obeyed by the terminal."""

from __future__ import annotations

import re

_OBEYED = re.compile("\x1b(?!\\[[012]m)|[\x00-\x08\x0b-\x1a\x1c-\x1f\x7f-\x9f]")
"""Signs that a terminal obeys (ECMA-48, C0 and C1; memory); thick and thin letters, which are ours, may be."""


def shown(text: str) -> str:
    r"""Every sign that a terminal would obey, written out as JSON writes it.

    >>> shown("oak\x1b[2J 4")
    'oak\\u001b[2J 4'
    """
    return _OBEYED.sub(lambda found: f"\\u{ord(found[0]):04x}", text)
