"""Batches of loaded foods, for the checks against published recipes and against common practice."""

from nutrients.models import Food, Profile
from recipes.analysis import Analysis
from recipes.models import Recipe, RecipeVersion, When
from recipes.queries import analysis_of


def cook(grams: dict[str, float], *, profile: str = "aafco-adult", method: str = "baked") -> Analysis:
    """The analysis of a recipe of these foods, supplements stirred into the cooled batch."""
    title = f"Check {Recipe.objects.count() + 1}"
    recipe = Recipe.objects.create(title=title, profile=Profile.objects.get(key=profile))
    version = RecipeVersion.objects.create(recipe=recipe, method=method)
    for position, (name, weight) in enumerate(grams.items()):
        food = Food.objects.get(name=name)
        when = When.COOLED_BATCH if hasattr(food, "supplement") else When.IN_THE_POT
        version.ingredients.create(food=food, grams=weight, when=when, position=position)
    return analysis_of(version)
