"""What a version lacks when something is left out of it."""

from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from nutrients.queries import feeding_profiles
from recipes import omission_queries, omissions
from recipes.models import RecipeVersion


@require_safe
@permission_required("recipes.view_recipe", raise_exception=True)
def version_omissions(request, pk):
    """Against the `profile` of this key, the recipe's own for none."""
    version = get_object_or_404(RecipeVersion.objects.select_related("recipe__profile__standard"), pk=pk)
    profiles = list(feeding_profiles())
    asked = request.GET.get("profile")
    profile = next((each for each in profiles if each.key == asked), version.recipe.profile)
    context = {"place": "recipes", "version": version, "profile": profile, "profiles": profiles}
    try:
        found = omission_queries.of_version(version, profile)
        context |= {"found": found, "sentence": omissions.sentence(str(version), found)}
    except ValueError as problem:
        context["problem"] = str(problem)
    return render(request, "recipes/omissions.html", context)
