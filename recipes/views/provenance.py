"""Where does this come from: the steps to one amount of a version's adequacy table."""

from django.contrib.auth.decorators import permission_required
from django.http import Http404
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from nutrients.queries import feeding_profiles
from recipes import provenance_queries
from recipes.models import RecipeVersion


@require_safe
@permission_required("recipes.view_recipe", raise_exception=True)
def version_provenance(request, pk):
    """`nutrient` and `profile` (the recipe's own for none) by their keys."""
    version = get_object_or_404(RecipeVersion.objects.select_related("recipe__profile__standard"), pk=pk)
    key = request.GET.get("profile", "")
    profile = get_object_or_404(feeding_profiles(), key=key) if key else version.recipe.profile
    try:
        found = provenance_queries.of_version(version, profile, request.GET.get("nutrient", ""))
    except ValueError as problem:
        raise Http404(str(problem)) from None
    context = {
        "place": "recipes",
        "found": found,
        "what": str(version),
        "back": f"{version.recipe.get_absolute_url()}?version={version.number}#adequacy",
        "provenance_url": request.path,
        "profile_key": profile.key,
        "profile_name": str(profile),
    }
    template = "recipes/_provenance.html" if request.htmx else "recipes/provenance.html"
    return render(request, template, context)
