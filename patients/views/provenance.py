"""Where does this come from: the steps to one amount of a plan's adequacy table."""

from django.contrib.auth.decorators import permission_required
from django.http import Http404
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from patients import provenance_queries
from patients.views.plans import PLANS


@require_safe
@permission_required("patients.view_plan", raise_exception=True)
def plan_provenance(request, pk):
    """`nutrient` by its key."""
    plan = get_object_or_404(PLANS, pk=pk)
    try:
        found = provenance_queries.of_plan(plan, request.GET.get("nutrient", ""))
    except ValueError as problem:
        raise Http404(str(problem)) from None
    context = {
        "place": "patients",
        "found": found,
        "what": f"{plan.patient.name}'s batch of {plan.recipe_version}",
        "back": f"{plan.get_absolute_url()}#nutrients",
        "provenance_url": request.path,
        "profile_key": plan.profile.key,
        "profile_name": str(plan.profile),
    }
    template = "recipes/_provenance.html" if request.htmx else "recipes/provenance.html"
    return render(request, template, context)
