"""The list of foods and supplements, foods side by side, and the page of one."""

from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from nutrients import comparison_page, food_listing, food_page, queries
from nutrients.composition import total
from nutrients.food_queries import last_changes, nutrients_with_energy
from nutrients.forms import FoodSearchForm
from nutrients.models import Food, Method, Nutrient

may_see = permission_required("nutrients.view_food", raise_exception=True)


@require_safe
@may_see
def food_list(request):
    form = FoodSearchForm(request.GET)
    ranking = form.ranking()
    page = food_listing.page_of(queries.foods_matching(**form.wanted()), ranking, request.GET.get("page"))
    context = {
        "place": "foods",
        "form": form,
        "page": page,
        "foods": food_listing.rows(page, ranking),
        "ranking": ranking,
        "ticked": comparison_page.chosen(request.GET.getlist("food")),
    }
    template = "nutrients/_food_rows.html" if request.htmx else "nutrients/food_list.html"
    return render(request, template, context)


@require_safe
@may_see
def food_compare(request):
    """`food` may be given several times; `per` is the basis, `find` looks for another food."""
    page = comparison_page.of(
        request.GET.getlist("food"), request.GET.get("per", ""), request.GET.get("find", "")
    )
    template = "nutrients/_compare_found.html" if request.htmx else "nutrients/food_compare.html"
    return render(request, template, {"place": "foods", "page": page})


@require_safe
@may_see
def food_detail(request, pk):
    foods = Food.objects.select_related("supplement")
    food = get_object_or_404(foods.prefetch_related("measures", "supplement__label_amounts__nutrient"), pk=pk)
    values = {value.nutrient.key: value for value in food.values.select_related("nutrient")}
    table = queries.food_table(foods=[food.name])
    made_of = total(table, [food.group], [100], frozenset())
    published = values.get("energy")
    kcal = food_page.kcal_per_100g(table)
    context = {
        "place": "foods",
        "food": food,
        "sentence": food_page.sentence(food, published and published.per_100g, kcal),
        "groups": food_page.value_groups(
            nutrients_with_energy(), values, made_of, kcal, last_changes(food), _nothing_said(food)
        ),
        "changed": food.history.select_related("history_user").first(),
        "refusal": queries.toxic_caution(food.name),
        "cautions": queries.cautions_for_food(food),
        **_cooking(food),
    }
    return render(request, "nutrients/food_detail.html", context)


def _nothing_said(food: Food) -> str:
    if hasattr(food, "supplement"):
        return "not declared: no value"
    if food.own:
        return "its label or report says nothing: no value"
    return "no value in the release used"


def _cooking(food: Food) -> dict:
    """The published retention factors of the food's group: column heads and rows."""
    retention = queries.retention_table()
    if food.retention_group not in retention.index.get_level_values(0):
        return {"methods": [], "retention": []}
    factors = retention.loc[food.retention_group]
    methods = [Method(name).label for name in factors.index]
    return {"methods": methods, "retention": food_page.retention_rows(factors, Nutrient.objects.all())}
