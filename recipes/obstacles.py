"""What keeps an ingredient out of a recipe, and a version from being approved."""

from nutrients import queries as nutrients
from nutrients.models import Caution, Food, Heat
from recipes.models import RecipeVersion, When

HEATED = (When.IN_THE_POT, When.LATE)


def forbidden(caution: Caution) -> str:
    return f"Never in a dog's food: {caution.subject}. Why: {caution.text}. Source: {caution.source}."


def too_hot(food: Food, when: str) -> str:
    """Says so when a heat-sensitive supplement would be cooked; "" otherwise."""
    supplement = getattr(food, "supplement", None)
    if supplement is None or supplement.heat != Heat.SENSITIVE or when not in HEATED:
        return ""
    reason = f" ({supplement.heat_reason})" if supplement.heat_reason else ""
    return f"{food} is heat-sensitive{reason}: add it to the cooled batch or in the bowl."


def to_approval(version: RecipeVersion) -> list[str]:
    """What stands in the way of approving a version, in words."""
    ingredients = version.ingredients.select_related("food__supplement")
    if not ingredients:
        return ["There is no ingredient in it yet."]
    cautions = nutrients.toxic_cautions(line.food.name for line in ingredients)
    found = [f"{name}. {forbidden(caution)}" for name, caution in cautions.items()]
    return found + [said for line in ingredients if (said := too_hot(line.food, line.when))]
