"""Reads of the library: a version's portions and analysis, and the search."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import pandas as pd
from django.db.models import Q, QuerySet, Value
from django.db.models.functions import Concat, Replace

from nutrients import queries as nutrients
from nutrients.adequacy import ProfileLimits
from nutrients.models import Profile
from recipes.analysis import Analysis, Portion, analyse
from recipes.models import Ingredient, Recipe, RecipeVersion

# A recipe's tags, each between two commas.
PARTED_TAGS = Concat(
    Value(","),
    Replace(Replace("tags", Value(", "), Value(",")), Value(" ,"), Value(",")),
    Value(","),
)
INGREDIENTS = Ingredient.objects.select_related("food__supplement").prefetch_related("food__measures")


def portions_of(version: RecipeVersion) -> list[Portion]:
    """The version's ingredients and supplements, in its order."""
    return [portion(ingredient) for ingredient in INGREDIENTS.filter(version=version)]


def portion(ingredient: Ingredient) -> Portion:
    """An ingredient, saved or not, as the calculations take it."""
    food = ingredient.food
    supplement = getattr(food, "supplement", None)
    dosing = {} if supplement is None else {
        "is_supplement": True,
        "form": supplement.form,
        "dose_unit": supplement.dose_unit,
        "grams_per_dose_unit": supplement.grams_per_dose_unit,
        "smallest_step": supplement.smallest_step,
        "heat": supplement.heat,
    }  # fmt: skip
    return Portion(
        food=food.name,
        grams=ingredient.grams,
        when=ingredient.when,
        group=food.group,
        retention_group=food.retention_group,
        state=food.state,
        step_g=ingredient.step_g,
        refuse_percent=food.refuse_percent,
        measures=tuple((measure.label, measure.grams / measure.amount) for measure in food.measures.all()),
        note=ingredient.note,
        **dosing,
    )


@dataclass(frozen=True)
class Reference:
    """The reference data that every analysis rests on, read once for as many recipes as wanted.

    estimates: (food name, nutrient key) of the values in the table that are estimates.
    """

    table: pd.DataFrame
    retention: pd.DataFrame
    negligible: frozenset[tuple[str, str]]
    yields: Mapping[tuple[str, str], float]
    estimates: frozenset[tuple[str, str]]

    def analysis(self, version: RecipeVersion, portions: list[Portion], limits: ProfileLimits) -> Analysis:
        """Raises ValueError when the portions hold no energy."""
        return analyse(
            portions,
            self.table,
            self.retention,
            version.method,
            limits,
            self.negligible,
            self.yields,
            added_water_g=version.added_water_g,
            cooked_weight_g=version.cooked_weight_g,
            estimates=self.estimates,
        )


def reference(portions: Iterable[Portion] | None = None, *, estimates: bool = True) -> Reference:
    """portions: the only ones whose foods are asked for; None for every food there is.

    estimates: whether values that are estimates count, or are unknown.
    """
    foods = None if portions is None else {portion.food for portion in portions}
    return Reference(
        nutrients.food_table(estimates, foods),
        nutrients.retention_table(),
        nutrients.negligible(),
        nutrients.batch_yields(),
        nutrients.estimates(foods) if estimates else frozenset(),
    )


def analysis_of(
    version: RecipeVersion, profile: Profile | None = None, *, estimates: bool = True
) -> Analysis:
    """The version against a profile, or against the one its recipe is meant to meet."""
    limits = nutrients.profile_limits(profile or version.recipe.profile)
    portions = portions_of(version)
    return reference(portions, estimates=estimates).analysis(version, portions, limits)


def recipes_matching(
    *, word: str = "", life_stage: str = "", state: str = "", tags: Iterable[str] = ()
) -> QuerySet[Recipe]:
    """Recipes with all the tags and with every part of `word` in the title, the purpose or the tags.

    Life stage and state are compared whole.
    """
    recipes = Recipe.objects.select_related("profile__standard")
    for part in word.split():
        recipes = recipes.filter(
            Q(title__icontains=part) | Q(purpose__icontains=part) | Q(tags__icontains=part)
        )
    if life_stage:
        recipes = recipes.filter(profile__life_stage=life_stage)
    if state:
        recipes = recipes.filter(state=state)
    for tag in tags:
        recipes = recipes.alias(parted=PARTED_TAGS).filter(parted__icontains=f",{tag.strip()},")
    return recipes


def tags_of(text: str) -> list[str]:
    """The tags in a recipe's text of them, each once."""
    return list(dict.fromkeys(filter(None, map(str.strip, text.split(",")))))
