"""Reads for the page that says where an amount comes from."""

from collections.abc import Iterable

from django.db.models import Max

from nutrients import queries as nutrients
from nutrients.composition import PARTS
from nutrients.models import Food, FoodValue, Method, Negligible, Nutrient, Profile, Retention
from recipes import queries
from recipes.analysis import Portion
from recipes.models import RecipeVersion
from recipes.provenance import Batch, Provenance, Sources, ValueSource, trace

NFE = ValueSource("worked out", "100 - water - protein - fat - ash - fibre")


def of_version(version: RecipeVersion, profile: Profile, key: str) -> Provenance:
    """An amount of a version against a profile. Raises ValueError for an unknown nutrient or no energy."""
    limits = nutrients.profile_limits(profile)
    portions = queries.portions_of(version)
    given = queries.reference(portions)
    analysis = given.analysis(version, portions, limits)
    batch = Batch(portions, version.method, given.table, given.retention, analysis)
    return trace(key, batch, limits, sources_for(portions, key))


def sources_for(portions: Iterable[Portion], key: str) -> Sources:
    """What is known of the origin of a nutrient, and of its parts, in these foods."""
    foods = {portion.food for portion in portions}
    keys = PARTS.get(key, (key,))
    factors = Retention.objects.filter(
        food_group__in={portion.retention_group for portion in portions}, nutrient__key__in=[*keys, "fat"]
    )
    return Sources(
        values=_values(foods, keys),
        references=dict(
            Food.objects.filter(name__in=foods).exclude(source_ref="").values_list("name", "source_ref")
        ),
        factors={
            (group, method, nutrient): f"{Method(method).label}: {source}"
            for group, method, nutrient, source in factors.values_list(
                "food_group", "method", "nutrient__key", "source"
            )
        },
        negligible={
            (nutrient, group): reason
            for nutrient, group, reason in Negligible.objects.filter(nutrient__key__in=keys).values_list(
                "nutrient__key", "food_group", "reason"
            )
        },
        nutrients={each.key: (each.name, each.unit) for each in Nutrient.objects.all()},
    )


def _values(foods: set[str], keys: Iterable[str]) -> dict[tuple[str, str], ValueSource]:
    rows = FoodValue.objects.filter(food__name__in=foods, nutrient__key__in=keys)
    history = FoodValue.history.filter(id__in=rows.values("pk")).order_by()
    changed = dict(history.values_list("id").annotate(Max("history_date")))
    found = {
        (food, key): ValueSource(kind, source, changed[pk].date() if pk in changed else None)
        for pk, food, key, kind, source in rows.values_list(
            "pk", "food__name", "nutrient__key", "kind", "source"
        )
    }
    return found | ({(food, "nfe"): NFE for food in foods} if "nfe" in keys else {})
