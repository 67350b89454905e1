"""docs/screens.md shows every page that the browser's tests look at, and every picture beside it."""

from __future__ import annotations

import re
from pathlib import Path

from docs import make_screens

PAGE = (Path(make_screens.__file__).parent / "screens.md").read_text(encoding="utf-8")


def test_every_screen_is_shown_at_every_width() -> None:
    taken = {f"{screen.name}-{width}{'-dark' * (theme == 'dark')}.png"
             for screen in make_screens.screens() for width, theme in make_screens.wanted(screen)}
    kept = {each.name for each in make_screens.SCREENS.glob("*.png")}
    assert taken == kept == set(re.findall(r"\(screens/([^)]+)\)", PAGE)), "run `python docs/make_screens.py`"
