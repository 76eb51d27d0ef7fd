"""Writing a table: what is new is added, what differs is changed, what a person has changed is left alone."""

from collections.abc import Iterable
from typing import NamedTuple

from django.contrib.admin.models import LogEntry
from django.contrib.contenttypes.models import ContentType
from django.db import models

from nutrients.reference.lines import BadLine, Line
from nutrients.signals import rows_written

Key = tuple[str, ...]
BATCH = 1000


class Count(NamedTuple):
    """How many rows were added, changed, the same, or left as a person has changed them."""

    file: str
    rows: str
    added: int
    changed: int
    unchanged: int
    kept: int


def write(lines: Iterable[Line], key: Key, kept_keys: Iterable[tuple] = ()) -> Count:
    """Bring the lines of one table into the database; every instance has its primary key afterwards.

    `key` names the fields that tell rows apart; `kept_keys` are rows to leave alone besides those that
    were changed by hand. Nothing is deleted.
    """
    lines = list(lines)
    if not lines:
        raise BadLine("an empty table", "there is nothing to load")
    model = type(lines[0].instance)
    key = tuple(model._meta.get_field(name).attname for name in key)
    fields = [field.attname for field in model._meta.fields if not (field.primary_key or field.generated)]
    rows = {tuple(row[name] for name in key): row for row in model.objects.order_by().values("pk", *fields)}
    instances = by_key(lines, key)
    for where in rows.keys() & instances.keys():
        instances[where].pk = rows[where]["pk"]
    kept = changed_by_hand(model, key, rows) | set(kept_keys)
    ours = {where: instance for where, instance in instances.items() if where not in kept}
    added = [instance for where, instance in ours.items() if where not in rows]
    changed = [each for where, each in ours.items() if where in rows and differs(each, rows[where])]
    model.objects.bulk_create(added, batch_size=BATCH)
    model.objects.bulk_update(changed, fields, batch_size=BATCH)
    rows_written.send(model, rows=[*added, *changed])
    numbers = len(added), len(changed), len(ours) - len(added) - len(changed), len(instances) - len(ours)
    return Count(lines[0].place.partition(":")[0], str(model._meta.verbose_name_plural), *numbers)


def differs(instance: models.Model, row: dict) -> bool:
    return any(getattr(instance, name) != value for name, value in row.items())


def by_key(lines: list[Line], key: Key) -> dict[tuple, models.Model]:
    """The instances by their key. Raises BadLine when two lines say the same thing."""
    seen: dict[tuple, Line] = {}
    for line in lines:
        where = tuple(getattr(line.instance, name) for name in key)
        if where in seen:
            raise BadLine(line.place, f"{line.instance} stands in {seen[where].place} already")
        seen[where] = line
    return {where: line.instance for where, line in seen.items()}


def changed_by_hand(model: type[models.Model], key: Key, rows: dict[tuple, dict]) -> set[tuple]:
    """Keys of rows that a person has saved or deleted.

    They stand in the model's history, which loading does not write; a model without a history is looked
    up in the log of the administration pages.
    """
    if hasattr(model, "history"):
        return set(model.history.order_by().values_list(*key))
    log = LogEntry.objects.filter(content_type=ContentType.objects.get_for_model(model))
    edited = set(log.values_list("object_id", flat=True))
    return {where for where, row in rows.items() if str(row["pk"]) in edited}
