"""The shared library: recipes, their versions, and what is kept beside a version."""

from recipes.models.acceptances import AcceptedLimit
from recipes.models.figures import FiguresRenewal, VersionAnswers, VersionFigures
from recipes.models.substitutions import Substitution, SubstitutionAmount
from recipes.models.versions import Ingredient, KitchenStep, Recipe, RecipeVersion, When

__all__ = [
    "AcceptedLimit",
    "FiguresRenewal",
    "Ingredient",
    "KitchenStep",
    "Recipe",
    "RecipeVersion",
    "Substitution",
    "SubstitutionAmount",
    "VersionAnswers",
    "VersionFigures",
    "When",
]
