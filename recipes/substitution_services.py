"""Writes of substitutions: keeping one beside a version, approving, withdrawing, and making the swap itself.

A substitution changes only while it is a draft, and is approved only beside an approved version, which does
not change any more. Who approves says which content was seen.
"""

import hashlib
from collections.abc import Mapping

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from nutrients.models import Food
from recipes import services
from recipes.models import Ingredient, KitchenStep, RecipeVersion, Substitution, SubstitutionAmount
from recipes.obstacles import too_hot
from recipes.presentation import as_written
from recipes.queries import portions_of
from recipes.substitution_queries import Stand, portion_of, stand_of, swap_of
from recipes.substitution_rules import refusals
from recipes.substitutions import Swap

MOST_WORDS = RecipeVersion._meta.get_field("note").max_length
APPROVED_ALREADY = "It is approved: withdraw the approval before changing it."


def fingerprint(substitution: Substitution) -> str:
    """Stands for all that a stored substitution says and the version it belongs to."""
    own = Substitution.objects.values_list("replaces", "food", "grams", "when", "approved_at", "note")
    content = repr((own.get(pk=substitution.pk), list(substitution.amounts.values_list("food", "grams"))))
    version = services.fingerprint(substitution.version)
    return hashlib.sha256((content + version).encode()).hexdigest()[:16]


def stand(substitution: Substitution) -> Stand:
    """A stored substitution judged as a recipe of its own."""
    version = substitution.version
    return stand_of(
        version,
        swap_of(substitution),
        substitution.food,
        portions=portions_of(version),
        besides=substitution.pk,
    )


@transaction.atomic
def save_substitution(
    *, substitution: Substitution, amounts: Mapping[Food, float], by: User, seen: str | None = None
) -> Substitution:
    """Keep a draft beside its version. amounts: grams of other lines that change along.

    seen: the fingerprint of the version's content it was written for. Raises ValidationError when it may not
    be, the version changed meanwhile, or it is approved.
    """
    version = substitution.version
    if substitution.approved:
        raise ValidationError(APPROVED_ALREADY)
    if seen is not None and seen != services.fingerprint(version):
        raise ValidationError(services.CHANGED_MEANWHILE)
    if substitution.created_by is None:
        substitution.created_by = by
    substitution.full_clean(validate_constraints=False)
    swap = swap_with(substitution, amounts)
    found = stand_of(version, swap, substitution.food, portions=portions_of(version), besides=substitution.pk)
    if found.refusals or found.problem:
        raise ValidationError([sentence for _, sentence in found.refusals] or [found.problem])
    substitution.save()
    substitution.amounts.all().delete()
    for food, grams in amounts.items():
        amount = SubstitutionAmount(substitution=substitution, food=food, grams=grams)
        amount.full_clean()
        amount.save()
    return substitution


def swap_with(substitution: Substitution, amounts: Mapping[Food, float]) -> Swap:
    portion = portion_of(substitution.food, substitution.grams, substitution.when)
    return Swap(substitution.replaces.name, portion, {food.name: grams for food, grams in amounts.items()})


def to_approval(substitution: Substitution, found: Stand) -> list[str]:
    """What stands in the way of approving it, in words."""
    version = substitution.version
    draft = f"Version {version.number} is not approved yet and may still change: approve it first."
    return [*([] if version.approved else [draft]), *found.against_approval()]


@transaction.atomic
def approve_substitution(*, substitution: Substitution, by: User, seen: str) -> None:
    """Raises ValidationError with what stands in the way."""
    substitution = Substitution.objects.select_for_update(of=("self",)).get(pk=substitution.pk)
    if substitution.approved:
        raise ValidationError("It is approved already.")
    if seen != fingerprint(substitution):
        raise ValidationError(services.CHANGED_MEANWHILE)
    if wrong := to_approval(substitution, stand(substitution)):
        raise ValidationError(wrong)
    substitution.approved_by, substitution.approved_at = by, timezone.now()
    substitution.save()


def withdraw_substitution(*, substitution: Substitution) -> None:
    """It is a draft again, and offered no more. Raises ValidationError when it is one already."""
    if not substitution.approved:
        raise ValidationError("It is not approved.")
    substitution.approved_by = substitution.approved_at = None
    substitution.save()


def take_out_substitution(*, substitution: Substitution) -> None:
    """Raises ValidationError while it is approved."""
    if substitution.approved:
        raise ValidationError("It is approved: withdraw the approval before taking it out.")
    substitution.delete()


@transaction.atomic
def put_into_recipe(
    *, version: RecipeVersion, swap: Swap, food: Food, by: User, seen: str | None = None
) -> RecipeVersion:
    """Make the swap itself: in the draft, or in the next version after an approved one.

    food: of the swap's portion. The weighed pot is forgotten: it was another batch. Raises ValidationError
    when the swap may not be, or the version is not the latest or changed meanwhile.
    """
    if version != version.recipe.latest():
        raise ValidationError(f"Version {version.number} is not the latest: make the swap in that one.")
    wrong = [sentence for _, sentence in refusals(swap, portions_of(version), ())]
    if hot := too_hot(food, swap.portion.when):
        wrong.append(hot)
    if wrong:
        raise ValidationError(wrong)
    made = f"{as_written(swap.portion.grams)} g {food} instead of {swap.replaces}"
    note = made if version.approved or not version.note else f"{version.note}; {made}"
    particulars = {
        "method": version.method, "vessel": version.vessel, "added_water_g": version.added_water_g,
        "cooked_weight_g": None, "note": note[:MOST_WORDS],
    }  # fmt: skip
    return services.save_version(
        recipe=version.recipe,
        particulars=particulars,
        ingredients=_ingredients(version, swap, food),
        kitchen_steps=[
            KitchenStep(text=step.text, minutes=step.minutes, temperature_c=step.temperature_c)
            for step in version.kitchen_steps.all()
        ],
        author=by,
        seen=seen,
    )


def _ingredients(version: RecipeVersion, swap: Swap, food: Food) -> list[Ingredient]:
    lines = {(line.food.name, line.when): line for line in version.ingredients.select_related("food")}
    made = []
    for portion in swap.applied(portions_of(version)):
        line = lines.get((portion.food, portion.when))
        kept = {} if line is None else {"step_g": line.step_g, "note": line.note}
        made.append(
            Ingredient(food=line.food if line else food, grams=portion.grams, when=portion.when, **kept)
        )
    return made
