"""What keeps an ingredient out of a recipe, and a version from being approved."""

from collections.abc import Iterable, Sequence

import pandas as pd

from nutrients import queries as nutrients
from nutrients.models import Caution, Food, Heat
from recipes import acceptance, kidney_beans
from recipes.acceptance_queries import unaccepted_of
from recipes.analysis import HEATED_MOMENTS, Portion
from recipes.models import RecipeVersion
from recipes.queries import INGREDIENTS, portion
from recipes.uncooked import holds_for, subjects


def forbidden(caution: Caution) -> str:
    return f"Never in a dog's food: {caution.subject}. Why: {caution.text}. Source: {caution.source}."


def too_hot(food: Food, when: str) -> str:
    """Says so when a heat-sensitive supplement would be cooked; "" otherwise."""
    supplement = getattr(food, "supplement", None)
    if supplement is None or supplement.heat != Heat.SENSITIVE or when not in HEATED_MOMENTS:
        return ""
    reason = f" ({supplement.heat_reason})" if supplement.heat_reason else ""
    return f"{food} is heat-sensitive{reason}: add it to the cooled batch or in the bowl."


def cautions(portions: Sequence[Portion], method: str) -> list[tuple[str, Caution]]:
    """Each food with each caution that speaks of it, by its name or because it is fed raw; blocks first."""
    names = [portion.food for portion in portions]
    found = list(nutrients.toxic_cautions(names).items())
    by_food = nutrients.cautions_for_foods(names)
    named = [(each, caution) for each in portions for caution in by_food.get(each.food, ())]
    holding = [(each.food, caution) for each, caution in named if holds_for(caution.subject, each, method)]
    found += dict.fromkeys(holding)
    raw = subjects(portions, method)
    for caution in Caution.objects.filter(subject__in=raw):
        found += [(name, caution) for name in raw[caution.subject]]
    return sorted(found, key=lambda pair: pair[1].action != Caution.Action.BLOCK)


def discontinued(portions: Iterable[Portion]) -> list[str]:
    """A sentence for every food that is no longer bought; it keeps no version from being approved."""
    names = {portion.food for portion in portions}
    foods = Food.objects.filter(name__in=names, discontinued=True).order_by("name")
    return [f"{name} is discontinued: choose another." for name in foods.values_list("name", flat=True)]


def unboiled_beans(version: RecipeVersion, portions: Sequence[Portion], method: str = "") -> list[str]:
    """A sentence for dry kidney beans that the version does not boil as they must be.

    method: another one than the version's own, to be looked at.
    """
    written = version.kitchen_steps.values_list("text", "minutes", "temperature_c")
    steps = [kidney_beans.Step(*step) for step in written]
    return kidney_beans.unboiled(portions, method or version.method, steps)


def to_approval(version: RecipeVersion, judgement: pd.DataFrame | None = None) -> list[str]:
    """What stands in the way of approving a version, in words.

    judgement: the version's against its recipe's profile, worked out when it is not given.
    """
    ingredients = list(INGREDIENTS.filter(version=version))
    if not ingredients:
        return ["There is no ingredient in it yet."]
    given = cautions([portion(line) for line in ingredients], version.method)
    blocks = [(name, caution) for name, caution in given if caution.action == Caution.Action.BLOCK]
    found = [f"{name}. {forbidden(caution)}" for name, caution in blocks]
    found += unboiled_beans(version, [portion(line) for line in ingredients])
    found += [said for line in ingredients if (said := too_hot(line.food, line.when))]
    try:
        unaccepted = acceptance.sentence(unaccepted_of(version, judgement))
    except ValueError as problem:
        unaccepted = str(problem)
    return [*found, unaccepted] if unaccepted else found
