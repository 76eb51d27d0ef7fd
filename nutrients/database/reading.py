"""From the rows of an exported table to checked instances of its model."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from django.db import models

from nutrients.database.archive import Row
from nutrients.database.tables import BY_HAND, CHANGED, REMOVED, Table
from nutrients.models import FoodValue, Limit
from nutrients.reference import BadLine
from nutrients.reference.lines import Line, found, line, value
from nutrients.reference.standards import check

Lookups = Mapping[str, Mapping[str, models.Model]]


class Rows(NamedTuple):
    """lines: rows to be kept; by_hand: those of them that a person entered or changed; removed: rows that a
    person took away, as instances of which only the key is filled in.
    """

    lines: list[Line]
    by_hand: list[Line]
    removed: list[Line]


def read(table: Table, rows: Iterable[Row]) -> Rows:
    """Raises BadLine for the first row that is not right."""
    lookups = {name: _named(table, name) for name in table.references}
    read_rows = Rows([], [], [])
    for row in rows:
        mark = row.cells.get(BY_HAND, "")
        if mark not in ("", CHANGED, *([REMOVED] if table.removals else [])):
            raise BadLine(row.place, f"{BY_HAND} cannot be {mark!r}")
        if mark == REMOVED:
            key = _values(table, row, table.key, lookups)
            read_rows.removed.append(Line(row.place, table.model(**key)))
            continue
        kept = _line(table, row, lookups)
        read_rows.lines.append(kept)
        if mark == CHANGED:
            read_rows.by_hand.append(kept)
    return read_rows


def _named(table: Table, name: str) -> dict[str, models.Model]:
    """The rows that a column may refer to, by what they are called in the table."""
    related = table.model._meta.get_field(name).related_model
    called = related.objects.values_list("pk", table.references[name].partition("__")[2])
    stored = related.objects.in_bulk()
    return {text: stored[pk] for pk, text in called}


def _line(table: Table, row: Row, lookups: Lookups) -> Line:
    kept = line(row.place, table.model, _values(table, row, table.fields, lookups))
    for column, path in table.stated.items():
        reference, _, attribute = path.partition("__")
        says = getattr(getattr(kept.instance, reference), attribute)
        if row.cells[column] != says:
            raise BadLine(row.place, f"{column} must be {says!r} here, not {row.cells[column]!r}")
    if isinstance(kept.instance, Limit):
        check(kept)
    if isinstance(kept.instance, FoodValue) and kept.instance.nutrient.derived:
        raise BadLine(row.place, f"{kept.instance.nutrient.key} is worked out from others and never stored")
    return kept


def _values(table: Table, row: Row, names: Iterable[str], lookups: Lookups) -> dict[str, object]:
    return {name: _value(table, row, name, lookups) for name in names}


def _value(table: Table, row: Row, name: str, lookups: Lookups):
    cell = row.cells[name]
    if "\0" in cell:
        raise BadLine(row.place, f"{name} holds a NUL character")
    if name in lookups and not (table.model._meta.get_field(name).null and not cell):
        return found(row.place, lookups[name], cell)
    return value(row.place, table.model, name, cell, lookups)


def named_before(rows: Iterable[Row], key: str, references: Sequence[str]) -> Iterator[Row]:
    """The rows, each after those of the same table that it names. Raises BadLine for a circle."""
    waiting = list(rows)
    while waiting:
        names = {row.cells[key] for row in waiting}
        ready = [row for row in waiting if not names & {row.cells[name] for name in references}]
        if not ready:
            raise BadLine(waiting[0].place, f"{waiting[0].cells[key]!r} refers to itself in a circle")
        yield from ready
        waiting = [row for row in waiting if row not in ready]
