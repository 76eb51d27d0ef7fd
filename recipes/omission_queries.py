"""Reads what leaving things out of a version does to it."""

from nutrients import queries as nutrients
from nutrients.models import Food, FoodValue, Profile
from recipes import queries
from recipes.analysis import Portion
from recipes.cuts import GROUPS, Cut, fatter_cut
from recipes.models import RecipeVersion
from recipes.omissions import Omissions, if_omitted


def of_version(version: RecipeVersion, profile: Profile) -> Omissions:
    """Raises ValueError when the version holds no energy."""
    portions = queries.portions_of(version)
    fatter = fatter_portions(portions)
    given = queries.reference([*portions, *fatter.values()])
    limits = nutrients.profile_limits(profile)
    return if_omitted(
        portions, given.table, given.retention, version.method, limits, given.negligible, fatter
    )


def fatter_portions(portions: list[Portion]) -> dict[str, Portion]:
    """Food -> the same portion of the fatter cut that may be bought for it."""
    cuts = _cuts(portions)
    found = {portion.food: (portion, fatter_cut(portion, cuts)) for portion in portions}
    return {food: cut.bought_for(portion) for food, (portion, cut) in found.items() if cut is not None}


def _cuts(portions: list[Portion]) -> list[Cut]:
    groups = {portion.group for portion in portions} & set(GROUPS)
    foods = Food.objects.filter(group__in=groups, discontinued=False, supplement__isnull=True)
    kept = foods | Food.objects.filter(name__in=[portion.food for portion in portions])
    fat = dict(
        FoodValue.objects.filter(nutrient__key="fat", food__in=kept)
        .exclude(kind=FoodValue.Kind.BOUND)
        .values_list("food__name", "per_100g")
    )
    rows = kept.order_by("name").values_list("name", "group", "state", "retention_group")
    return [Cut(*row, fat.get(row[0])) for row in rows]
