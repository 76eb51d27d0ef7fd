"""Writes to the library: saving, reviewing, approving and retiring a recipe.

An approved version never changes. Who approves or saves over something says which content was seen: when it
has changed in the meantime nothing is written.
"""

import hashlib
from collections.abc import Mapping, Sequence

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from recipes import obstacles
from recipes.models import Ingredient, KitchenStep, Recipe, RecipeVersion

CHANGED_MEANWHILE = "Somebody changed this recipe after you opened it: look at it again first."


def fingerprint(version: RecipeVersion | None) -> str:
    """Stands for all that a stored version says; changes with any of it. Empty for no version."""
    if version is None:
        return ""
    fields = ("number", "method", "added_water_g", "cooked_weight_g", "recipe__profile__key")
    own = RecipeVersion.objects.values_list(*fields).get(pk=version.pk)
    ingredients = version.ingredients.values_list("food__name", "grams", "when", "step_g", "note")
    steps = version.kitchen_steps.values_list("text", "minutes", "temperature_c")
    content = repr((own, list(ingredients), list(steps)))
    return hashlib.sha256(content.encode()).hexdigest()[:16]


@transaction.atomic
def save_version(
    *,
    recipe: Recipe,
    particulars: Mapping[str, object],
    ingredients: Sequence[Ingredient],
    kitchen_steps: Sequence[KitchenStep],
    author: User,
    seen: str | None = None,
) -> RecipeVersion:
    """Save a recipe with all that its form holds; the recipe becomes a draft again.

    A draft is changed in place; after an approved version the next one is made. particulars: fields of the
    version. seen: the fingerprint of the version that was edited, None when it need not be compared.
    Raises ValidationError when nothing is in it, something in it is not valid or it changed meanwhile.
    """
    _lock(recipe)
    latest = recipe.latest() if recipe.pk else None
    if seen is not None and seen != fingerprint(latest):
        raise ValidationError(CHANGED_MEANWHILE)
    if not ingredients:
        raise ValidationError("A recipe needs at least one ingredient.")
    recipe.state = Recipe.State.DRAFT
    recipe.full_clean()
    recipe.save()
    version = latest
    if latest is None or latest.approved:
        version = RecipeVersion(recipe=recipe, number=latest.number + 1 if latest else 1)
    for field, value in particulars.items():
        setattr(version, field, value)
    version.author = author
    version.full_clean()
    version.save()
    _replace(version.ingredients, ingredients, version)
    _replace(version.kitchen_steps, kitchen_steps, version)
    return version


def _lock(recipe: Recipe) -> None:
    """One write to a recipe at a time (SQLite locks the whole database by itself)."""
    Recipe.objects.select_for_update().filter(pk=recipe.pk).first()


def _replace(stored, lines: Sequence[Ingredient] | Sequence[KitchenStep], version: RecipeVersion) -> None:
    stored.all().delete()
    for position, line in enumerate(lines):
        line.version, line.position = version, position
        line.full_clean()
        line.save()


@transaction.atomic
def approve_version(*, version: RecipeVersion, by: User, seen: str) -> None:
    """Approve the latest version as it was seen. Raises ValidationError with what stands in the way."""
    recipe = version.recipe
    _lock(recipe)
    version.refresh_from_db()
    if version.approved:
        raise ValidationError(f"Version {version.number} is approved already.")
    if version != recipe.latest():
        raise ValidationError("Only the latest version can be approved.")
    if seen != fingerprint(version):
        raise ValidationError(CHANGED_MEANWHILE)
    if found := obstacles.to_approval(version):
        raise ValidationError(found)
    version.approved_by, version.approved_at = by, timezone.now()
    version.full_clean()
    version.save()
    recipe.state = Recipe.State.APPROVED
    recipe.save()


def send_to_review(*, recipe: Recipe) -> None:
    """Raises ValidationError unless the recipe is a draft with something in it."""
    latest = recipe.latest()
    if recipe.state != Recipe.State.DRAFT or latest is None or latest.approved:
        raise ValidationError("Only a draft can be sent to review.")
    if not latest.ingredients.exists():
        raise ValidationError("There is no ingredient in it yet.")
    recipe.state = Recipe.State.IN_REVIEW
    recipe.save()


def retire(*, recipe: Recipe) -> None:
    """Take a recipe out of use; its versions stay as they are. Raises ValidationError when it is already."""
    if recipe.state == Recipe.State.RETIRED:
        raise ValidationError("It is retired already.")
    recipe.state = Recipe.State.RETIRED
    recipe.save()
