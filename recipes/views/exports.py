"""The library and a version's adequacy table as CSV files."""

from django.contrib.auth.decorators import permission_required
from django.http import Http404
from django.shortcuts import get_object_or_404
from django.utils.text import slugify
from django.views.decorators.http import require_safe

from nutrients.adequacy import is_open
from nutrients.csv_export import csv_response
from nutrients.queries import feeding_profiles
from recipes import exports, listing, queries, renewal_runs
from recipes.models import RecipeVersion
from recipes.search_forms import RecipeSearchForm

may_see = permission_required("recipes.view_recipe", raise_exception=True)


@require_safe
@may_see
def recipe_csv(request):
    """Every recipe that the library finds with the same search."""
    renewal_runs.keep_up()
    found = RecipeSearchForm(request.GET).search().found
    rows = [exports.recipe_row(row) for row in listing.rows(found)]
    return csv_response("recipes.csv", exports.RECIPE_COLUMNS, rows)


@require_safe
@may_see
def adequacy_csv(request, pk):
    """The table of a version: against the `profile` of this key, with `open` only what is open.

    `estimates=off` leaves estimates out.
    """
    version = get_object_or_404(RecipeVersion.objects.select_related("recipe__profile__standard"), pk=pk)
    key = request.GET.get("profile", "")
    profile = get_object_or_404(feeding_profiles(), key=key) if key else version.recipe.profile
    try:
        counted = request.GET.get("estimates") != "off"
        judgement = queries.analysis_of(version, profile, estimates=counted).judgement
    except ValueError as problem:
        raise Http404(str(problem)) from None
    if "open" in request.GET:
        judgement = judgement[is_open(judgement)]
    name = f"{slugify(version.recipe.title)[:60] or 'recipe'}-{version.number}-{profile.key}.csv"
    return csv_response(name, exports.ADEQUACY_COLUMNS, exports.adequacy_rows(judgement))
