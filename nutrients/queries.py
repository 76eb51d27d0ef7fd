"""What the database holds, read into tables for the calculations.

The food table is kept per process under a fingerprint of its values, so that corrected data is noticed
without reading it all again. No nutrient is totalled in SQL, which would skip what is unknown.
"""

import math
import re
from collections.abc import Collection, Iterable, Mapping
from copy import copy
from functools import lru_cache
from itertools import groupby

import pandas as pd
from django.db.models import Avg, Count, F, Max, Q, QuerySet

from nutrients.adequacy import ProfileLimits
from nutrients.composition import with_derived_foods
from nutrients.food_queries import with_words
from nutrients.labels import Form
from nutrients.models import (
    BatchYield,
    Caution,
    ElementFraction,
    Food,
    FoodValue,
    LabelForm,
    Limit,
    Negligible,
    Nutrient,
    Profile,
    Retention,
    WatchLevel,
)
from nutrients.profile_basis import decimals_of
from nutrients.units import convert


def foods_matching(
    *,
    words: str = "",
    group: str = "",
    state: str = "",
    supplements: bool | None = None,
    discontinued: bool = True,
) -> QuerySet[Food]:
    """Foods that all of the words name, those that begin with them first, discontinued ones last.

    supplements: True for supplements only, False for foods only, None for both. discontinued: False leaves
    out what is no longer bought.
    """
    foods = with_words(Food.objects.order_by("discontinued", "name"), words)
    if not discontinued:
        foods = foods.filter(discontinued=False)
    if group:
        foods = foods.filter(group=group)
    if state:
        foods = foods.filter(state=state)
    if supplements is not None:
        foods = foods.filter(supplement__isnull=not supplements)
    return foods


def food_table(estimates: bool = True, foods: Collection[str] | None = None) -> pd.DataFrame:
    """Amounts per 100 g in each nutrient's unit: index Food.name, columns the stored nutrients and `nfe`.

    NaN = unknown. A bound (guaranteed analysis) is no value and stays unknown. estimates: whether values
    that are estimates count, or stay unknown as well. foods: the names of the only foods to read, which is
    quick however many there are; None for all, which are kept per process.
    """
    nutrients = tuple(Nutrient.objects.filter(derived=False).values_list("pk", "key"))
    names = Food.objects.order_by("name").values_list("pk", "name")
    if foods is not None:
        few = dict(names.filter(name__in=foods))
        return _wide(few, nutrients, _values(estimates).filter(food__in=few))
    return _food_table(tuple(names), nutrients, estimates, _fingerprint(estimates)).copy(deep=False)


def estimates(foods: Collection[str] | None = None) -> frozenset[tuple[str, str]]:
    """(food name, nutrient key) of every value that is an estimate, to be marked wherever it counts.

    foods: the names of the only foods to look at, which is quick however many there are; None for all.
    """
    guessed = FoodValue.objects.filter(kind=FoodValue.Kind.ESTIMATE).order_by()
    if foods is not None:
        guessed = guessed.filter(food__name__in=foods)
    return frozenset(guessed.values_list("food__name", "nutrient__key"))


def _values(estimates: bool) -> QuerySet[FoodValue]:
    without = [FoodValue.Kind.BOUND] if estimates else [FoodValue.Kind.BOUND, FoodValue.Kind.ESTIMATE]
    return FoodValue.objects.exclude(kind__in=without).order_by()


def _fingerprint(estimates: bool) -> tuple:
    """Changes with any value, also where rows are written in bulk and leave no history.

    The mean is of no meaning in itself: every value weighs by its food and nutrient (1009 is prime), so that
    two values changing places show as well.
    """
    place = F("food_id") * 1009 + F("nutrient_id")
    marks = _values(estimates).aggregate(
        rows=Count("pk"), newest=Max("pk"), mean=Avg((F("per_100g") + 1) * place)
    )
    return tuple(marks.values())


@lru_cache(maxsize=2)
def _food_table(foods: tuple, nutrients: tuple, estimates: bool, fingerprint: tuple) -> pd.DataFrame:
    return _wide(dict(foods), nutrients, _values(estimates))


def _wide(names: dict[int, str], nutrients: tuple, values: QuerySet[FoodValue]) -> pd.DataFrame:
    """names: by primary key, the foods in order; nutrients: primary keys and keys."""
    rows = values.values_list("food_id", "nutrient_id", "per_100g")
    long = pd.DataFrame.from_records(list(rows), columns=["food", "nutrient", "per_100g"])
    keys = dict(nutrients)
    wide = long.pivot(index="food", columns="nutrient", values="per_100g")
    wide = wide.reindex(index=list(names), columns=list(keys)).astype(float)
    wide = wide.set_axis(list(names.values()), axis=0).set_axis(list(keys.values()), axis=1)
    return with_derived_foods(wide.rename_axis(index="food", columns=None))


def group_medians() -> pd.DataFrame:
    """The usual amounts per 100 g: a row per food group, a column per stored nutrient, NaN unknown."""
    groups = dict(Food.objects.values_list("name", "group"))
    return food_table(estimates=False).drop(columns="nfe").groupby(groups).median()


WEIGHED_COMPOUNDS = ("g element per g compound", "g active form per g compound")


def label_forms() -> list[Form]:
    """The forms in which labels state nutrients, and the compounds whose weight they may give instead."""
    stated = [
        Form(
            row.nutrient.key,
            row.form,
            row.unit,
            row.labelled,
            row.equals,
            row.to_unit,
            row.counts_as,
            row.note,
        )
        for row in LabelForm.objects.select_related("nutrient").order_by("pk")
    ]
    named = {(form.nutrient, form.name) for form in stated}
    weighed = ElementFraction.objects.filter(unit__in=WEIGHED_COMPOUNDS).select_related("nutrient")
    compounds = [
        Form(row.nutrient.key, row.compound, "mg", 1, row.fraction, "mg", note=row.note)
        for row in weighed.order_by("compound")
        if (row.nutrient.key, row.compound) not in named
    ]
    return stated + compounds


def retention_table() -> pd.DataFrame:
    """Fractions (0..1) left after cooking: index (food_group, method), columns nutrient keys.

    NaN = no factor is published.
    """
    rows = Retention.objects.values_list("food_group", "method", "nutrient__key", "percent")
    return _retention_table(tuple(rows)).copy(deep=False)


@lru_cache(maxsize=1)
def _retention_table(rows: tuple) -> pd.DataFrame:
    long = pd.DataFrame.from_records(rows, columns=["food_group", "method", "nutrient", "percent"])
    return (
        long.pivot(index=["food_group", "method"], columns="nutrient", values="percent").astype(float) / 100
    )


def profile_limits(profile: Profile, instead: Mapping[int, Limit | None] | None = None) -> ProfileLimits:
    """A profile with all it inherits, ready to judge with.

    Of several kinds of maximum the lowest stands, under its own name. instead: see `standing_limits`.
    """
    by_nutrient = groupby(standing_limits(profile, instead), key=lambda limit: limit.nutrient)
    rows = [_merged(nutrient, list(limits)) for nutrient, limits in by_nutrient]
    return ProfileLimits(
        key=profile.key,
        name=str(profile),
        edition=profile.edition,
        life_stage=profile.life_stage,
        growth=profile.growth,
        limits=pd.DataFrame(rows, columns=LIMIT_COLUMNS).set_index("key"),
        arginine_per_g_protein=profile.arginine_rise,
        basis=profile.basis,
    )


def standing_limits(profile: Profile, instead: Mapping[int, Limit | None] | None = None) -> list[Limit]:
    """The limits that hold in a profile, its own and inherited ones, in the order of the nutrients.

    The nearest profile in the chain that gives a minimum (or a maximum of a kind) overrides those behind it:
    what is overridden is taken out of the limits returned here, which are for reading only. Each says as
    `changed` whether the practice changed it. instead: what is to stand in for stored limits, by their
    primary keys; None for nothing.
    """
    chain = {each.pk: each for each in chain_of(profile)}
    place = {pk: number for number, pk in enumerate(chain)}
    stored = Limit.objects.filter(profile__in=chain).select_related("nutrient").with_changed()
    limits = {limit.pk: limit for limit in stored} | {
        pk: copy(limit) for pk, limit in (instead or {}).items()
    }
    nearest_first = sorted(
        (limit for limit in limits.values() if limit and limit.profile_id in chain),
        key=lambda limit: (limit.nutrient.order, limit.nutrient_id, place[limit.profile_id], limit.pk),
    )
    taken = set()
    for limit in nearest_first:
        limit.profile = chain[limit.profile_id]
        for side, kind in (("minimum", ""), ("maximum", limit.kind)):
            if getattr(limit, side) is not None and (limit.nutrient_id, side, kind) in taken:
                setattr(limit, side, None)
            elif getattr(limit, side) is not None:
                taken.add((limit.nutrient_id, side, kind))
        if limit.maximum is None:
            limit.kind = limit.maximum_certainty = ""
    return [limit for limit in nearest_first if (limit.minimum, limit.maximum) != (None, None)]


def feeding_profiles() -> QuerySet[Profile]:
    """The profiles a recipe can be judged against: per 1000 kcal and with minima, their own or inherited."""
    has_minima = Q(limits__minimum__isnull=False) | Q(inherits__limits__minimum__isnull=False)
    per_1000_kcal = Profile.objects.filter(basis=Profile.Basis.PER_1000_KCAL)
    return per_1000_kcal.filter(has_minima).select_related("standard").distinct()


LIMIT_COLUMNS = [
    "key",
    "name",
    "group",
    "unit",
    "factor",
    "minimum",
    "maximum",
    "maximum_kind",
    "source",
    "certainty",
    "maximum_certainty",
    "note",
    "order",
    "decimals",
    "raised",
    "changed",
]


def chain_of(profile: Profile) -> list[Profile]:
    """The profile and those it inherits from, nearest first. Raises ValueError for a circle."""
    chain = [profile]
    while (parent := chain[-1].inherits) is not None:
        if parent in chain:
            raise ValueError(f"{profile} inherits from itself.")
        chain.append(parent)
    return chain


def _merged(nutrient: Nutrient, limits: list[Limit]) -> dict:
    """One row from the limits of a nutrient that hold."""
    lower = next((limit for limit in limits if limit.minimum is not None), None)
    unit = (lower or limits[0]).unit
    maxima = [
        (convert(limit.maximum, limit.unit, unit, nutrient.key), limit)
        for limit in limits
        if limit.maximum is not None
    ]
    maximum, upper = min(maxima, key=lambda pair: pair[0], default=(math.nan, None))
    minimum = lower.minimum if lower else math.nan
    used = list(dict.fromkeys(limit for limit in (lower, upper) if limit))
    return {
        "key": nutrient.key,
        "name": nutrient.name,
        "group": nutrient.group,
        "unit": unit,
        "factor": convert(1, nutrient.unit, unit, nutrient.key),
        "minimum": minimum,
        "maximum": maximum,
        "maximum_kind": upper.kind if upper else "",
        "source": "; ".join(dict.fromkeys(limit.source for limit in used)),
        "certainty": lower.certainty if lower else "",
        "maximum_certainty": (upper.maximum_certainty or upper.certainty) if upper else "",
        "note": "; ".join(dict.fromkeys(limit.note for limit in used if limit.note)),
        "order": nutrient.order,
        "decimals": decimals_of(minimum if lower else maximum),
        "raised": False,
        "changed": any(limit.changed for limit in used),
    }


def negligible() -> frozenset[tuple[str, str]]:
    """Pairs of nutrient key and food group that cannot carry it in an amount that matters."""
    return frozenset(Negligible.objects.values_list("nutrient__key", "food_group"))


def watch_levels() -> list[WatchLevel]:
    """Amounts per 1000 kcal, in the nutrient's unit, above which a note is shown."""
    return list(WatchLevel.objects.select_related("nutrient").order_by("nutrient__order"))


def batch_yields() -> dict[tuple[str, str], float]:
    """(retention group, method) -> cooked weight in percent of raw weight."""
    return {(group, method): percent for group, method, percent in _yield_rows()}


def _yield_rows():
    return BatchYield.objects.values_list("retention_group", "method", "percent")


def toxic_caution(text: str) -> Caution | None:
    """The first caution that forbids what `text` names, None when there is none."""
    return toxic_cautions([text]).get(text)


def toxic_cautions(texts: Iterable[str]) -> dict[str, Caution]:
    """Every text that names something forbidden, with the first caution that forbids it."""
    found = _cautions_naming(texts, Caution.objects.filter(action=Caution.Action.BLOCK))
    return {text: cautions[0] for text, cautions in found.items()}


def cautions_for_food(food: Food) -> list[Caution]:
    """The cautions short of a block whose words stand in the food's name."""
    return cautions_for_foods([food.name]).get(food.name, [])


def cautions_for_foods(names: Iterable[str]) -> dict[str, list[Caution]]:
    """Every food's name that a caution short of a block speaks of, with those cautions."""
    return _cautions_naming(names, Caution.objects.exclude(action=Caution.Action.BLOCK))


def _cautions_naming(texts: Iterable[str], cautions: Iterable[Caution]) -> dict[str, list[Caution]]:
    worded = [caution for caution in cautions if caution.words]
    found = {text: [caution for caution in worded if _names(text, caution.words)] for text in texts}
    return {text: named for text, named in found.items() if named}


def _names(text: str, words: str) -> bool:
    """Does one of the words (one per line) stand in the text as a whole word, in singular or plural?"""
    spoken = [r"\s+".join(map(re.escape, line.split())) for line in words.splitlines() if line.strip()]
    return bool(spoken) and bool(
        re.search(rf"(?<!\w)(?:{'|'.join(spoken)})(?:e?s)?(?!\w)", text, re.IGNORECASE)
    )
