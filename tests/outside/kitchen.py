"""Batches of loaded foods, for the checks against published recipes and against common practice."""

from recipes.analysis import Analysis
from recipes.models import Recipe
from recipes.queries import analysis_of
from tests.cast import make_recipe


def cook(grams: dict[str, float], method: str = "baked") -> Analysis:
    """The analysis against AAFCO adult of a recipe of these foods, supplements in the cooled batch."""
    title = f"Pot {Recipe.objects.count() + 1}"
    return analysis_of(make_recipe(title, grams, method=method))
