"""What goes wrong around the program: one line, a documented exit code, and nothing that was there is lost."""

import os
import signal
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli import starting
from tests.fieldbook.sheets import SHEET, write_sheet

SRC = Path(__file__).parents[2] / "src"
BAD = {**SHEET, "pits": [*SHEET["pits"][:3], ["pit 4", "oak 4", "autumn", "900", "hard"]]}


def rootcase(*arguments, **environment):
    """environment: what it is to find there from its first moment on."""
    if not environment:
        done = starting.rootcase(*arguments)
        return done.returncode, done.stdout, done.stderr
    command = [sys.executable, "-m", "rootcase.cli", *map(str, arguments)]
    done = subprocess.run(command, capture_output=True, check=False,
                          env={**os.environ, "PYTHONPATH": str(SRC), **environment})
    return done.returncode, done.stdout.decode(), done.stderr.decode()


def one_line(err):
    line, = err.splitlines()
    assert line.startswith("rootcase: ")
    return line


@pytest.fixture
def book(tmp_path):
    path = tmp_path / "book.sqlite"
    code, _, err = rootcase("observe", "import", write_sheet(tmp_path / "in", SHEET), "--fieldbook", path)
    assert (code, err) == (0, "")
    return path


@pytest.fixture
def closed(tmp_path):
    """A file where a folder would have to be: nobody, root neither, can write below it."""
    (tmp_path / "closed").write_text("in the way")
    return tmp_path / "closed"


def test_a_template_that_cannot_be_written_is_one_line(closed):
    code, _, err = rootcase("observe", "template", closed / "sheet.xlsx")
    assert code == 3
    assert str(closed) in one_line(err)


def test_a_place_nobody_may_write_is_one_line_with_the_way_out():
    program = ("from rootcase.cli import main\n"
               "def shut(**_):\n    raise PermissionError(13, 'Permission denied', 'here')\n"
               "main.rootcase.main = shut\nmain.main(['report'])")
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=False,
                          env={**os.environ, "PYTHONPATH": str(SRC)})
    assert done.returncode == 3
    assert one_line(done.stderr) == "rootcase: here: Permission denied; see who may write there, or name another place"


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no disk that is always full")
def test_a_full_disk_is_one_line(book):
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run([sys.executable, "-m", "rootcase.cli", "compare", "--fieldbook", str(book)], stdout=full,
                              stderr=subprocess.PIPE, text=True, check=False,
                              env={**os.environ, "PYTHONPATH": str(SRC)})
    assert done.returncode == 3
    assert one_line(done.stderr) == "rootcase: No space left on device"


def test_rejects_that_cannot_be_written_leave_the_good_rows_and_exit_code_1(tmp_path, closed):
    code, out, err = rootcase("observe", "import", write_sheet(tmp_path / "in", BAD), "--rejects", closed / "in",
                              "--fieldbook", tmp_path / "book.sqlite")
    assert (code, err) == (1, "")
    assert "1 need you" in out
    assert "--rejects" in out


def test_signs_that_a_terminal_obeys_are_shown(book):
    code, _, err = rootcase("observe", "correct", "\x1b[2J\x9bxxxxx\x07", "4", "--reason", "x", "--fieldbook", book)
    assert code == 3
    assert r"(got \u001b[2J\u009bxxxxx\u0007)" in one_line(err)


def test_weather_with_figures_to_mend_is_exit_code_1_and_json(tmp_path, book):
    days = tmp_path / "days.csv"
    days.write_text("date,tmin,tmax,rain\n2015-05-01,1,9,0\n2015-05-02,1,9,wet\n")
    words = ("observe", "weather", days, "--station", "Seattle", "--fieldbook", book)
    code, out, _ = rootcase(*words)
    assert code == 1
    assert "write a number, T for a trace of rain, or leave the cell empty" in " ".join(out.split())
    code, out, _ = rootcase(*words, "--json")
    assert code == 1
    assert '"station": "Seattle"' in out


def test_weather_is_of_a_station_or_of_a_property_and_a_forecast_says_its_hour(tmp_path, book):
    days = tmp_path / "days.csv"
    days.write_text("date,tmin,tmax,rain\n2015-05-01,1,9,0\n2015-05-02,1,9,2\n")
    code, _, err = rootcase("observe", "weather", days, "--fieldbook", book)
    assert code == 3
    told = "name a station (--station NAME), or a property for its own rain gauge (--gauge PROPERTY)"
    assert told in " ".join(err.split())
    code, out, _ = rootcase("observe", "weather", days, "--station", "Seattle", "--forecast", "--issued", "2015-05-01",
                            "--fieldbook", book)
    assert code == 0
    assert "A forecast issued 2015-05-01T00:00" in " ".join(out.split())
    code, out, _ = rootcase("observe", "weather", days, "--station", "Seattle", "--units", "us", "--fieldbook", book)
    assert "tmin °F, tmax °F, rain in" in " ".join(out.split())


def test_the_file_of_another_program_is_left_alone(tmp_path):
    other = tmp_path / "songs.sqlite"
    with sqlite3.connect(other) as connection:
        connection.execute("CREATE TABLE songs (name)")
    connection.close()
    before = other.read_bytes()
    for words in (["compare"], ["observe", "import", str(write_sheet(tmp_path / "in", SHEET))]):
        code, _, err = rootcase(*words, "--fieldbook", other)
        assert code == 3
        assert "this is the file of another program" in one_line(err)
    assert other.read_bytes() == before


@pytest.mark.parametrize(("content", "way_out"), [
    (b"not a database at all" * 100, "name a fieldbook, or a file that is not there yet"), (None, "newest copy")])
def test_a_broken_fieldbook_is_one_line_with_its_path(book, content, way_out):
    whole = book.read_bytes()
    book.write_bytes(content or whole[:20_000])
    code, _, err = rootcase("observe", "list", "--fieldbook", book)
    assert code == 3
    assert one_line(err).startswith(f"rootcase: {book}: ")
    assert way_out in err


@pytest.mark.parametrize("encoding", ["cp1252", "latin-1", "ascii"])
def test_bars_and_signs_go_out_in_every_encoding(book, encoding):
    code, out, err = rootcase("compare", "--fieldbook", book, PYTHONIOENCODING=encoding)
    assert (code, err) == (0, "")
    assert "━━━" in out


def test_a_narrow_terminal_is_kept_to(book):
    code, out, _ = rootcase("compare", "--fieldbook", book, COLUMNS="40")
    assert code == 0
    assert max(map(len, out.splitlines())) == 40


STOPPED_AT = """
import os, runpy, signal, sys

module = sys.argv.pop(1)

class Stop:
    def find_spec(self, name, *more):
        if name == module:
            sys.meta_path.remove(self)
            os.kill(os.getpid(), signal.SIGINT)

signal.signal(signal.SIGINT, signal.default_int_handler)
sys.meta_path.insert(0, Stop())
runpy.run_module("rootcase.cli", run_name="__main__")
"""


@pytest.mark.parametrize(("module", "code", "says"), [
    ("click", -signal.SIGINT, ""), ("rootcase.cli.observe", 130, "rootcase: stopped"),
    ("rootcase.fieldbook.fieldbook", 130, "rootcase: stopped"),
    ("rootcase.fieldbook.intake.doubts.adding", 130, "rootcase: stopped")])
def test_stopped_by_hand_it_says_so_or_nothing(book, tmp_path, module, code, says):
    """Stopped while that module loads: no traceback, and the same import afterwards finds a sound fieldbook."""
    done = subprocess.run([sys.executable, "-c", STOPPED_AT, module, "observe", "import", str(tmp_path / "in"),
                           "--fieldbook", str(book)], capture_output=True, text=True, check=False,
                          env={**os.environ, "PYTHONPATH": str(SRC)})
    assert (done.returncode, done.stderr.strip(), done.stdout) == (code, says, "")
    after, out, _ = rootcase("observe", "import", tmp_path / "in", "--fieldbook", book)
    assert (after, "0 corrected" in out) == (0, True)


def test_a_template_has_the_years_of_this_clock(tmp_path):
    from datetime import datetime

    import openpyxl

    from rootcase.ground.dates import last_finished_season

    assert rootcase("observe", "template", tmp_path / "sheet.xlsx")[0] == 0
    header = [cell.value for cell in openpyxl.load_workbook(tmp_path / "sheet.xlsx")["shoots"][1]]
    newest = last_finished_season(datetime.now().astimezone().date(), 45.0)  # noqa: TID251
    assert header[4:] == [str(newest - back) for back in range(4)]


def test_a_value_below_nought_goes_behind_two_dashes(book):
    code, _, err = rootcase("observe", "correct", "abcde", "-30 ft", "--reason", "slip", "--fieldbook", book)
    assert code == 2
    assert "put -- before a value that begins with -" in one_line(err)
    _, _, err = rootcase("observe", "correct", "--reason", "slip", "--fieldbook", book, "--", "abcde", "-30 ft")
    assert "such option" not in one_line(err)


def test_an_offer_goes_into_a_folder_that_is_there_and_its_step_costs_something(book, tmp_path):
    code, _, err = rootcase("prescribe", "offer", "--pdf", tmp_path / "no" / "offer.pdf", "--fieldbook", book)
    assert code == 2
    assert "make it first" in one_line(err)
    assert not (tmp_path / "no").exists()
    code, _, err = rootcase("prescribe", "offer", "--budget", "0", "--fieldbook", book)
    assert code == 2
    assert "name a sum above 0" in one_line(err)
