"""A new state of the phone's files takes over in a browser as a person starts it: once no form holds anything."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from rootcase.web.desk import Desk
from rootcase.web.pages import field_worker
from tests.browser.field_killed import PATIENCE_S, killing, missing
from tests.web.conftest import DRAWS, NOW

ANOTHER = "rootcase-field-another"


@pytest.mark.full
@pytest.mark.parametrize("browser", ["chromium", "firefox"])
def test_a_new_state_of_the_pages_takes_over(tmp_path: Path, desk_folder: Path, desk_results: Path, browser: str,
                                             monkeypatch: pytest.MonkeyPatch) -> None:
    """A debugger would keep the old worker alive; here is none."""
    if why := missing(browser):
        pytest.skip(why)
    shutil.copy(desk_folder / "demo.sqlite", tmp_path / "demo.sqlite")
    desk = Desk(tmp_path / "demo.sqlite", lambda: NOW, desk_results, demo=True, draws=DRAWS)
    with killing(desk, tmp_path / "profile", browser) as plain, plain.opened("/field/renewed"):
        heard = [plain.ended.get(timeout=PATIENCE_S) for _ in range(2)]
        old = f"rootcase-field-{field_worker.files_mark()}"
        assert heard == [("loaded", {"names": []}), ("kept", {"names": [old]})]
        monkeypatch.setattr(field_worker, "files_mark", lambda: "another")
        what, told = plain.ended.get(timeout=PATIENCE_S)
        assert (what, set(told["names"])) == ("held", {old, ANOTHER})
        assert plain.ended.get(timeout=PATIENCE_S) == ("loaded", {"names": [ANOTHER]})
