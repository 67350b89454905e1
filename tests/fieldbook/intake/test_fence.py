"""The fence: whatever stands in a file, or is done to its reader, ends as one line. All files here are made up."""

from __future__ import annotations

import ast
import io
import os
import random
import string
import struct
import sys
import zipfile
import zlib
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter
from PIL import Image

from rootcase.fieldbook.intake import fence
from rootcase.fieldbook.intake.fence import each_fenced, picture_anew
from rootcase.fieldbook.intake.foreign import child
from rootcase.fieldbook.intake.foreign.limits import CELLS, COLUMNS, FILE_BYTES, MEMBERS, ROWS, Refusal
from rootcase.fieldbook.intake.grid import read_grids
from rootcase.ground.errors import FileError
from rootcase.ground.words import catalogue

ZEROS = 120_000_000
OLD = Path(__file__).parent / "old.xls"


def workbook() -> bytes:
    data = io.BytesIO()
    with xlsxwriter.Workbook(data, {"in_memory": True}) as book:
        page = book.add_worksheet("trees")
        percent = book.add_format({"num_format": "0%"})
        for row in range(20):
            page.write_row(row, 0, [f"tree {row}", row, row / 7])
            page.write_number(row, 3, row / 20, percent)
    return data.getvalue()


def zipped(pages: dict[str, bytes]) -> bytes:
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as package:
        for name, page in pages.items():
            package.writestr(name, page)
    return data.getvalue()


def pages() -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(workbook())) as package:
        return {name: package.read(name) for name in package.namelist()}


def with_sheet(sheet: bytes) -> bytes:
    return zipped(pages() | {"xl/worksheets/sheet1.xml": sheet})


def ods() -> bytes:
    head = ('<office:document-content xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" '
            'xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" '
            'xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0"><office:body><office:spreadsheet>'
            '<table:table table:name="trees">')
    cells = ('<table:table-cell office:value-type="string"><text:p>oak</text:p></table:table-cell>'
             '<table:table-cell office:value-type="percentage" office:value="0.3"><text:p>30%</text:p>'
             '</table:table-cell>'
             '<table:table-cell office:value-type="float" office:value="14"><office:annotation><text:p>not 3 m</text:p>'
             '</office:annotation><text:p>14 cm</text:p><office:annotation><text:p>but 2</text:p></office:annotation>'
             '</table:table-cell>'
             '<table:table-cell table:formula="of:=[.B1]+1" table:number-columns-spanned="2"/>')
    tail = '</table:table></office:spreadsheet></office:body></office:document-content>'
    content = f'{head}<table:table-row table:number-rows-repeated="2">{cells}</table:table-row>{tail}'
    return zipped({"mimetype": b"application/vnd.oasis.opendocument.spreadsheet", "content.xml": content.encode(),
                   "META-INF/manifest.xml": b'<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:'
                                            b'manifest:1.0"/>'})


def lying(packed: bytes, size: int, said: int) -> bytes:
    """The same package, its page of one size said to be of another."""
    assert packed.count(struct.pack("<I", size)) == 2
    return packed.replace(struct.pack("<I", size), struct.pack("<I", said))


def overlapping() -> bytes:
    """Sixty pages that are all the same packed bytes."""
    raw = zipped({"xl/0.xml": bytes(2_000_000)})
    start, stop = raw.index(b"PK\x01\x02"), raw.index(b"PK\x05\x06")
    entries = [raw[start:stop].replace(b"0.xml", bytes([65 + each]) + b".xml") for each in range(60)]
    end = struct.pack("<4s4xHHIIH", b"PK\x05\x06", len(entries), len(entries), sum(map(len, entries)), start, 0)
    return raw[:start] + b"".join(entries) + end


BOMB = zipped({"xl/worksheets/sheet1.xml": bytes(ZEROS)})


LAUGHS = b'<!DOCTYPE a [<!ENTITY b "ha"><!ENTITY c "&b;&b;&b;&b;">]><worksheet>&c;</worksheet>'
MERGED = (b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
          b'<row><c><v>1</v></c><c><v>2</v></c></row></sheetData><mergeCells>' +
          b'<mergeCell ref="A1:B900000"/>' * 2 + b'</mergeCells></worksheet>')
BURSTING = {
    "areas over areas": (with_sheet(MERGED), "damaged"),
    "zeros": (BOMB, "unpacked it is larger"),
    "a size that lies": (lying(BOMB, ZEROS, 1000), "unpacked it is larger"),
    "a size that boasts": (lying(zipped({"a.xml": bytes(70_001)}), 70_001, ZEROS), "unpacked it is larger"),
    "one within another": (zipped({"inner.xlsx": BOMB, "xl/media/a.xml": bytes(ZEROS)}), "not a spreadsheet"),
    "pages over pages": (overlapping(), "unpacked it is larger"),
    "too many pages": (zipped({f"xl/{each}.xml": b"" for each in range(MEMBERS + 1)}), f"got {MEMBERS + 1:,}"),
    "words of its own": (with_sheet(LAUGHS), "definitions that no workbook has"),
    "broken XML": (with_sheet(b"<worksheet><sheetData><row r='1'>"), "not a spreadsheet"),
    "truncated": (workbook()[:4000], "not a spreadsheet"),
    "nothing": (b"", "not a spreadsheet"),
}


@pytest.mark.parametrize("name", BURSTING)
def test_a_workbook_that_bursts_is_refused(tmp_path: Path, name: str) -> None:
    raw, message = BURSTING[name]
    (tmp_path / "x.xlsx").write_bytes(raw)
    with pytest.raises(FileError, match=message):
        read_grids(tmp_path / "x.xlsx")


def test_words_defined_within_in_another_encoding_are_not_taken_either(tmp_path: Path) -> None:
    bomb = '<?xml version="1.0" encoding="UTF-16"?><!DOCTYPE a [<!ENTITY b "x">]><worksheet>&b;</worksheet>'
    (tmp_path / "x.xlsx").write_bytes(with_sheet(bomb.encode("utf-16")))
    with pytest.raises(FileError, match=r"definitions|damaged|not a spreadsheet"):
        read_grids(tmp_path / "x.xlsx")


def far_off(reference: str) -> bytes:
    """Two cells, the second at that place."""
    return with_sheet(f'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData><row>'
                      f'<c r="A1"><v>1</v></c></row><row><c r="{reference}"><v>1</v></c></row></sheetData></worksheet>'
                      .encode())


@pytest.mark.parametrize(("reference", "message"), [
    (f"A{ROWS + 1}", f"more rows .*got {ROWS + 1:,}"), ("PP1", f"more columns .*got {COLUMNS + 32}"),
    (f"OA{ROWS}", "broke off.*512 MB of memory")])
def test_a_cell_far_off_takes_no_more_than_it_may(tmp_path: Path, reference: str, message: str) -> None:
    (tmp_path / "x.xlsx").write_bytes(far_off(reference))
    with pytest.raises(FileError, match=message):
        read_grids(tmp_path / "x.xlsx")


@pytest.mark.parametrize(("content", "message"), [
    (b"a\n" * (ROWS + 1), "more rows"), (b"," * COLUMNS, "more columns"),
    (b",".join([b"a"] * COLUMNS) + b"\n", "")])
def test_a_csv_has_so_many_rows_and_columns(tmp_path: Path, content: bytes, message: str) -> None:
    (tmp_path / "x.csv").write_bytes(content)
    if message:
        with pytest.raises(FileError, match=message):
            read_grids(tmp_path / "x.csv")
    else:
        assert len(read_grids(tmp_path / "x.csv")[0].rows[0]) == COLUMNS


def test_cells_are_counted_over_all_files_of_a_folder(tmp_path: Path) -> None:
    each = b"".join([b"," * (COLUMNS - 1) + b"\n"] * (CELLS // COLUMNS // 2 + 1))
    for name in "ab":
        (tmp_path / f"{name}.csv").write_bytes(each)
    with pytest.raises(FileError, match=r"b\.csv: there are more cells"):
        read_grids(tmp_path)


def test_a_large_file_is_refused_by_its_size(tmp_path: Path) -> None:
    with (tmp_path / "x.csv").open("wb") as file:
        file.truncate(FILE_BYTES + 1)
    with pytest.raises(FileError, match=r"too large.*50 MB"):
        read_grids(tmp_path / "x.csv")


def png(width: int, height: int) -> bytes:
    """A picture that claims a size and holds one row of nothing."""
    chunks = ((b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)), (b"IDAT", zlib.compress(b"\0")),
              (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(struct.pack(">I", len(data)) + kind + data
                                        + struct.pack(">I", zlib.crc32(kind + data)) for kind, data in chunks)


PICTURES = {
    "a bomb": (png(100_000, 100_000), "the picture is too large.*got 100,000 x 100,000"),
    "a little too large": (png(10_001, 10_000), "too large"),
    "no width": (png(0, 5), "not a photo"),
    "nothing": (b"", "not a photo"),
    "a broken one": (b"\xff\xd8\xff\xe0junk", "not a photo"),
    "a workbook": (BOMB, "not a photo"),
}


@pytest.mark.parametrize("name", PICTURES)
def test_a_picture_that_claims_too_much_is_refused_by_its_header(tmp_path: Path, name: str) -> None:
    raw, message = PICTURES[name]
    (tmp_path / "x.png").write_bytes(raw)
    with pytest.raises(FileError, match=message):
        picture_anew(tmp_path / "x.png")


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP", "TIFF", "GIF"])
def test_a_photo_of_any_form_is_drawn_anew_in_its_size(tmp_path: Path, form: str) -> None:
    Image.new("RGB", (31, 17)).save(tmp_path / "x", form)
    assert picture_anew(tmp_path / "x")[1:] == ((31, 17), (31, 17))


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has neither in its folders")
def test_what_is_no_plain_file_is_neither_waited_for_nor_read_to_its_end(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "x.csv")
    (tmp_path / "folder").mkdir()
    (tmp_path / "folder" / "y.csv").mkdir()
    for path in (tmp_path / "x.csv", Path("/dev/zero"), tmp_path / "folder"):
        with pytest.raises(FileError, match="not a plain file"):
            read_grids(path)


def test_a_file_that_may_not_be_read_or_is_not_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(FileError, match="no such file"):
        read_grids(tmp_path / "x.csv")
    with pytest.raises(FileError, match=r"no such file|not a plain file"):
        read_grids(tmp_path / ("x" * 5000))

    def refuse(*_: object) -> int:
        raise PermissionError

    monkeypatch.setattr(os, "open", refuse)
    with pytest.raises(Refusal, match="not_allowed"):
        child.file_bytes("x")


@pytest.mark.parametrize("start", [
    "print('no answer')", "print('[]')", "print('{}')", "import os; os.abort()", "raise SystemExit", "1 / 0",
    """print('{"refused": {"what": "none.such", "right": "", "value": "", "fields": {}}}')""",
    "print('[' * 100_000)", "import sys; sys.stdin.read(); sys.stdout.write('{')"])
def test_a_reader_that_breaks_off_or_answers_nonsense_is_one_line(
        tmp_path: Path, monkeypatch: pytest.MonkeyPatch, start: str) -> None:
    (tmp_path / "x.csv").write_text("a,b\n", encoding="utf-8")
    monkeypatch.setattr(fence, "_START", start)
    with pytest.raises(FileError, match=r"x\.csv: reading it broke off: .* 512 MB"):
        read_grids(tmp_path / "x.csv")


def test_a_reader_that_takes_too_long_is_ended(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "x.csv").write_text("a,b\n", encoding="utf-8")
    monkeypatch.setattr(fence, "_START", "import time; time.sleep(600)")
    monkeypatch.setattr(fence, "WALL_S", 0.2)
    with pytest.raises(FileError, match=r"takes more than 0\.2 seconds"):
        read_grids(tmp_path / "x.csv")


def test_the_next_process_takes_up_behind_a_file_that_ended_one(tmp_path: Path) -> None:
    for name, raw in (("a", b"x,y\n"), ("b", far_off("XFD1048576")), ("c", b"x,y\n")):
        (tmp_path / name).write_bytes(raw)
    first, second, third = each_fenced("grids", [tmp_path / name for name in "abc"])
    assert first[0]["rows"] == third[0]["rows"] == [["x", "y"]]
    assert isinstance(second, FileError)


def test_what_lies_where_the_person_stands_is_not_imported(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("json", "csv", "python_calamine", "rootcase"):
        (tmp_path / f"{name}.py").write_text("raise SystemExit", encoding="utf-8")
    (tmp_path / "x.xlsx").write_bytes(workbook())
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sys, "path", ["", *sys.path])
    assert read_grids(Path("x.xlsx"))[0].rows[1][0].text == "tree 1"


def noise(choose: random.Random) -> bytes:
    return choose.randbytes(choose.choice((0, 1, 7, 300, 5000)))


def text(choose: random.Random) -> bytes:
    signs = ['"', ",", ";", "\t", "\n", "\r", " ", "é", "½", "\u2028", "sep=", "1", "a", "'", "=", "\ufeff", "\x1a"]
    return "".join(choose.choices(signs, k=choose.randrange(200))).encode(
        choose.choice(("utf-8", "utf-16", "utf-16-le", "cp1252", "mac_roman")), "replace")


def headed(start: bytes) -> Callable[[random.Random], bytes]:
    return lambda choose: start + noise(choose)


def harmed(raw: bytes) -> Callable[[random.Random], bytes]:
    def harm(choose: random.Random) -> bytes:
        harmed = bytearray(raw)
        for _ in range(choose.choice((1, 3, 20))):
            at = choose.randrange(len(harmed))
            harmed[at:at + choose.choice((0, 1, 4))] = choose.randbytes(choose.choice((1, 1, 4)))
        return bytes(harmed[:choose.choice((len(harmed), choose.randrange(len(harmed)) + 1))])
    return harm


def harmed_within(raw: bytes) -> Callable[[random.Random], bytes]:
    """A sound package of pages that are not."""
    with zipfile.ZipFile(io.BytesIO(raw)) as package:
        held = {name: package.read(name) for name in package.namelist()}

    def harm(choose: random.Random) -> bytes:
        name = choose.choice(sorted(held))
        return zipped(held | {name: harmed(held[name])(choose)})
    return harm


MADE = {
    "noise.csv": noise, "text.csv": text, "noise.xlsx": headed(b"PK\x03\x04"), "harmed.xlsx": harmed(workbook()),
    "harmed within.xlsx": harmed_within(workbook()), "harmed.ods": harmed(ods()),
    "harmed within.ods": harmed_within(ods()),
    "headed.xls": headed(OLD.read_bytes()[:512]), "harmed.xls": harmed(OLD.read_bytes()),
    "headed.jpg": headed(b"\xff\xd8\xff\xe0"), "headed.tif": headed(b"II*\0"), "harmed.png": harmed(png(9, 9)),
    "headed.webp": headed(b"RIFF\x10\0\0\0WEBPVP8X"),
}


def format_of(name: str) -> str:
    ending = Path(name).suffix
    return ending if ending in (".csv", ".xlsx", ".ods", ".xls") else "photo"


@pytest.mark.parametrize("name", MADE)
def test_no_bytes_make_anything_but_cells_or_one_line(tmp_path: Path, long: bool, name: str) -> None:
    """In full ten thousand files of a format."""
    choose, batch, form = random.Random(name), 200, format_of(name)
    full = 10_000 // sum(format_of(each) == form for each in MADE)
    for start in range(0, full if long else batch, batch):
        paths = [tmp_path / f"{start + each}{Path(name).suffix}" for each in range(batch)]
        for path in paths:
            path.write_bytes(MADE[name](choose))
        for answer in each_fenced("photo" if form == "photo" else "grids", paths):
            if isinstance(answer, FileError):
                assert "\n" not in str(answer)


def test_every_refusal_has_its_words() -> None:
    words, found = catalogue("en"), 0
    for file in Path(child.__file__).parent.glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Refusal":
                what, right = (ast.literal_eval(argument) for argument in node.args[:2])
                given = {str(word.arg) for word in node.keywords}
                assert {field for _, field, _, _ in string.Formatter().parse(words[what]) if field} <= given
                assert "{" not in words[right]
                found += 1
    assert found > 20


def test_a_workbook_of_another_maker_is_read(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.active.append(["tree", "dbh"])  # type: ignore[union-attr]
    book.save(tmp_path / "x.xlsx")
    assert [cell.text for cell in read_grids(tmp_path / "x.xlsx")[0].rows[0]] == ["tree", "dbh"]


def test_an_ods_is_read_as_it_was_seen(tmp_path: Path) -> None:
    (tmp_path / "x.ods").write_bytes(ods())
    grid, = read_grids(tmp_path / "x.ods")
    assert [[cell.text for cell in row] for row in grid.rows] == [["oak", "30%", "14 cm", "=[.B1]+1"]] * 2
    assert grid.merged[0] == (0, 3, 0, 4)
