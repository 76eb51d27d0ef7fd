"""Deciding on a recipe: sending it to review, approving a version, retiring it."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_POST

from recipes import services
from recipes.models import Recipe, RecipeVersion


@require_POST
@permission_required("recipes.change_recipe", raise_exception=True)
def recipe_review(request, pk):
    recipe = get_object_or_404(Recipe, pk=pk)
    return _decided(request, recipe, "It waits for approval now.", services.send_to_review, recipe=recipe)


@require_POST
@permission_required("recipes.approve_recipeversion", raise_exception=True)
def version_approve(request, pk):
    version = get_object_or_404(RecipeVersion.objects.select_related("recipe"), pk=pk)
    done = f"Version {version.number} is approved and will not change any more."
    seen = request.POST.get("seen", "")
    return _decided(
        request, version.recipe, done, services.approve_version, version=version, by=request.user, seen=seen
    )


@require_POST
@permission_required("recipes.approve_recipeversion", raise_exception=True)
def recipe_retire(request, pk):
    recipe = get_object_or_404(Recipe, pk=pk)
    return _decided(request, recipe, "It is retired.", services.retire, recipe=recipe)


def _decided(request, page, done, decide, **about):
    """Carry a decision out, or say what stands in its way."""
    try:
        decide(**about)
    except ValidationError as problem:
        for message in problem.messages:
            messages.error(request, message)
    else:
        messages.success(request, done)
    return redirect(page)
