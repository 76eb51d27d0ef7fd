"""The library and the page of a recipe."""

from django.contrib.auth.decorators import permission_required
from django.http import Http404
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from recipes import library_page, version_page
from recipes.models import Recipe, RecipeVersion
from recipes.switches import asked

# Parts of a recipe's page that are asked for alone, by the id of the element they replace.
PARTS = {"brings": "recipes/_brings.html"}
LONGEST_NUMBER = 9  # digits


@require_safe
@permission_required("recipes.view_recipe", raise_exception=True)
def recipe_list(request):
    library = library_page.of(request.GET)
    template = "recipes/_recipe_rows.html" if request.htmx else "recipes/recipe_list.html"
    return render(request, template, {"place": "recipes", "library": library})


@require_safe
@permission_required("recipes.view_recipe", raise_exception=True)
def recipe_detail(request, pk):
    recipe = get_object_or_404(Recipe.objects.select_related("profile__standard"), pk=pk)
    version = _version(recipe, request.GET.get("version", ""))
    page = version_page.of(version, asked(request.GET))
    template = PARTS.get(request.htmx.target, "recipes/recipe_detail.html")
    return render(request, template, {"place": "recipes", "recipe": recipe, "page": page})


def _version(recipe: Recipe, number: str) -> RecipeVersion:
    """The version of this number, the latest one for none."""
    versions = recipe.versions.select_related("author", "approved_by").order_by("-number")
    if number:
        is_number = number.isdecimal() and len(number) <= LONGEST_NUMBER
        versions = versions.filter(number=int(number) if is_number else 0)
    version = versions.first()
    if version is None:
        raise Http404("There is no such version.")
    version.recipe = recipe
    return version
