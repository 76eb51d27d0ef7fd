"""Two or more ways of cooking a version side by side."""

from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from recipes import cooking_page
from recipes.models import RecipeVersion


@require_safe
@permission_required("recipes.view_recipe", raise_exception=True)
def version_cooking(request, pk):
    """`with`, as often as wanted: the methods to lay beside the version's own."""
    version = get_object_or_404(RecipeVersion.objects.select_related("recipe__profile__standard"), pk=pk)
    page = cooking_page.of(version, request.GET.getlist("with"))
    return render(request, "recipes/cooking.html", {"place": "recipes", "page": page})
