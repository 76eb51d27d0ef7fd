"""Opening a zip file of tables that came from elsewhere; nothing of it is unpacked to the disk.

Refused are files that hold too much, names that lead out of the file and names that do not belong to it.
"""

import csv
from collections.abc import Collection, Iterator
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import NamedTuple
from zipfile import BadZipFile, ZipFile, ZipInfo
from zlib import error as BadCompression

from nutrients.csv_text import plain_cell

MOST_BYTES = 512 * 1024**2  # unpacked; the whole of USDA's SR Legacy takes about 90 MB
ENCRYPTED = 0x1


class BadArchive(ValueError):
    """A file that cannot be used, in a sentence."""


class Row(NamedTuple):
    """A line of a table: its place, such as `values.csv:12`, and what stands in each column."""

    place: str
    cells: dict[str, str]


class TableArchive:
    """The tables of a zip file. Raises BadArchive unless it holds all that are `wanted`, and no others."""

    def __init__(self, path: Path, wanted: Collection[str], also: Collection[str] = ()):
        try:
            self._zip = ZipFile(path)
        except (BadZipFile, OSError) as problem:
            raise BadArchive(f"{path} is no zip file that can be read: {problem}") from None
        entries = self._zip.infolist()
        for entry in entries:
            _refuse_bad_name(entry, {*wanted, *also})
        names = [entry.filename for entry in entries]
        if doubled := sorted({name for name in names if names.count(name) > 1}):
            raise BadArchive(f"{doubled[0]} stands in it twice.")
        if missing := [name for name in wanted if name not in names]:
            raise BadArchive(f"{missing[0]} is missing.")
        if (unpacked := sum(entry.file_size for entry in entries)) > MOST_BYTES:
            raise BadArchive(f"It unpacks to {unpacked:,} bytes; the most that is read is {MOST_BYTES:,}.")

    def __enter__(self):
        return self

    def __exit__(self, *about):
        self._zip.close()

    def rows(self, name: str, columns: Collection[str]) -> Iterator[Row]:
        """The lines of a table with exactly these columns, in any order."""
        reader = csv.reader(self._lines(name))
        try:
            head = next(reader, [])
            if sorted(head) != sorted(columns):
                raise BadArchive(f"{name}:1: the columns must be {', '.join(columns)}.")
            for cells in reader:
                place = f"{name}:{reader.line_num}"
                if len(cells) != len(head):
                    raise BadArchive(f"{place}: {len(head)} cells were expected, not {len(cells)}.")
                yield Row(place, dict(zip(head, map(plain_cell, cells), strict=True)))
        except csv.Error as problem:
            raise BadArchive(f"{name}:{reader.line_num}: {problem}.") from None

    def _lines(self, name: str) -> Iterator[str]:
        number = 0
        try:
            with self._zip.open(name) as file:
                for number, line in enumerate(file, start=1):
                    yield line.decode("utf-8-sig" if number == 1 else "utf-8")
        except UnicodeDecodeError as problem:
            byte = problem.object[problem.start]
            raise BadArchive(f"{name}:{number}: not UTF-8 (byte 0x{byte:02X}): save it in UTF-8.") from None
        except (BadZipFile, BadCompression, EOFError) as problem:
            raise BadArchive(f"{name} is damaged after line {number}: {problem}") from None


def _refuse_bad_name(entry: ZipInfo, known: Collection[str]) -> None:
    name = entry.filename
    path = PurePosixPath(name)
    if path.is_absolute() or PureWindowsPath(name).is_absolute() or ".." in (*path.parts, *name.split("\\")):
        raise BadArchive(f"{name!r} leads out of the file: it is refused.")
    if name not in known:
        inside = path.name in known
        raise BadArchive(f"{name!r} {'stands in a folder' if inside else 'does not belong to it'}.")
    if entry.flag_bits & ENCRYPTED:
        raise BadArchive(f"{name} is locked with a password.")
