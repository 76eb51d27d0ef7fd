"""The foods' lists as CSV files, and the whole nutrient database as a set of them."""

from tempfile import TemporaryFile

from django.contrib.auth.decorators import permission_required
from django.http import FileResponse
from django.shortcuts import get_object_or_404
from django.utils.text import slugify
from django.views.decorators.http import require_safe

from nutrients import food_listing, queries
from nutrients.csv_export import csv_response
from nutrients.database.export import write_database
from nutrients.food_page import ListedFood
from nutrients.forms import FoodSearchForm, Ranking
from nutrients.models import Food

FOOD_COLUMNS = (
    "food", "group", "state", "energy by 4/9/4 (kcal per 100 g)", "protein (g per 100 g)",
    "fat (g per 100 g)", "values known", "nutrients", "source", "number in its source", "own", "discontinued",
)  # fmt: skip
VALUE_COLUMNS = ("group", "nutrient", "per 100 g", "at least", "at most", "unit", "kind", "source")

may_see = permission_required("nutrients.view_food", raise_exception=True)


@require_safe
@may_see
def food_csv(request):
    """Every food that the list finds with the same search, in its order."""
    form = FoodSearchForm(request.GET)
    ranking = form.ranking()
    foods = food_listing.all_of(queries.foods_matching(**form.wanted()), ranking)
    columns = [*FOOD_COLUMNS, *([f"{ranking.nutrient} ({_unit(ranking)})"] if ranking else [])]
    rows = food_listing.rows(foods, ranking) if foods else []
    return csv_response("foods.csv", columns, map(_food_row, rows))


def _unit(ranking: Ranking) -> str:
    unit = ranking.nutrient.unit
    return unit if unit == "ratio" else f"{unit} {ranking.per_what}"


def _food_row(row: ListedFood) -> tuple:
    food = row.food
    ranked = () if row.ranked is None else (row.ranked.amount,)
    return (
        food.name, food.group, food.state, row.kcal, row.protein_g, row.fat_g, row.known, row.nutrients,
        food.source, food.source_ref, food.own, food.discontinued, *ranked,
    )  # fmt: skip


@require_safe
@may_see
def food_values_csv(request, pk):
    """What is stored of a food; a nutrient that is not named has no value."""
    food = get_object_or_404(Food, pk=pk)
    rows = [
        (value.nutrient.group, value.nutrient.name, value.per_100g, value.low, value.high,
         value.nutrient.unit, value.kind, value.source)
        for value in food.values.select_related("nutrient")
    ]  # fmt: skip
    return csv_response(f"{slugify(food.name)[:60] or 'food'}.csv", VALUE_COLUMNS, rows)


@require_safe
@may_see
def database_export(request):
    """Every table in one zip file, with a dictionary of their columns."""
    file = TemporaryFile()  # noqa: SIM115 - the answer closes it
    write_database(file)
    file.seek(0)
    return FileResponse(file, as_attachment=True, filename="nutrient-database.zip")
