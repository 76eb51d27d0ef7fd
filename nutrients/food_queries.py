"""Reads for the pages of foods: the search by words, single nutrients of every food, what was changed."""

from collections.abc import Iterable
from functools import reduce
from operator import and_, or_

import numpy as np
import pandas as pd
from django.db.models import Q, QuerySet

from nutrients.food_amounts import KCAL
from nutrients.food_words import Term, terms, words_of
from nutrients.models import Food, FoodValue, Nutrient, Synonym
from nutrients.models.history import AS_LOADED


def with_words(foods: QuerySet[Food], text: str) -> QuerySet[Food]:
    """Foods whose name, group or state holds all the words in any order, or what else these are called.

    First those whose name begins with the text, then those in which every word begins a word. Without words
    the foods stay as they are.
    """
    words = words_of(text)
    if not words:
        return foods
    wanted = terms(text, Synonym.objects.values_list("word", "called"))
    foods = foods.alias(
        begins=Q(search_text__startswith=" " + " ".join(words)), starts=_all([f" {word}" for word in words])
    )
    found = reduce(lambda so_far, term: so_far.filter(_any(term)), wanted, foods)
    return found.order_by("discontinued", "-begins", "-starts", "name")


def _any(term: Term) -> Q:
    return reduce(or_, map(_all, term))


def _all(needles: Iterable[str]) -> Q:
    return reduce(and_, (Q(search_text__contains=needle) for needle in needles))


def nutrient_columns(keys: Iterable[str]) -> pd.DataFrame:
    """Amounts per 100 g of a few nutrients in every food that has one: index Food.pk, NaN = unknown.

    Bounds have no amount. Read from an index of their own each time: with many foods that is quicker than to
    see whether a table that was kept still holds.
    """
    values = FoodValue.objects.order_by()
    columns = {
        key: _column(values.filter(nutrient__key=key).values_list("food_id", "per_100g")) for key in keys
    }
    return pd.DataFrame(columns)


def _column(rows: Iterable[tuple[int, float]]) -> pd.Series:
    pairs = np.array(list(rows), dtype=float).reshape(-1, 2)
    return pd.Series(pairs[:, 1], index=pairs[:, 0].astype(int))


def nutrients_with_energy() -> list[Nutrient]:
    """Every nutrient in its order, and among them, after the published one, the energy by 4/9/4."""
    published, *others = Nutrient.objects.all()
    by_factors = Nutrient(key=KCAL, name="Energy by 4/9/4", unit="kcal", group=published.group, decimals=0)
    return [published, by_factors, *others]


def last_changes(food: Food) -> dict[int, object]:
    """The newest entry in the history of each value of a food, by the nutrient's primary key.

    Also of values that were taken back. What was loaded or imported is no change.
    """
    entries = FoodValue.history.filter(food_id=food.pk).exclude(history_change_reason=AS_LOADED)
    oldest_first = entries.select_related("history_user").order_by("history_date", "history_id")
    return {entry.nutrient_id: entry for entry in oldest_first}
