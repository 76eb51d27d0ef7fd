"""Reads of the library: a version's portions and analysis, and the search."""

from django.db.models import Exists, OuterRef, Q, QuerySet, Subquery

from nutrients import queries as nutrients
from nutrients.models import Profile
from recipes.analysis import Analysis, Portion, analyse
from recipes.models import Ingredient, Recipe, RecipeVersion


def portions_of(version: RecipeVersion) -> list[Portion]:
    """The version's ingredients and supplements, in its order."""
    ingredients = version.ingredients.select_related("food__supplement").prefetch_related("food__measures")
    return [_portion(ingredient) for ingredient in ingredients]


def _portion(ingredient: Ingredient) -> Portion:
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


def analysis_of(version: RecipeVersion, profile: Profile | None = None) -> Analysis:
    """The version against a profile, or against the one its recipe is meant to meet."""
    return analyse(
        portions_of(version),
        nutrients.food_table(),
        nutrients.retention_table(),
        version.method,
        nutrients.profile_limits(profile or version.recipe.profile),
        nutrients.negligible(),
        nutrients.batch_yields(),
        added_water_g=version.added_water_g,
        cooked_weight_g=version.cooked_weight_g,
    )


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
