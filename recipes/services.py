"""Writes to the library: saving, copying, reviewing, approving and retiring a recipe.

An approved version never changes. Who approves or saves over something says which content was seen: when it
has changed in the meantime nothing is written. Every move of a recipe is told in its history.
"""

import hashlib
from collections.abc import Mapping, Sequence

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Model
from django.utils import timezone

from recipes import obstacles, states
from recipes.models import Ingredient, KitchenStep, Recipe, RecipeVersion
from recipes.substitution_copies import carry_over

CHANGED_MEANWHILE = "Somebody changed this recipe after you opened it: look at it again first."
OTHER_PROFILE = "It is approved against {}: to meet another profile, copy it to a new recipe first."
PARTICULARS = ("method", "vessel", "cooked_weight_g", "added_water_g")


def fingerprint(version: RecipeVersion | None) -> str:
    """Stands for all that a stored version says; changes with any of it. Empty for no version."""
    if version is None:
        return ""
    about = ("title", "purpose", "tags", "profile__key")
    fields = ("number", "approved_at", "note", *PARTICULARS, *(f"recipe__{field}" for field in about))
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
    move: str = "save",
) -> RecipeVersion:
    """Save a recipe with all that its form holds; the recipe becomes a draft again.

    A draft is changed in place, and what was accepted of it lapses; after an approved version, and by any
    other move than `save`, the next one is made. Once one is approved the profile stays: the approval, and
    what was accepted for it, speak of that one. particulars: fields of the version. seen: the fingerprint of
    the version that was edited, None when it need not be compared. move: of states.MOVES, one that ends in a
    draft. Raises ValidationError when nothing is in it, something in it is not valid, the recipe is retired
    or it changed meanwhile, and for another profile than the approved one.
    """
    _lock(recipe)
    latest = recipe.latest() if recipe.pk else None
    if seen is not None and seen != fingerprint(latest):
        raise ValidationError(CHANGED_MEANWHILE)
    if not ingredients:
        raise ValidationError("A recipe needs at least one ingredient.")
    _keep_approved_profile(recipe)
    version = latest
    if latest is None or latest.approved or move != "save":
        version = RecipeVersion(number=latest.number + 1 if latest else 1)
    _move(recipe, move, by=author, number=version.number, why=str(particulars.get("note", "")))
    for field, value in particulars.items():
        setattr(version, field, value)
    version.recipe, version.author = recipe, author
    version.full_clean()
    version.save()
    version.accepted_limits.all().delete()
    _replace(version.ingredients, ingredients, version)
    _replace(version.kitchen_steps, kitchen_steps, version)
    if latest is not None and version != latest and move == "save":  # other moves say what they take along
        carry_over(latest, version)
    return version


def _lock(recipe: Recipe) -> None:
    """One write to a recipe at a time (SQLite locks the whole database by itself)."""
    Recipe.objects.select_for_update().filter(pk=recipe.pk).first()


def _keep_approved_profile(recipe: Recipe) -> None:
    stored = Recipe.objects.filter(pk=recipe.pk, versions__approved_at__isnull=False)
    approved = stored.select_related("profile__standard").first()
    if approved and approved.profile != recipe.profile:
        raise ValidationError(OTHER_PROFILE.format(approved.profile))


def _move(recipe: Recipe, move: str, *, by: User, number: int | None, why: str = "") -> None:
    """Save the recipe in the state to which the move leads. Raises ValidationError when it is not legal."""
    stands = Recipe.objects.filter(pk=recipe.pk).values_list("state", flat=True).first()
    if refused := states.refusal(move, stands or states.DRAFT):
        raise ValidationError(refused)
    recipe.state = states.MOVES[move].ends
    recipe.full_clean()
    recipe._history_user, recipe._change_reason = by, why
    recipe.save()
    told = recipe.history.first()
    told.move, told.version_number = move, number
    told.save(update_fields=["move", "version_number"])


def _replace(stored, lines: Sequence[Ingredient] | Sequence[KitchenStep], version: RecipeVersion) -> None:
    stored.all().delete()
    for position, line in enumerate(lines):
        line.version, line.position = version, position
        line.full_clean()
        line.save()


@transaction.atomic
def restore(*, version: RecipeVersion, by: User, seen: str) -> RecipeVersion:
    """An older version once more, as the next one. Raises ValidationError when it is the latest already."""
    if version == version.recipe.latest():
        raise ValidationError(f"Version {version.number} is the latest already.")
    return _once_more(version, version.recipe, f"Restored from version {version.number}", by, seen, "restore")


@transaction.atomic
def copy_recipe(*, version: RecipeVersion, title: str, by: User) -> RecipeVersion:
    """A recipe of its own that begins as this version. Raises ValidationError for a title that is taken."""
    taken = version.recipe
    recipe = Recipe(title=title, purpose=taken.purpose, tags=taken.tags, profile=taken.profile)
    return _once_more(
        version, recipe, f"Copied from {taken.title}, version {version.number}", by, None, "save"
    )


def _once_more(
    version: RecipeVersion, recipe: Recipe, note: str, by: User, seen: str | None, move: str
) -> RecipeVersion:
    """All that a version holds, and its substitutions as drafts, in a new version of the recipe."""
    made = save_version(
        recipe=recipe,
        particulars={name: getattr(version, name) for name in PARTICULARS} | {"note": note},
        ingredients=[_unsaved(line) for line in version.ingredients.all()],
        kitchen_steps=[_unsaved(step) for step in version.kitchen_steps.all()],
        author=by,
        seen=seen,
        move=move,
    )
    carry_over(version, made)
    return made


def _unsaved(record: Model) -> Model:
    fields = [field for field in record._meta.concrete_fields if not field.primary_key]
    return type(record)(**{field.attname: getattr(record, field.attname) for field in fields})


@transaction.atomic
def send_to_review(*, recipe: Recipe, by: User) -> None:
    """Raises ValidationError unless the recipe is a draft with something in it."""
    _lock(recipe)
    latest = recipe.latest()
    if latest is None or not latest.ingredients.exists():
        raise ValidationError("There is no ingredient in it yet.")
    if latest.approved:
        raise ValidationError(
            f"Version {latest.number} is approved already: nothing in it waits for a review."
        )
    _move(recipe, "review", by=by, number=latest.number)


@transaction.atomic
def send_back(*, recipe: Recipe, by: User, reason: str) -> None:
    """From review to its authors. Raises ValidationError without a reason, or when it is not in review."""
    if not reason.strip():
        raise ValidationError("Say why it goes back.")
    _lock(recipe)
    _move(recipe, "send_back", by=by, number=recipe.latest().number, why=reason)


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
    _move(recipe, "approve", by=by, number=version.number)
    version.approved_by, version.approved_at = by, timezone.now()
    version.full_clean()
    version.save()


@transaction.atomic
def retire(*, recipe: Recipe, by: User, reason: str = "") -> None:
    """Take a recipe out of use; its versions stay as they are. Raises ValidationError when it is already."""
    _lock(recipe)
    latest = recipe.latest()
    _move(recipe, "retire", by=by, number=latest and latest.number, why=reason)


@transaction.atomic
def bring_back(*, recipe: Recipe, by: User, reason: str = "") -> None:
    """A retired recipe as a draft that has to be approved anew. Raises ValidationError when it is in use.

    An approved version never changes: the draft is the next one, with the same in it.
    """
    _lock(recipe)
    latest = recipe.latest()
    recipe.brought_back_at = timezone.now()
    if latest is not None and latest.approved:
        note = reason or f"Brought back from version {latest.number}"
        _once_more(latest, recipe, note, by, None, "bring_back")
    else:
        _move(recipe, "bring_back", by=by, number=latest and latest.number, why=reason)
