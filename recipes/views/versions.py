"""The versions of a recipe: an older one restored, one copied into a recipe of its own."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from nutrients.changes import written
from recipes import services
from recipes.decision_forms import CopyForm
from recipes.models import RecipeVersion
from recipes.views.decisions import may

VERSIONS = RecipeVersion.objects.select_related("recipe__profile__standard")


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
