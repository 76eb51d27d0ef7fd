"""A CSV file as lines of cells: its letters, its separator, its head. Pure."""

import csv
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from nutrients.csv_text import csv_lines, plain_cell

MOST_BYTES = 10 * 10**6
MOST_ROWS, MOST_COLUMNS = 20_000, 60
SEPARATORS = ",;\t|"
UTF_16_MARKS = (b"\xff\xfe", b"\xfe\xff")
EXAMPLES = 3
WRONG = "what is wrong"
CHECKED = "looked at"


class BadTable(ValueError):
    """What is wrong with a file, and what to do."""


@dataclass(frozen=True)
class TableRow:
    """line: where it begins in the file, the head being line 1; cells: as many as the head has."""

    line: int
    cells: tuple[str, ...]


@dataclass(frozen=True)
class Table:
    head: tuple[str, ...]
    rows: tuple[TableRow, ...]

    def examples(self, column: int) -> list[str]:
        """The first cells of a column that hold something."""
        filled = (row.cells[column] for row in self.rows if row.cells[column])
        return [text for text, _ in zip(filled, range(EXAMPLES), strict=False)]


def read_table(data: bytes) -> Table:
    """Raises BadTable for what is no table with a head, is too large, or has two columns of one name."""
    if len(data) > MOST_BYTES:
        raise BadTable(f"At most {MOST_BYTES // 10**6} MB can be brought in at once: split the file.")
    text = _text(data)
    head_line = next((line for line in text.splitlines() if line.strip()), "")
    separator = max(SEPARATORS, key=head_line.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    try:
        lines = list(_filled(reader))
    except csv.Error as wrong:
        raise BadTable(f"Line {reader.line_num} cannot be read: {wrong}.") from None
    if len(lines) < 2:
        raise BadTable("There must be a line with the names of the columns, and at least one more line.")
    if len(lines) - 1 > MOST_ROWS:
        raise BadTable(f"These are {len(lines) - 1} lines, at most {MOST_ROWS} at once: split the file.")
    head = _head(lines[0].cells)
    return Table(head, tuple(_row(row, len(head)) for row in lines[1:]))


def faulty_lines(table: Table, wrong: dict[int, str]) -> Iterator[str]:
    """As CSV, the rows that were not brought in, with what is wrong: to be mended and loaded again.

    wrong: line -> words. Columns that an earlier round added come once.
    """
    kept = [place for place, name in enumerate(table.head) if name not in (WRONG, CHECKED)]
    checked = table.head.index(CHECKED) if CHECKED in table.head else None
    rows = (
        [
            *(row.cells[place] for place in kept),
            wrong[row.line],
            "" if checked is None else row.cells[checked],
        ]
        for row in table.rows
        if row.line in wrong
    )
    return csv_lines([*(table.head[place] for place in kept), WRONG, CHECKED], rows)


def _text(data: bytes) -> str:
    """Excel writes UTF-16 with its mark, or the letters of western Europe; everybody else UTF-8."""
    codings = ("utf-16",) if data.startswith(UTF_16_MARKS) else ("utf-8-sig", "cp1252")
    for coding in codings:
        try:
            text = data.decode(coding)
        except UnicodeDecodeError:
            continue
        if "\0" not in text:
            return text
    raise BadTable("This is no text file: save the table as CSV (UTF-8) and choose it again.")


def _filled(reader) -> Iterator[TableRow]:
    line = 1
    for cells in reader:
        if any(cell.strip() for cell in cells):
            yield TableRow(line, tuple(plain_cell(cell.strip()) for cell in cells))
        line = reader.line_num + 1


def _head(cells: Sequence[str]) -> tuple[str, ...]:
    while cells and not cells[-1]:
        cells = cells[:-1]
    if len(cells) > MOST_COLUMNS:
        raise BadTable(
            f"These are {len(cells)} columns, at most {MOST_COLUMNS}: leave out what is not needed."
        )
    for place, name in enumerate(cells):
        if not name:
            raise BadTable(f"Column {place + 1} has no name in the first line: give it one.")
        if name in cells[:place]:
            raise BadTable(f"Two columns are named “{name}”: give each a name of its own.")
    return tuple(cells)


def _row(row: TableRow, width: int) -> TableRow:
    if any(row.cells[width:]):
        raise BadTable(f"Line {row.line} has more cells than the first line has names: mend it.")
    return TableRow(row.line, row.cells[:width] + ("",) * (width - len(row.cells)))
