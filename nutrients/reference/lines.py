"""Reading one table: every line becomes a checked model instance, or the reading stops with its place."""

import csv
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from django.core.exceptions import FieldDoesNotExist, ValidationError
from django.db import models

Lookup = Mapping[str, object]
YES_NO = {"yes": True, "no": False}


class BadLine(Exception):
    """A line of a table that cannot be used; says the file, the line and what is wrong."""

    def __init__(self, place: str, problem: object):
        super().__init__(f"{place}: {problem}")


@dataclass(frozen=True)
class Line:
    """A model instance and the place in the tables where it comes from, such as `foods.csv:12`."""

    place: str
    instance: models.Model


def rows(path: Path) -> Iterator[tuple[str, dict[str, str]]]:
    """The place and the cells of every line of a table, without surrounding blanks."""
    with path.open(newline="", encoding="utf-8") as file:
        reader = csv.DictReader(file)
        for row in reader:
            place = f"{path.name}:{reader.line_num}"
            if None in row or None in row.values():
                raise BadLine(place, f"{len(reader.fieldnames)} cells were expected, as in the first line")
            yield place, {column: cell.strip() for column, cell in row.items()}


def read(path: Path, model: type[models.Model], **lookups: Lookup) -> Iterator[Line]:
    """Instances of `model` from a table whose columns are named like its fields.

    `lookups` finds, per column, the row of another model that a cell names.
    """
    for place, row in rows(path):
        yield line(place, model, {name: value(place, model, name, row[name], lookups) for name in row})


def line(place: str, model: type[models.Model], values: Mapping[str, object]) -> Line:
    """A checked instance. References are known to exist, and the writing looks after uniqueness."""
    try:
        instance = model(**values)
        references = {field.name for field in model._meta.fields if field.is_relation}
        instance.full_clean(exclude=references, validate_unique=False, validate_constraints=False)
    except (TypeError, ValidationError) as problem:
        raise BadLine(place, problem) from None
    return Line(place, instance)


def value(place: str, model: type[models.Model], name: str, cell: str, lookups: Mapping[str, Lookup]):
    """What a cell says in terms of its field: a number, a word, yes or no, or another row."""
    if name in lookups:
        return found(place, lookups[name], cell) if cell else None
    try:
        field = model._meta.get_field(name)
    except FieldDoesNotExist:
        raise BadLine(place, f"the column {name!r} is not known") from None
    if field.null and not cell:
        return None
    if isinstance(field, models.BooleanField):
        if cell not in YES_NO:
            raise BadLine(place, f"{name} must be yes or no, not {cell!r}")
        return YES_NO[cell]
    if isinstance(field, models.FloatField):
        return number(place, name, cell)
    return cell


def found(place: str, lookup: Lookup, name: str):
    """What stands under `name` in another table."""
    if name not in lookup:
        raise BadLine(place, f"{name!r} stands in no other table")
    return lookup[name]


def number(place: str, name: str, cell: str) -> float:
    """A finite number."""
    try:
        read_number = float(cell)
    except ValueError:
        read_number = math.nan
    if not math.isfinite(read_number):
        raise BadLine(place, f"{name} must be a number, not {cell!r}")
    return read_number
