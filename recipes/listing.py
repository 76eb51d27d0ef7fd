"""The rows of the library, each with what its latest version holds."""

from collections.abc import Iterable
from dataclasses import dataclass

from recipes import presentation, queries
from recipes.models import Recipe, RecipeVersion


@dataclass(frozen=True)
class RecipeRow:
    """figures None: the latest version holds nothing whose energy could be counted."""

    recipe: Recipe
    version: RecipeVersion
    figures: presentation.Figures | None


def rows(recipes: Iterable[Recipe]) -> list[RecipeRow]:
    """In the order of the recipes; the reference data is read once for all."""
    versions = queries.latest_versions(recipes)
    if not versions:
        return []
    analyses = queries.analyses_of(versions)
    return [
        RecipeRow(
            version.recipe, version, analyses[version.pk] and presentation.figures(analyses[version.pk])
        )
        for version in versions
    ]
