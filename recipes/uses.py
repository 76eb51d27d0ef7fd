"""Which recipes a food goes into."""

from django.db.models import F, OuterRef, Q, QuerySet, Subquery

from nutrients.models import Food
from nutrients.uses import Use
from recipes.models import Ingredient, Recipe, RecipeVersion
from recipes.presentation import as_written


def versions_in_use() -> QuerySet[RecipeVersion]:
    """The latest and the latest approved version of every recipe."""
    of_recipe = RecipeVersion.objects.filter(recipe=OuterRef("recipe")).order_by("-number")
    latest = Subquery(of_recipe.values("number")[:1])
    approved = Subquery(of_recipe.filter(approved_at__isnull=False).values("number")[:1])
    return RecipeVersion.objects.annotate(latest=latest, latest_approved=approved).filter(
        Q(number=F("latest")) | Q(number=F("latest_approved"))
    )


def in_recipes(food: Food) -> list[Use]:
    """Every recipe whose latest or latest approved version holds the food."""
    lines = (
        Ingredient.objects.filter(food=food, version__in=versions_in_use().values("pk"))
        .select_related("version__recipe")
        .order_by("version__recipe__title", "-version__number", "position")
    )
    return [_use(line) for line in lines]


def _use(line: Ingredient) -> Use:
    version = line.version
    state = "approved" if version.approved else "not approved"
    if version.recipe.state == Recipe.State.RETIRED:
        state += ", retired"
    return Use(
        label=version.recipe.title,
        url=f"{version.recipe.get_absolute_url()}?version={version.number}",
        where=f"version {version.number}, {state}: {as_written(line.grams)} g, {line.get_when_display()}",
    )
