"""A page of the list of foods, sorted by name or by what the foods hold of a nutrient."""

from django.core.paginator import Page, Paginator
from django.db.models import QuerySet

from nutrients import food_amounts, food_page, queries
from nutrients.food_queries import nutrient_columns
from nutrients.forms import Ranking
from nutrients.models import Food

PER_PAGE = 60


def page_of(foods: QuerySet[Food], ranking: Ranking | None, number: str | None) -> Page:
    """One page of the foods: in their own order, or by the ranking with what is unknown last."""
    if ranking is None:
        return Paginator(foods, PER_PAGE).get_page(number)
    page = Paginator(_ranked_keys(foods, ranking), PER_PAGE).get_page(number)
    found = Food.objects.in_bulk(page.object_list)
    page.object_list = [found[key] for key in page.object_list]
    return page


def all_of(foods: QuerySet[Food], ranking: Ranking | None) -> list[Food]:
    """Every one of the foods, in the order of the list."""
    if ranking is None:
        return list(foods)
    found = foods.in_bulk()
    return [found[key] for key in _ranked_keys(foods, ranking)]


def _ranked_keys(foods: QuerySet[Food], ranking: Ranking) -> list[int]:
    columns = nutrient_columns(food_amounts.parts(ranking.nutrient.key, ranking.per))
    table = columns.reindex(list(foods.values_list("pk", flat=True)))
    amounts = food_amounts.amounts(table, ranking.nutrient.key, ranking.per)
    return list(food_amounts.ranked(amounts.value, ranking.descending).index)


def rows(page: Page | list[Food], ranking: Ranking | None) -> list[food_page.ListedFood]:
    names = [food.name for food in page]
    table, guessed = queries.food_table(foods=names), queries.estimates(names) if ranking else ()
    ranked = ranking and food_amounts.measured(table, ranking.nutrient.key, ranking.per, guessed)
    return food_page.listed(page, table, ranked)
