"""The versions of a recipe: two compared, an older one restored, one copied into a recipe of its own."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import ValidationError
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from nutrients.changes import written
from recipes import comparison_page, services
from recipes.comparison import MOVED_FROM_PERCENT
from recipes.decision_forms import CopyForm
from recipes.models import Recipe, RecipeVersion
from recipes.views.decisions import may

VERSIONS = RecipeVersion.objects.select_related("recipe__profile__standard")


@require_safe
@permission_required("recipes.view_recipe", raise_exception=True)
def version_compare(request, pk):
    recipe = get_object_or_404(Recipe.objects.select_related("profile__standard"), pk=pk)
    page = comparison_page.of(recipe, request.GET.get("of", ""), request.GET.get("with", ""))
    if page is None:
        raise Http404("There is no such version.")
    context = {
        "place": "recipes",
        "recipe": recipe,
        "page": page,
        "sides": (page.before, page.after),
        "moved_from": MOVED_FROM_PERCENT,
    }
    return render(request, "recipes/version_compare.html", context)


@require_POST
@may("restore")
def version_restore(request, pk):
    version = get_object_or_404(VERSIONS, pk=pk)
    try:
        made = services.restore(version=version, by=request.user, seen=request.POST.get("seen", ""))
    except ValidationError as problem:
        for message in problem.messages:
            messages.error(request, message)
    else:
        messages.success(request, f"Version {version.number} stands again as version {made.number}, a draft.")
    return redirect(version.recipe)


@require_http_methods(["GET", "HEAD", "POST"])
@permission_required("recipes.add_recipe", raise_exception=True)
def version_copy(request, pk):
    version = get_object_or_404(VERSIONS, pk=pk)
    form = CopyForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        title = form.cleaned_data["title"]
        made = written(form, services.copy_recipe, version=version, title=title, by=request.user)
        if made:
            messages.success(request, f"{title} begins as a copy of {version}: a draft.")
            return redirect(made.recipe)
    context = {"place": "recipes", "recipe": version.recipe, "version": version, "form": form}
    return render(request, "recipes/version_copy.html", context)
