"""Deciding on a recipe: review, approval, retirement. Who may do what stands in recipes.states."""

from dataclasses import dataclass

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from nutrients.changes import written
from recipes import services
from recipes.decision_forms import ReasonForm
from recipes.models import Recipe, RecipeVersion
from recipes.states import MOVES


def may(move: str):
    return permission_required(MOVES[move].permission, raise_exception=True)


@require_POST
@may("review")
def recipe_review(request, pk):
    recipe = get_object_or_404(Recipe, pk=pk)
    done = "It waits for approval now."
    return _decided(request, recipe, done, services.send_to_review, recipe=recipe, by=request.user)


@require_POST
@may("approve")
def version_approve(request, pk):
    version = get_object_or_404(RecipeVersion.objects.select_related("recipe"), pk=pk)
    done = f"Version {version.number} is approved and will not change any more."
    seen = request.POST.get("seen", "")
    return _decided(
        request, version.recipe, done, services.approve_version, version=version, by=request.user, seen=seen
    )


@dataclass(frozen=True)
class Asked:
    """How the page of a decision asks for its reason."""

    heading: str
    follows: str
    button: str
    done: str


SEND_BACK = Asked(
    "Send back to draft",
    "It is a draft again, and whoever wrote it reads why.",
    "Send back",
    "It is sent back.",
)
RETIRE = Asked(
    "Retire",
    "No new plan can be made with it. Its versions, and the sheets that were issued, stay as they are.",
    "Retire",
    "It is retired.",
)
BRING_BACK = Asked(
    "Bring back",
    "It is a draft again, to be reviewed and approved anew before a plan can be made with it.",
    "Bring back as a draft",
    "It is a draft again.",
)


@require_http_methods(["GET", "HEAD", "POST"])
@may("send_back")
def recipe_send_back(request, pk):
    return _ask(request, pk, "send_back", SEND_BACK, services.send_back)


@require_http_methods(["GET", "HEAD", "POST"])
@may("retire")
def recipe_retire(request, pk):
    return _ask(request, pk, "retire", RETIRE, services.retire)


@require_http_methods(["GET", "HEAD", "POST"])
@may("bring_back")
def recipe_bring_back(request, pk):
    return _ask(request, pk, "bring_back", BRING_BACK, services.bring_back)


def _ask(request, pk: int, move: str, asked: Asked, decide):
    """The page that asks why, and the decision."""
    recipe = get_object_or_404(Recipe, pk=pk)
    form = ReasonForm(request.POST if request.method == "POST" else None, move=move)
    given = {"recipe": recipe, "by": request.user}
    if form.is_valid() and written(form, decide, reason=form.cleaned_data["reason"], **given):
        messages.success(request, asked.done)
        return redirect(recipe)
    context = {"place": "recipes", "recipe": recipe, "form": form, "asked": asked}
    return render(request, "recipes/decision.html", context)


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
