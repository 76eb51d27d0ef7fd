"""The open limits of a version: what they are, who accepted which and why, and accepting more."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from nutrients.changes import written
from recipes import acceptance_services, services
from recipes.acceptance import Condition
from recipes.acceptance_forms import ReasonedForm, SignedOffForm
from recipes.acceptance_queries import standings
from recipes.models import AcceptedLimit, RecipeVersion

FORMS = {Condition.REASON: ReasonedForm, Condition.SIGN_OFF: SignedOffForm}


@require_http_methods(["GET", "HEAD", "POST"])
@permission_required("recipes.view_recipe", raise_exception=True)
def version_open_limits(request, pk):
    version = get_object_or_404(RecipeVersion.objects.select_related("recipe__profile__standard"), pk=pk)
    try:
        found, problem = standings(version), ""
    except ValueError as reason:
        found, problem = [], str(reason)
    forms = {condition: _form(request, condition, found) for condition in FORMS}
    may_accept = version == version.recipe.latest() and not version.approved
    if request.method == "POST" and not may_accept:
        messages.error(request, acceptance_services.TOO_LATE)
    if request.method == "POST" and (not may_accept or _accepted(request, version, forms)):
        return redirect("recipes:version-open-limits", pk)
    context = {
        "place": "recipes",
        "recipe": version.recipe,
        "version": version,
        "problem": problem,
        "standings": found,
        "never": [x for x in found if x.accepted is None and x.limit.condition == Condition.NEVER],
        "forms": [(condition.value, form) for condition, form in forms.items() if form.limits],
        "seen": request.POST.get("seen", services.fingerprint(version)),
        "may_accept": may_accept and request.user.has_perm("recipes.approve_recipeversion"),
    }
    return render(request, "recipes/open_limits.html", context)


def _form(request, condition: Condition, found) -> ReasonedForm:
    """The form of one condition; it holds what was sent only when it is the one that was sent."""
    waiting = [x.limit for x in found if x.accepted is None and x.limit.condition == condition]
    sent = request.POST if request.POST.get("condition") == condition else None
    return FORMS[condition](sent, limits=waiting, auto_id=f"{condition}_%s")


@permission_required("recipes.approve_recipeversion", raise_exception=True)
def _accepted(request, version: RecipeVersion, forms) -> bool:
    for form in forms.values():
        if not form.is_valid():
            continue
        given = {"version": version, "by": request.user, "seen": request.POST.get("seen", "")}
        given |= {name: form.cleaned_data[name] for name in ("keys", "reason")}
        if written(form, acceptance_services.accept_limits, sign_off=form.sign_off, **given):
            messages.success(request, "It is accepted, with your name and the day.")
            return True
    return False


@require_POST
@permission_required("recipes.approve_recipeversion", raise_exception=True)
def acceptance_take_back(request, pk):
    accepted = get_object_or_404(AcceptedLimit.objects.select_related("version", "nutrient"), pk=pk)
    try:
        acceptance_services.take_back(accepted=accepted)
    except ValidationError as problem:
        for message in problem.messages:
            messages.error(request, message)
    else:
        messages.success(request, f"{accepted.nutrient} is open and not accepted again.")
    return redirect("recipes:version-open-limits", accepted.version_id)
