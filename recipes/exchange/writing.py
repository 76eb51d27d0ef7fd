"""Recipes of the library as a file of the layout: JSON, and CSV rows."""

import json
from collections.abc import Iterable, Iterator

from django.db.models import Prefetch, QuerySet

from recipes.exchange import layout
from recipes.models import Recipe, RecipeVersion, Substitution


def with_all(recipes: QuerySet[Recipe]) -> QuerySet[Recipe]:
    """Recipes with everything at hand that goes into a file, versions the oldest first."""
    instead = Substitution.objects.select_related("replaces", "food").prefetch_related("amounts__food")
    versions = RecipeVersion.objects.order_by("number").prefetch_related(
        "ingredients__food", "kitchen_steps", Prefetch("substitutions", instead)
    )
    return recipes.select_related("profile").prefetch_related(Prefetch("versions", versions))


def json_text(recipes: QuerySet[Recipe]) -> str:
    content = {
        "holds": layout.NAME,
        "layout": layout.LAYOUT,
        "recipes": [content_of(recipe) for recipe in with_all(recipes)],
    }
    return json.dumps(content, ensure_ascii=False, indent=1) + "\n"


def content_of(recipe: Recipe) -> dict:
    """A recipe as it stands in a file. recipe: read by `with_all`."""
    return {
        "title": recipe.title,
        "purpose": recipe.purpose,
        "tags": recipe.tags,
        "profile": recipe.profile.key,
        "versions": [_version(version) for version in recipe.versions.all()],
    }


def _version(version: RecipeVersion) -> dict:
    return {
        "number": version.number,
        "note": version.note,
        "method": version.method,
        "vessel": version.vessel,
        "added_water_g": version.added_water_g,
        "cooked_weight_g": version.cooked_weight_g,
        "ingredients": [
            {
                "food": line.food.name,
                "grams": line.grams,
                "when": line.when,
                "step_g": line.step_g,
                "note": line.note,
            }
            for line in version.ingredients.all()
        ],
        "kitchen_steps": [
            {"text": step.text, "minutes": step.minutes, "temperature_c": step.temperature_c}
            for step in version.kitchen_steps.all()
        ],
        "substitutions": [_substitution(each) for each in version.substitutions.all()],
    }


def _substitution(each: Substitution) -> dict:
    return {
        "replaces": each.replaces.name,
        "food": each.food.name,
        "grams": each.grams,
        "when": each.when,
        "note": each.note,
        "amounts": [{"food": line.food.name, "grams": line.grams} for line in each.amounts.all()],
    }


def csv_rows(recipes: Iterable[Recipe]) -> Iterator[tuple]:
    """The ingredients of each recipe's latest version (layout.CSV_COLUMNS). recipes: read by `with_all`."""
    for recipe in recipes:
        content = content_of(recipe)
        for version in content["versions"][-1:]:
            of_recipe = [content[name] for name in layout.CSV_RECIPE]
            of_version = [version[name] for name in layout.CSV_VERSION]
            for line in version["ingredients"]:
                yield (*of_recipe, *of_version, *(line[name] for name in layout.CSV_INGREDIENT))
