"""How much a foreign file may take, and how a file that takes more is refused. All limits are JUDGEMENT."""

from __future__ import annotations

MB = 1_000_000

FILE_BYTES = 50 * MB
"""A tree list of 200,000 rows has about 20 MB, a phone's photo up to 15."""

UNPACKED_BYTES = 100 * MB
"""Sum of a workbook's unpacked pages; 200,000 rows of ten columns have about 70."""

UNPACKED_RATIO = 200
"""Unpacked over packed bytes: real pages stay under 60, nothing but zeros reaches 1,000."""

RATIO_FROM_BYTES = 5 * MB
"""Under this no ratio does harm."""

MEMBERS = 2_000
"""Files within one workbook; each sheet is about three."""

ROWS = 200_000
COLUMNS = 400
CELLS = 4_000_000
"""Of all files read at once: a station's century of daily weather with its flags has about three million."""

FOLDER_FILES = 2_000
"""CSVs of one folder."""

WALL_S = 60
"""A workbook of 200,000 rows takes about five."""

MEMORY_BYTES = 512 * 2**20
"""Address space of the reading process; ten thousand rows take a tenth of it."""

ANSWER_BYTES = 400 * MB
"""What may come back; the cells above, each as long as a note, are less."""

PIXELS = 100 * MB
"""Of a photo: the largest phones take 50 to 200 megapixels, and offer 12 to 50."""


SIDE_PX = 2_400
"""Of a picture that is drawn anew: a property of 100 m then shows every 4 cm, in about 1 MB."""


class Refusal(Exception):
    """A file is not taken: keys of the words that say why and what would be right, and what they are filled with."""

    def __init__(self, what: str, right: str, value: str = "", **fields: object) -> None:
        super().__init__(what)
        self.plain = {"what": what, "right": right, "value": value, "fields": fields}
