"""Bringing an exported database in: everything is checked, and written in one go or not at all.

What is new is added, what differs is changed, and what a person entered, changed or took away there counts as
such here too, so that the program's own tables leave it alone. What the file does not name stays.
"""

from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

from django.db import models, transaction
from django.utils import timezone

from nutrients.database.archive import Row, TableArchive
from nutrients.database.export import DICTIONARY_FILE
from nutrients.database.reading import Rows, named_before, read
from nutrients.database.tables import TABLES, Table
from nutrients.models import Supplement
from nutrients.reference.lines import Line
from nutrients.reference.supplements import refuse_unassayed
from nutrients.reference.tables import by_key, differs
from nutrients.signals import rows_written

REASON = "brought in from an exported database"
BATCH = 1000


class Count(NamedTuple):
    """How many rows were added, changed, the same, taken away, and stand only here."""

    file: str
    added: int
    changed: int
    unchanged: int
    removed: int
    only_here: int


@transaction.atomic
def bring_in(path: Path, *, dry_run: bool = False) -> list[Count]:
    """Raises BadArchive or BadLine for the first thing that is not right; nothing is written then."""
    with TableArchive(path, [table.file for table in TABLES], also=[DICTIONARY_FILE]) as archive:
        counts, supplements = [], []
        for table in TABLES:
            count, lines = _bring_in(table, archive.rows(table.file, table.columns))
            counts.append(count)
            supplements += lines if table.model is Supplement else []
    refuse_unassayed(supplements)
    transaction.set_rollback(dry_run)
    return counts


def _bring_in(table: Table, rows: Iterable[Row]) -> tuple[Count, list[Line]]:
    """One table; rows that refer to others of the same table are written one after the other."""
    own = [
        name for name in table.references if table.model._meta.get_field(name).related_model is table.model
    ]
    groups = [[row] for row in named_before(rows, table.key[0], own)] if own else [rows]
    lines, numbers = [], [0, 0, 0, 0]
    for group in groups:
        read_rows = read(table, group)
        lines += read_rows.lines
        numbers = [sum(pair) for pair in zip(numbers, write(table, read_rows), strict=True)]
    return Count(table.file, *numbers, table.model.objects.count() - len(lines)), lines


def write(table: Table, read_rows: Rows) -> tuple[int, int, int, int]:
    """How many rows were added, changed, the same and taken away. Every instance has its primary key then."""
    model = table.model
    key = tuple(model._meta.get_field(name).attname for name in table.key)
    fields = [model._meta.get_field(name).attname for name in table.fields]
    stored = {tuple(row[name] for name in key): row for row in model.objects.order_by().values("pk", *fields)}
    instances = by_key(read_rows.lines, key)
    for where in stored.keys() & instances.keys():
        instances[where].pk, instances[where]._state.adding = stored[where]["pk"], False
    added = [instance for where, instance in instances.items() if where not in stored]
    changed = [each for where, each in instances.items() if where in stored and differs(each, stored[where])]
    model.objects.bulk_create(added, batch_size=BATCH)
    _change(table, changed, fields)
    rows_written.send(model, rows=[*added, *changed])
    _mark_by_hand(table, [each.instance for each in read_rows.by_hand])
    gone = _take_away(table, read_rows.removed, key) + _take_parts_away(table, instances.values())
    return len(added), len(changed), len(instances) - len(added) - len(changed), gone


def _change(table: Table, changed: list[models.Model], fields: list[str]) -> None:
    """With an entry in the history of every row, where it has one."""
    if not table.has_history:
        table.model.objects.bulk_update(changed, fields, batch_size=BATCH)
        return
    for instance in changed:
        instance._change_reason = REASON
        instance.save()


def _mark_by_hand(table: Table, instances: list[models.Model]) -> None:
    """A row that a person wrote is one that has a history."""
    if not instances:
        return
    known = set(table.model.history.order_by().values_list("id", flat=True))
    new = [instance for instance in instances if instance.pk not in known]
    table.model.history.bulk_history_create(new, batch_size=BATCH, default_change_reason=REASON)


def _take_away(table: Table, removed: list[Line], key: tuple[str, ...]) -> int:
    """What a person took away there goes here too, and the history says that it is not to come back."""
    gone = 0
    for where, instance in by_key(removed, key).items():
        wanted = dict(zip(key, where, strict=True))
        for row in table.model.objects.filter(**wanted):
            row._change_reason = REASON
            row.delete()
            gone += 1
        history = table.model.history
        if not history.filter(**wanted, history_type="-").exists():
            left = {field.attname: getattr(instance, field.attname) for field in table.model._meta.fields}
            history.create(
                **left | {"id": 0},
                history_type="-",
                history_date=timezone.now(),
                history_change_reason=REASON,
            )
    return gone


def _take_parts_away(table: Table, instances: Iterable[models.Model]) -> int:
    """Parts of a row that the file does not name any more."""
    if not table.belongs_to:
        return 0
    wholes = {getattr(instance, f"{table.belongs_to}_id") for instance in instances}
    left = table.model.objects.filter(**{f"{table.belongs_to}__in": wholes})
    gone = left.exclude(pk__in=[instance.pk for instance in instances])
    return gone.delete()[0]
