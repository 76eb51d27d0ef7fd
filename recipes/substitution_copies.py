"""The next version takes the substitutions of the one before along: as copies that nobody approved yet."""

from recipes.models import RecipeVersion, SubstitutionAmount
from recipes.queries import portions_of
from recipes.substitution_queries import substitutions_of, swap_of
from recipes.substitution_rules import refusals


def carry_over(older: RecipeVersion, newer: RecipeVersion) -> None:
    """Copy those that still can be: the food they replace is in the newer version, their own is not yet.

    Amounts of lines that the newer version does not have are left behind.
    """
    portions = portions_of(newer)
    foods, taken = {line.food for line in portions}, []
    for kept in substitutions_of(older):
        amounts = [each for each in kept.amounts.all() if each.food.name in foods]
        kept._prefetched_objects_cache["amounts"] = amounts
        if refusals(swap_of(kept), portions, taken):
            continue
        taken.append((kept.replaces.name, kept.food.name))
        kept.pk, kept._state.adding = None, True
        kept.version, kept.approved_by, kept.approved_at = newer, None, None
        kept.save()
        SubstitutionAmount.objects.bulk_create(
            SubstitutionAmount(substitution=kept, food=each.food, grams=each.grams) for each in amounts
        )
