"""A download as it comes: a folder or a zip, whose known files are read line by line and never unpacked."""

import codecs
import io
import zipfile
import zlib
from collections.abc import Callable, Iterator
from pathlib import Path, PurePosixPath
from typing import BinaryIO

FDC_FILES = (
    "food.csv",
    "food_nutrient.csv",
    "nutrient.csv",
    "food_category.csv",
    "food_portion.csv",
    "measure_unit.csv",
)
NDB_FILES = ("sr_legacy_food.csv", "foundation_food.csv")
SR_FILES = ("food_des.txt", "nut_data.txt", "nutr_def.txt", "weight.txt", "fd_group.txt", "abbrev.txt")
KNOWN_FILES = frozenset((*FDC_FILES, *NDB_FILES, *SR_FILES))

# The whole of FoodData Central is about 3 GB unpacked, packed to a tenth (from memory). More is no download
# of USDA's but a zip made to fill a computer.
MOST_BYTES = 8 * 10**9
MOST_RATIO = 200
SMALL_BYTES = 10**7
LONGEST_LINE = 10**6
ROWS_PER_REPORT = 20_000
BROKEN_ZIP = (zipfile.BadZipFile, zlib.error, EOFError, OSError, RuntimeError, NotImplementedError)


class BadFile(Exception):
    """A download that cannot be used; says the file, the line where there is one, and what is wrong."""

    def __init__(self, file: str, line: int | None, problem: object):
        super().__init__(f"{file}: {problem}" if line is None else f"{file}:{line}: {problem}")


def silent(rows: int, share: float) -> None:
    """The progress that nobody is told of."""


class Archive:
    """The known files of a download, by their name in lower case.

    progress is told the rows read and the share of the bytes (0..1) from time to time. Raises BadFile for
    what is no download.
    """

    def __init__(self, path: Path, progress: Callable[[int, float], None] = silent):
        self.name = path.name
        self.rows_read = 0
        self._progress = progress
        self._bytes_read = 0
        self._zip: zipfile.ZipFile | None = None
        self._files: dict[str, Path | zipfile.ZipInfo] = {}
        if path.is_dir():
            self._files = _named((file.name, file) for file in _files_of(path))
            sizes = [file.stat().st_size for file in self._files.values()]
        else:
            self._zip = _zip_file(path)
            self._files = _known_members(self.name, self._zip)
            sizes = [member.file_size for member in self._files.values()]
        self._bytes_total = max(1, sum(sizes))

    def __enter__(self) -> "Archive":
        return self

    def __exit__(self, *problem) -> None:
        if self._zip:
            self._zip.close()

    def __contains__(self, name: str) -> bool:
        return name in self._files

    def require(self, *names: str) -> None:
        """Raises BadFile for the first file that is not there."""
        for name in names:
            if name not in self:
                raise BadFile(self.name, None, f"{name} is missing")

    def lines(self, name: str, encoding: str) -> Iterator[str]:
        """The lines of a file, read as they are asked for. Raises BadFile with the line that is broken."""
        number = 0
        try:
            with self._open(name) as file:
                while raw := file.readline(LONGEST_LINE + 1):
                    number += 1
                    self._count(raw)
                    if len(raw) > LONGEST_LINE or b"\0" in raw:
                        raise BadFile(name, number, "this is no line of text")
                    yield (raw.removeprefix(codecs.BOM_UTF8) if number == 1 else raw).decode(encoding)
        except UnicodeDecodeError:
            raise BadFile(name, number, f"this is not written in {encoding.upper()}") from None
        except BROKEN_ZIP as problem:
            raise BadFile(name, number + 1, f"the file cannot be read any further ({problem})") from None

    def _count(self, raw: bytes) -> None:
        self.rows_read += 1
        self._bytes_read += len(raw)
        if self.rows_read % ROWS_PER_REPORT == 0:
            self._progress(self.rows_read, min(1.0, self._bytes_read / self._bytes_total))

    def _open(self, name: str) -> BinaryIO:
        file = self._files[name]
        if self._zip:
            return io.BufferedReader(self._zip.open(file), 2**20)
        return file.open("rb")


def _files_of(folder: Path) -> Iterator[Path]:
    """The files of a folder and of the folders in it."""
    for entry in sorted(folder.iterdir()):
        yield from (file for file in sorted(entry.iterdir()) if file.is_file()) if entry.is_dir() else [entry]


def _zip_file(path: Path) -> zipfile.ZipFile:
    try:
        return zipfile.ZipFile(path)
    except FileNotFoundError:
        raise BadFile(path.name, None, "there is no such file or folder") from None
    except BROKEN_ZIP:
        raise BadFile(path.name, None, "this is neither a folder nor a whole zip file") from None


def _known_members(zip_name: str, packed: zipfile.ZipFile) -> dict[str, zipfile.ZipInfo]:
    """The known files of a zip. Raises BadFile for a path that leads out of it and for what would swell."""
    members = [member for member in packed.infolist() if not member.is_dir()]
    for member in members:
        path = PurePosixPath(member.filename.replace("\\", "/"))
        if path.is_absolute() or ".." in path.parts or ":" in path.parts[0]:
            raise BadFile(zip_name, None, f"{member.filename!r} leads out of the zip file")
    known = _named((PurePosixPath(member.filename).name, member) for member in members)
    swelling = [
        name
        for name, member in known.items()
        if member.file_size > max(SMALL_BYTES, MOST_RATIO * member.compress_size)
    ]
    if swelling or sum(member.file_size for member in known.values()) > MOST_BYTES:
        what = swelling[0] if swelling else "the whole"
        raise BadFile(zip_name, None, f"{what} would unpack to far more than USDA publishes")
    return known


def _named(files) -> dict:
    """The known ones of the files by name. Raises BadFile when a name stands twice."""
    named: dict = {}
    for name, file in files:
        name = name.lower()
        if name in KNOWN_FILES:
            if name in named:
                raise BadFile(name, None, "there are two files of this name; give the folder of one download")
            named[name] = file
    return named
