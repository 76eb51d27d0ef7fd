"""One pot for several dogs: chosen from a plan's page, shown, and printed."""

from django.contrib.auth.decorators import permission_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.text import slugify
from django.views.decorators.http import require_safe

from patients.models import Plan
from patients.owner_language import told_to
from patients.pot_queries import pot_of, pot_record, those_of_one_pot
from patients.views.plans import PLANS
from recipes.printing import PdfUnavailable, printed

MOST_PAGES = 2


@require_safe
@permission_required("patients.view_plan", raise_exception=True)
def pot(request, pk):
    """Which dogs share the pot stands in the address, so that it can be kept and printed."""
    plan, beside, record, wrong = _asked(request, pk)
    context = {"place": "patients", "plan": plan, "others": those_of_one_pot(plan), "chosen": beside}
    return render(request, "patients/pot.html", context | {"pot": record, "wrong": wrong})


@require_safe
@permission_required("patients.view_plan", raise_exception=True)
def pot_pdf(request, pk):
    """In the language of the plan's owner."""
    owner = get_object_or_404(PLANS, pk=pk).patient.owner
    with told_to(owner):
        plan, _, record, _ = _asked(request, pk)
    if record is None:
        return redirect("patients:pot", plan.pk)
    context = {"pot": record, "practice": request.practice}
    try:
        with told_to(owner):
            content = printed("patients/pot_print.html", context, MOST_PAGES)
    except PdfUnavailable as refused:
        return HttpResponse(str(refused), status=503, content_type="text/plain")
    name = slugify("-".join(share["name"] for share in record["shares"])) or "dogs"
    headers = {"Content-Disposition": f'attachment; filename="{name}-one-pot.pdf"'}
    return HttpResponse(content, content_type="application/pdf", headers=headers)


def _asked(request, pk) -> tuple[Plan, list[Plan], dict | None, str]:
    """The plan, those chosen beside it, the pot's record, and why there is none."""
    plan = get_object_or_404(PLANS, pk=pk)
    asked = set(request.GET.getlist("with"))
    beside = [other for other in those_of_one_pot(plan) if str(other.pk) in asked]
    if not beside:
        return plan, [], None, ""
    try:
        return plan, beside, pot_record(plan, pot_of([plan, *beside])), ""
    except ValueError as problem:
        return plan, beside, None, str(problem)
