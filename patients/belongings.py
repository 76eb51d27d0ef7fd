"""What belongs to a dog and what to an owner: every record that hangs on them.

Read from the relations themselves, hidden ones too, so that a new model cannot be forgotten where records are
merged, handed out or erased.
"""

from dataclasses import dataclass
from functools import cache

from django.db import models
from django.db.models import Q

from patients.models import Owner, Patient


@dataclass(frozen=True)
class Belonging:
    """path: the lookup from a record of `model` to the dog or the owner, such as `visit__patient`."""

    model: type[models.Model]
    path: str

    @property
    def is_direct(self) -> bool:
        """The record names the dog or the owner itself, not by way of another record."""
        return "__" not in self.path

    @property
    def words(self) -> str:
        return str(self.model._meta.verbose_name_plural)

    @property
    def past(self) -> type[models.Model] | None:
        """The model of its history, if that is kept."""
        history = getattr(self.model, "history", None)
        return history.model if history else None

    def of(self, root: Owner | Patient) -> models.QuerySet:
        return self.model._default_manager.filter(**{f"{self.path}__in": with_merged(root)})

    def history_of(self, root: Owner | Patient) -> models.QuerySet:
        """Past states of what belongs to the root, of records that are gone too. Only where `past` is."""
        named = Q(**{f"{self.path}__in": with_merged(root)})
        return self.past._default_manager.filter(named | Q(id__in=self.of(root).values("pk")))


def with_merged(root: Owner | Patient) -> list:
    """The record and those that were merged into it, and into those."""
    found, new = [root], [root]
    while new:
        new = list(type(root)._default_manager.filter(merged_into__in=new))
        found += new
    return found


@cache
def belongings(root: type[models.Model]) -> tuple[Belonging, ...]:
    """Of `Owner` or `Patient`: each model once, by the shortest way; nearer ones first. No past states."""
    found: dict[type[models.Model], Belonging] = {}
    reached = [(root, "")]
    while reached:
        model, way = reached.pop(0)
        for relation in _pointing_at(model):
            if relation.related_model in (root, *found):
                continue
            path = f"{relation.field.name}__{way}" if way else relation.field.name
            found[relation.related_model] = Belonging(relation.related_model, path)
            reached.append((relation.related_model, path))
    return tuple(found.values())


def _pointing_at(model: type[models.Model]) -> list[models.ManyToOneRel]:
    """The foreign keys of other models to this one, by the name of their model."""
    pointing = [
        field
        for field in model._meta.get_fields(include_hidden=True)
        if (field.one_to_many or field.one_to_one)
        and field.auto_created
        and not field.concrete
        and not _is_past(field.related_model)
    ]
    return sorted(pointing, key=lambda relation: relation.related_model._meta.label)


def _is_past(model: type[models.Model]) -> bool:
    """As the history of a model is made: each of its rows tells its record as it was."""
    return hasattr(model, "instance_type")
