"""The floors hold, and the contract that says so would notice if they did not."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).parents[2]
FLOORS = ("ground", "tables", "records", "science", "casework", "fieldbook", "report", "services", "web", "cli")
# The contracts ask for the one import they let through, so a planted house has it too.
SOUND = {"ground/words.py": "import importlib\n"}


def lint_imports(source: Path) -> subprocess.CompletedProcess[str]:
    program = "from importlinter.cli import lint_imports_command as c; c()"
    return subprocess.run(
        [sys.executable, "-c", program, "--no-cache", "--config", str(CHECKOUT / "pyproject.toml")],
        cwd=source, env={"PYTHONPATH": str(source), "PYTHONDONTWRITEBYTECODE": "1"}, capture_output=True, text=True,
        check=False,
    )


def test_the_house_keeps_its_contracts() -> None:
    done = lint_imports(CHECKOUT / "src")
    assert done.returncode == 0, done.stdout + done.stderr


def plant(folder: Path, files: dict[str, str]) -> Path:
    package = folder / "rootcase"
    for floor in FLOORS:
        (package / floor).mkdir(parents=True)
        (package / floor / "__init__.py").touch()
    (package / "__init__.py").touch()
    for name, text in (SOUND | files).items():
        (package / name).parent.mkdir(exist_ok=True)
        (package / name).write_text(text)
    return folder


def test_a_sound_house_passes(tmp_path: Path) -> None:
    done = lint_imports(plant(tmp_path, {"services/explain.py": "import rootcase.casework, rootcase.report"}))
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize(("file", "line", "contract"), [
    ("ground/units.py", "import rootcase.tables", "The floors"),
    ("casework/explain.py", "import rootcase.fieldbook", "The floors"),
    ("report/section.py", "import rootcase.casework", "The floors"),
    ("attic/__init__.py", "", "The floors"),
    ("science/soil.py", "import rootcase.records", "Science works on numbers"),
    ("records/observe.py", "import sqlite3", "Nothing impure"),
    ("casework/explain.py", "from pathlib import Path", "Nothing impure"),
    ("science/soil.py", "import os.path", "Nothing impure"),
])
def test_a_breach_is_noticed(tmp_path: Path, file: str, line: str, contract: str) -> None:
    done = lint_imports(plant(tmp_path, {file: line + "\n"}))
    broken = [row for row in done.stdout.splitlines() if " BROKEN" in row]
    assert done.returncode == 1
    assert any(row.startswith(contract) for row in broken), done.stdout + done.stderr


def test_a_circle_is_noticed(tmp_path: Path) -> None:
    two = {"science/a.py": "import rootcase.science.b\n", "science/b.py": "import rootcase.science.a\n"}
    source = plant(tmp_path, two)
    assert "No circles BROKEN" in lint_imports(source).stdout
