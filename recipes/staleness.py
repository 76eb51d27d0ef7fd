"""Which kept figures a change touches: they are marked in the transaction that makes the change."""

from collections.abc import Callable, Iterable

from django.db import models, transaction
from django.db.models.signals import post_delete, post_save

from nutrients.models import (
    BatchYield,
    Food,
    FoodValue,
    Limit,
    Negligible,
    Nutrient,
    Profile,
    Retention,
    Standard,
    Supplement,
)
from nutrients.signals import rows_written
from recipes import renewal
from recipes.models import Ingredient, RecipeVersion, VersionFigures

MOST_NAMED = 5000  # foods that a statement names one by one

Touched = Callable[[Iterable], models.Q]  # asked with rows of a model, says which figures rest on them


def _holding(foods: set[int]) -> models.Q:
    """Figures of versions in which one of these foods stands; of all versions when the foods are many."""
    return _with_lines(food__in=foods) if len(foods) <= MOST_NAMED else models.Q()


def _with_lines(**such) -> models.Q:
    lines = Ingredient.objects.filter(**such).order_by()
    return models.Q(version__in=lines.values("version"))


def _every(rows: Iterable) -> models.Q:
    return models.Q()


TOUCHED: dict[type[models.Model], Touched] = {
    BatchYield: lambda rows: models.Q(version__method__in={row.method for row in rows}),
    Food: lambda rows: _holding({row.pk for row in rows}),
    FoodValue: lambda rows: _holding({row.food_id for row in rows}),
    Ingredient: lambda rows: models.Q(version__in={row.version_id for row in rows}),
    Limit: _every,
    Negligible: _every,
    Nutrient: _every,
    Profile: _every,
    Retention: lambda rows: _with_lines(food__retention_group__in={row.food_group for row in rows}),
    Standard: _every,
    Supplement: lambda rows: _holding({row.food_id for row in rows}),
}


def connect() -> None:
    """Hear of every change from now on."""
    post_save.connect(_version_saved, sender=RecipeVersion)
    rows_written.connect(_rows_written)
    for model in TOUCHED:
        for signal in (post_save, post_delete):
            signal.connect(_row_changed, sender=model)


def mark(figures: models.QuerySet) -> None:
    """What they rest on has changed. Few of them are renewed as soon as the change is made for good."""
    if figures.mark_stale():
        transaction.on_commit(renewal.renew_few, robust=True)


def _version_saved(sender, instance: RecipeVersion, created: bool, **kwargs) -> None:
    if created:
        VersionFigures.objects.create(version=instance)
    else:
        mark(VersionFigures.objects.filter(version=instance))


def _row_changed(sender, instance: models.Model, **kwargs) -> None:
    _rows_written(sender, [instance])


def _rows_written(sender, rows: Iterable, **kwargs) -> None:
    if rows and sender in TOUCHED:
        mark(VersionFigures.objects.filter(TOUCHED[sender](rows)))
