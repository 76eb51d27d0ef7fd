"""Writing the nutrient database into one zip file: the same data gives the same bytes."""

from collections.abc import Iterator
from typing import IO
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from nutrients.csv_text import csv_lines
from nutrients.database.tables import BY_HAND, CHANGED, REMOVED, TABLES, Table, dictionary

DICTIONARY_FILE = "dictionary.csv"
NO_DATE = (1980, 1, 1, 0, 0, 0)  # the first that a zip file can hold
UNIX = 3


def write_database(file: IO[bytes]) -> None:
    """Every table and the dictionary of their columns."""
    with ZipFile(file, "w") as archive:
        columns = ["table", "column", "unit", "meaning"]
        _add(
            archive, DICTIONARY_FILE, csv_lines(columns, ([row[x] for x in columns] for row in dictionary()))
        )
        for table in TABLES:
            _add(archive, table.file, csv_lines(table.columns, rows(table)))


def _add(archive: ZipFile, name: str, lines: Iterator[str]) -> None:
    entry = ZipInfo(name, NO_DATE)
    entry.compress_type, entry.create_system, entry.external_attr = ZIP_DEFLATED, UNIX, 0o644 << 16
    with archive.open(entry, "w") as member:
        for line in lines:
            member.write(line.encode())


def rows(table: Table) -> Iterator[list[object]]:
    """The rows of a table in its columns' order, then those that a person took away."""
    by_hand = set(table.model.history.order_by().values_list("id", flat=True)) if table.has_history else ()
    stored = [name for name in table.columns if name != BY_HAND]
    found = table.model.objects.order_by(*table.sorting()).values_list("pk", *map(table.path, stored))
    for pk, *cells in found.iterator():
        yield [*cells, CHANGED if pk in by_hand else ""] if table.has_history else cells
    if table.removals:
        for key in removed(table):
            yield [REMOVED if name == BY_HAND else key.get(name) for name in table.columns]


def removed(table: Table) -> list[dict[str, str]]:
    """The keys of rows that a person took away and that did not come back, in order."""
    paths = [table.path(name) for name in table.key]
    gone = set(table.model.history.filter(history_type="-").order_by().values_list(*paths))
    gone -= set(table.model.objects.order_by().values_list(*paths))
    return [dict(zip(table.key, key, strict=True)) for key in sorted(key for key in gone if None not in key)]
