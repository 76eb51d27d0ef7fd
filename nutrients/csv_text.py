"""Cells and lines of a CSV file: no cell is one that a spreadsheet takes for a formula. Pure."""

import csv
import re
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from itertools import chain

# A spreadsheet may run what begins so, also behind apostrophes that were taken off once before.
FORMULA = re.compile(r"'*[=+\-@\t\r\n\uFF1D\uFF0B\uFF0D\uFF20]")
NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?", re.ASCII)
YES_NO = {True: "yes", False: "no"}


def cell_text(value: object) -> str:
    """A value as it stands in a cell: the shortest number that means the same, nothing for unknown."""
    if value is None or value != value:
        return ""
    if isinstance(value, bool):
        return YES_NO[value]
    if isinstance(value, float):
        return repr(float(value)).removesuffix(".0")
    return value.isoformat() if isinstance(value, date) else str(value)


def safe_cell(value: object) -> str:
    """The cell's text, with an apostrophe before what a spreadsheet would take for a formula."""
    text = cell_text(value)
    return f"'{text}" if FORMULA.match(text) and not NUMBER.fullmatch(text) else text


def plain_cell(cell: str) -> str:
    """What `safe_cell` was given: without the apostrophe that it set."""
    return cell[1:] if cell.startswith("'") and FORMULA.match(cell) else cell


class _Lines:
    """A file that hands back what is written to it."""

    def write(self, text: str) -> str:
        return text


def csv_lines(header: Sequence[str], rows: Iterable[Sequence[object]]) -> Iterator[str]:
    """The lines of a table, one after the other."""
    writer = csv.writer(_Lines(), lineterminator="\r\n")
    for row in chain([header], rows):
        yield writer.writerow(map(safe_cell, row))
