"""./run on a small stand-in checkout: a real virtual environment and copies of it, locks that ask for nothing."""

from __future__ import annotations

import ast
import errno
import os
import shutil
import signal
import subprocess
import sys
import time
from importlib.machinery import SourceFileLoader
from importlib.util import module_from_spec, spec_from_loader
from pathlib import Path
from types import ModuleType

import pytest

CHECKOUT = Path(__file__).parents[2]
PROGRAM = """\
import os, sys
print("started", *sys.argv[1:])
print("cache", os.environ["NUMBA_CACHE_DIR"])
"""
READ_ONLY = """\
import os, runpy, sys
can, sys.argv = os.access, sys.argv[1:]
checkout = os.path.dirname(sys.argv[0])
os.access = lambda path, mode: can(path, mode) and not (mode == os.W_OK and path == checkout)
runpy.run_path(sys.argv[0], run_name="__main__")
"""


COPIED = """\
import os, shutil, sys
for each in os.listdir({made!r}):
    if each in ("bin", "include", "lib"):
        shutil.copytree(os.path.join({made!r}, each), os.path.join(sys.argv[1], each), symlinks=True,
                        copy_function=os.link, ignore=shutil.ignore_patterns("setuptools"))
shutil.copy(os.path.join({made!r}, "pyvenv.cfg"), sys.argv[1])
"""


@pytest.fixture
def run() -> ModuleType:
    loader = SourceFileLoader("run", str(CHECKOUT / "run"))
    module = module_from_spec(spec_from_loader("run", loader))  # type: ignore[arg-type]
    loader.exec_module(module)
    return module


def stand_in(folder: Path) -> Path:
    """A checkout with the real script, a program that only tells how it was started, and empty locks."""
    (folder / "locks").mkdir(parents=True)
    for lock in ("run", "test", "bench", "installer"):
        (folder / "locks" / f"{lock}.lock").touch()
    (folder / "src" / "rootcase" / "cli").mkdir(parents=True)
    for package in ("", "cli/"):
        (folder / "src" / "rootcase" / f"{package}__init__.py").touch()
    (folder / "src" / "rootcase" / "cli" / "__main__.py").write_text(PROGRAM)
    shutil.copy2(CHECKOUT / "run", folder / "run")
    return folder


def start(checkout: Path, *arguments: str, before: tuple[str, ...] = (), **more: str) -> subprocess.Popen[str]:
    environment = {
        "PATH": os.environ["PATH"], "HOME": str(checkout.parent / "home"), "PYTHONDONTWRITEBYTECODE": "1",
        "PIP_INDEX_URL": "http://127.0.0.1:9/", "UV_INDEX_URL": "http://127.0.0.1:9/", "PIP_CONFIG_FILE": os.devnull,
    }
    return subprocess.Popen(
        [sys.executable, *before, str(checkout / "run"), *arguments], env=environment | more, cwd=checkout.parent,
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def end(process: subprocess.Popen[str]) -> tuple[int, str, str]:
    out, err = process.communicate(timeout=300)
    return process.returncode, out, err


@pytest.fixture(scope="module")
def set_up(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A stand-in whose first start is over."""
    checkout = stand_in(tmp_path_factory.mktemp("once") / "checkout")
    status, out, err = end(start(checkout, "demo", "--out", "there"))
    assert (status, out.splitlines()[0]) == (0, "started demo --out there"), err
    assert "making" in err
    assert "installing what `run` needs" in err
    return checkout


@pytest.fixture
def checkout(set_up: Path, tmp_path: Path, long: bool) -> Path:
    """A stand-in before its first start. Its venv module copies the environment that the real one has made."""
    made = stand_in(tmp_path / "checkout")
    if not long:
        (made / "src" / "venv.py").write_text(COPIED.format(made=str(set_up / ".venv")))
    return made


@pytest.fixture
def again(set_up: Path, tmp_path: Path) -> Path:
    """A copy of the stand-in whose first start is over."""
    return shutil.copytree(set_up, tmp_path / "checkout", symlinks=True, copy_function=os.link)


def test_a_second_start_asks_nobody(again: Path) -> None:
    """No installer, no network: with the installers taken away it starts all the same and says nothing."""
    installer = again / ".venv" / "lib"
    pips = [*installer.glob("python*/site-packages/pip"), *installer.glob("python*/site-packages/pip-*")]
    assert pips
    for pip in pips:
        shutil.rmtree(pip)
    status, out, err = end(start(again, "rootcase", "explain", "--json"))
    assert (status, out.splitlines()[0], err) == (0, "started explain --json", "")
    assert str(again.parent / "home") in out.splitlines()[1]


def test_a_start_that_is_set_up_waits_for_nobody(set_up: Path, run: ModuleType) -> None:
    with run.only_one(str(set_up / ".venv.lock")):
        assert start(set_up, "demo").wait(timeout=60) == 0


def test_the_lock_outlives_a_killed_start(run: ModuleType, tmp_path: Path) -> None:
    """Installers hold it too, so nobody clears a folder that one of them still writes to."""
    with run.only_one(str(tmp_path / "lock")) as turn:
        status, output = run.call([sys.executable, "-c", f"import os; os.fstat({turn})"], turn)
    assert status == 0, output


def test_a_read_only_checkout_stays_untouched(checkout: Path, tmp_path: Path) -> None:
    before = sorted(checkout.rglob("*"))
    pretend = ("-c", READ_ONLY)
    for words in ("making", ""):
        status, out, err = end(start(checkout, "demo", before=pretend, PYTHONDONTWRITEBYTECODE=""))
        assert (status, out.splitlines()[0]) == (0, "started demo"), err
        assert words in err
    assert err == ""
    assert sorted(checkout.rglob("*")) == before
    cache = tmp_path / "home" / (".cache" if sys.platform == "linux" else "Library/Caches") / "rootcase"
    assert len(list(cache.glob("venv-*/ready"))) == 1
    assert list((cache / "bytecode").rglob("main.*.pyc"))


def test_an_interrupted_set_up_is_redone_by_one_of_two_starts_at_once(checkout: Path) -> None:
    first = start(checkout, "demo")
    while not (checkout / ".venv" / "bin").exists():
        assert first.poll() is None
        time.sleep(0.02)
    first.send_signal(signal.SIGKILL)
    first.communicate()
    assert not (checkout / ".venv" / "ready").exists()
    both = [end(process) for process in [start(checkout, "demo"), start(checkout, "demo")]]
    assert [(status, out.splitlines()[0]) for status, out, _ in both] == [(0, "started demo")] * 2
    said = "".join(err for _, _, err in both)
    assert said.count("making") == 1
    assert "waiting for it" in said  # for the other one, or for what the killed one had started


def test_a_changed_lock_is_installed(checkout: Path, set_up: Path) -> None:
    shutil.copytree(set_up / ".venv", checkout / ".venv", symlinks=True, copy_function=os.link)
    (checkout / "locks" / "run.lock").write_text("# newer\n")
    assert "making" in end(start(checkout, "demo"))[2]


def test_no_network(checkout: Path) -> None:
    shutil.copy(CHECKOUT / "locks" / "installer.lock", checkout / "locks")
    status, _, err = end(start(checkout, "demo"))
    assert status == 2
    assert err.splitlines()[-1] == (
        "run: no network: the first start downloads its packages; connect and start again (later starts need none)")
    assert not (checkout / ".venv" / "ready").exists()


def test_a_folder_of_somebody_else_is_left_alone(tmp_path: Path) -> None:
    checkout = stand_in(tmp_path / "checkout")
    (checkout / ".venv").mkdir()
    (checkout / ".venv" / "mine").touch()
    status, _, err = end(start(checkout, "demo"))
    assert status == 2
    assert err == f"run: {checkout}/.venv is there but ./run did not make it: move it away, then start again\n"
    assert (checkout / ".venv" / "mine").exists()


@pytest.mark.parametrize(("version", "found", "line"), [
    ((3, 8), "python3.12", "Python 3.8 is too old: rootcase needs 3.11 to 3.14; start it as `python3.12 run ...`"),
    ((3, 15), None, "Python 3.15 is too new: rootcase needs 3.11 to 3.14; install one of them, then start again"),
])
def test_a_python_that_does_not_fit(
    run: ModuleType, monkeypatch: pytest.MonkeyPatch, version: tuple[int, int], found: str | None, line: str,
) -> None:
    monkeypatch.setattr(run, "find_python", lambda: found)
    with pytest.raises(run.Trouble, match=f"^{line.replace('.', '[.]')}$"):
        run.check_python(version)


def test_the_pythons_that_fit(run: ModuleType) -> None:
    for minor in range(11, 15):
        run.check_python((3, minor, 0, "final", 0))


def test_an_old_python_can_read_the_script() -> None:
    ast.parse((CHECKOUT / "run").read_text(), feature_version=(3, 6))


@pytest.mark.parametrize("absent", ["venv", "ensurepip"])
def test_no_venv_module(run: ModuleType, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, absent: str) -> None:
    import importlib.util

    monkeypatch.setattr(importlib.util, "find_spec", lambda name: None if name == absent else object())
    with pytest.raises(run.Trouble, match="no venv module: on Debian and Ubuntu `apt-get install python3-venv`"):
        run.make_home(str(tmp_path / "home"), None)


def test_a_set_up_that_never_ends(run: ModuleType, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(run, "WAIT_S", 0)
    path = str(tmp_path / "lock")
    with run.only_one(path):
        with pytest.raises(run.Trouble, match="been setting up for 0 minutes: end it"), run.only_one(path):
            pass


@pytest.mark.parametrize(("output", "words"), [
    ("error: write: No space left on device (os error 28)", "the disk is full"),
    ("Temporary failure in name resolution", "no network"),
    ("THESE PACKAGES DO NOT MATCH THE HASHES FROM THE REQUIREMENTS FILE.", "not the one named in locks/"),
    ("Could not find a version that satisfies the requirement", ""),
])
def test_what_an_installer_says(run: ModuleType, output: str, words: str) -> None:
    assert words in run.why(output)
    assert bool(words) == bool(run.why(output))


def test_a_full_disk_and_a_locked_folder(run: ModuleType) -> None:
    assert run.explain_os_error(OSError(errno.ENOSPC, "No space left on device", "here")) == (
        "the disk is full at here: free about 1 GB, then start again")
    assert run.explain_os_error(PermissionError(errno.EACCES, "Permission denied", "here")) == (
        "here: Permission denied: see who may write there, then start again")


@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere no variable of its own names the caches")
@pytest.mark.parametrize("named_by", ["XDG_CACHE_HOME", "HOME"])
def test_a_shut_cache_tells_which_variable_leads_to_it(
        run: ModuleType, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, named_by: str) -> None:
    (tmp_path / "closed").write_text("in the way")
    monkeypatch.delenv("XDG_CACHE_HOME", raising=False)
    monkeypatch.setenv(named_by, str(tmp_path / "closed"))
    with pytest.raises(run.Trouble, match=f"set {named_by} to a folder of yours"):
        run.cache_folder()


@pytest.mark.parametrize(("statuses", "told"), [([0, 0, 0], 0), ([1, 0, 0], 1), ([0, -9, 0], 1)])
def test_lint_runs_all_three_and_forgets_none(
    run: ModuleType, monkeypatch: pytest.MonkeyPatch, statuses: list[int], told: int,
) -> None:
    left = list(statuses)
    monkeypatch.setattr(subprocess, "call", lambda command, env: left.pop(0))
    assert run.lint(sys.executable, {}) == told
    assert left == []


@pytest.mark.parametrize(("missing", "user", "statuses", "asked"), [
    ((), 0, [], []),
    (("pdftotext", "chromium"), 1000, [], []),
    (("pdftotext",), 0, [0], ["install poppler-utils"]),
    (("chromium",), 0, [100, 0, 0], ["install chromium", "update", "install chromium"]),
    (("pdftoppm", "chromium"), 0, [100, 100, 0], ["install poppler-utils", "update", "install chromium"]),
])
def test_what_the_tests_see_by_comes_by_itself_with_root(
    run: ModuleType, monkeypatch: pytest.MonkeyPatch, missing: tuple[str, ...], user: int, statuses: list[int],
    asked: list[str],
) -> None:
    calls: list[str] = []

    def call(command: list[str], **_: object) -> int:
        calls.append(" ".join(word for word in command[2:] if word != "-y"))
        return statuses[len(calls) - 1]

    monkeypatch.setattr(shutil, "which", lambda name: None if name in missing else name)
    monkeypatch.setattr(os, "geteuid", lambda: user)
    monkeypatch.setattr(subprocess, "call", call)
    run.get_eyes(run.SEEN_BY_TESTS)
    assert calls == asked


def test_help_and_unknown_commands(run: ModuleType, capsys: pytest.CaptureFixture[str]) -> None:
    assert run.main(["--help"]) == 0
    assert capsys.readouterr().out == run.HELP
    assert run.main(["dmeo"]) == 2
    assert capsys.readouterr().err == "run: there is no command `dmeo`: serve, demo, rootcase, test, lint or bench\n"


@pytest.mark.parametrize("arguments", [[], ["serve"]])
def test_no_command_opens_the_app(run: ModuleType, monkeypatch: pytest.MonkeyPatch, arguments: list[str]) -> None:
    started: list[tuple[object, ...]] = []
    monkeypatch.setattr(run, "set_up", lambda lock: f"home of {lock}")
    monkeypatch.setattr(run, "start", lambda *asked: started.append(asked) or 0)
    assert run.main(arguments) == 0
    assert started == [("serve", [], "home of run")]


def test_a_start_tells_the_program_how_it_is_called(run: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    handed: list[dict[str, str]] = []
    monkeypatch.setattr(run.os, "execve", lambda program, words, env: handed.append(env))
    run.start("serve", [], "home")
    assert handed[0]["ROOTCASE_COMMAND"] == "./run rootcase"
