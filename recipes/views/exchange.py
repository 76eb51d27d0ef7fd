"""Recipes brought in from a file and taken out into one."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.text import slugify
from django.views.decorators.http import require_http_methods, require_safe

from nutrients.csv_export import csv_response
from recipes.exchange import layout, writing
from recipes.exchange.bringing_in import bring_in
from recipes.exchange.forms import BringInForm
from recipes.exchange.reading import BadRecipes
from recipes.models import Recipe

MOST_PROBLEMS_SHOWN = 50
may_see = permission_required("recipes.view_recipe", raise_exception=True)


@require_safe
@may_see
def library_json(request):
    return _json_response("recipes.json", Recipe.objects.all())


@require_safe
@may_see
def recipe_json(request, pk):
    recipe = get_object_or_404(Recipe, pk=pk)
    return _json_response(f"{_file_name(recipe)}.json", Recipe.objects.filter(pk=pk))


@require_safe
@may_see
def ingredients_csv(request, pk=None):
    """The ingredients of one recipe, or of the whole library."""
    recipes = Recipe.objects.all() if pk is None else Recipe.objects.filter(pk=pk)
    name = "ingredients" if pk is None else _file_name(get_object_or_404(Recipe, pk=pk))
    rows = writing.csv_rows(writing.with_all(recipes))
    return csv_response(f"{name}.csv", layout.CSV_COLUMNS, rows)


@require_http_methods(["GET", "HEAD", "POST"])
@permission_required(["recipes.add_recipe", "recipes.change_recipe"], raise_exception=True)
def recipe_bring_in(request):
    form = BringInForm(request.POST or None, request.FILES or None)
    report, problems = None, []
    if request.method == "POST" and form.is_valid():
        asked = form.cleaned_data
        try:
            report = bring_in(form.file(), by=request.user, clash=asked["clash"], dry_run=asked["dry_run"])
        except BadRecipes as refused:
            problems = refused.problems
            form.add_error("upload", "Nothing was brought in: mend what is named below, and choose it again.")
        else:
            if not asked["dry_run"]:
                messages.success(request, "The recipes were brought in, as drafts.")
    context = {
        "place": "recipes",
        "form": form,
        "report": report,
        "problems": problems[:MOST_PROBLEMS_SHOWN],
        "more_problems": max(0, len(problems) - MOST_PROBLEMS_SHOWN),
        "parts": layout.PARTS.items(),
        "csv_columns": layout.CSV_COLUMNS,
    }
    return render(request, "recipes/bring_in.html", context)


def _json_response(name: str, recipes) -> HttpResponse:
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return HttpResponse(writing.json_text(recipes), content_type="application/json", headers=headers)


def _file_name(recipe: Recipe) -> str:
    return slugify(recipe.title)[:60] or "recipe"
