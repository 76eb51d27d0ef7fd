"""Reads of the library: a version's portions and analysis, and the search."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import chain

import pandas as pd
from django.db.models import Exists, OuterRef, Prefetch, Q, QuerySet, Subquery

from nutrients import queries as nutrients
from nutrients.adequacy import ProfileLimits
from nutrients.models import Profile
from recipes.analysis import Analysis, Portion, analyse
from recipes.models import Ingredient, Recipe, RecipeVersion

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


def latest_versions(recipes: Iterable[Recipe]) -> list[RecipeVersion]:
    """The latest version of each recipe, in their order, with its recipe and its ingredients at hand."""
    pks = [recipe.pk for recipe in recipes]
    newest = RecipeVersion.objects.filter(recipe=OuterRef("recipe")).order_by("-number").values("number")[:1]
    versions = (
        RecipeVersion.objects.filter(recipe__in=pks, number=Subquery(newest))
        .select_related("recipe__profile__standard")
        .prefetch_related(Prefetch("ingredients", queryset=INGREDIENTS))
    )
    return sorted(versions, key=lambda version: pks.index(version.recipe_id))


def analyses_of(versions: Iterable[RecipeVersion]) -> dict[int, Analysis | None]:
    """By primary key of versions as `latest_versions` reads them; None for one that holds no energy."""
    portions_by_version = {
        version: [portion(ingredient) for ingredient in version.ingredients.all()] for version in versions
    }
    given, limits = reference(chain.from_iterable(portions_by_version.values())), {}
    analyses = {}
    for version, portions in portions_by_version.items():
        profile = version.recipe.profile
        if profile.pk not in limits:
            limits[profile.pk] = nutrients.profile_limits(profile)
        try:
            analyses[version.pk] = given.analysis(version, portions, limits[profile.pk])
        except ValueError:
            analyses[version.pk] = None
    return analyses


def recipes_matching(
    *, word: str = "", life_stage: str = "", ingredient: str = "", state: str = ""
) -> QuerySet[Recipe]:
    """Recipes whose title, purpose or tags hold the word; life stage and state are compared whole.

    `ingredient`: a food of the latest version whose name holds all of these words. Each recipe comes with
    `latest_number`, the number of its latest version.
    """
    newest = RecipeVersion.objects.filter(recipe=OuterRef("pk")).order_by("-number").values("number")[:1]
    recipes = Recipe.objects.select_related("profile__standard").annotate(latest_number=Subquery(newest))
    if word:
        named = Q(title__icontains=word) | Q(purpose__icontains=word) | Q(tags__icontains=word)
        recipes = recipes.filter(named)
    if life_stage:
        recipes = recipes.filter(profile__life_stage=life_stage)
    if state:
        recipes = recipes.filter(state=state)
    if ingredient:
        in_latest = Ingredient.objects.filter(
            version__recipe=OuterRef("pk"), version__number=OuterRef("latest_number")
        )
        for part in ingredient.split():
            in_latest = in_latest.filter(food__name__icontains=part)
        recipes = recipes.filter(Exists(in_latest))
    return recipes
